"""A stage's results under a digest of all that shapes them.

Deleting the cache changes the time of a build, never its result. What cannot be read counts as absent. Values are
bytes; blobs are named by their own digest, so equal bytes are stored once.
"""

import os
import time
from collections.abc import Iterable
from functools import cached_property
from pathlib import Path
from typing import TypeVar

import msgspec

from archgen.storage.files import digest_bytes, digest_file, write_atomically

T = TypeVar("T")

# A file changed within the clock's grain of the last look may have been changed again unseen.
SETTLED_SECONDS = 2.0


class _Seen(msgspec.Struct):
    size: int
    changed_ns: int
    looked: float
    digest: str


class Cache:
    """Results and blobs in one folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._digests_file = folder / "digests.json"
        self._seen = self._load_digests()
        self._used: set[str] = set()
        self.blobs = folder / "blobs"  # the folder of blobs
        self._results = os.path.join(folder, "results")  # noqa: PTH118  asked for thousands of times

    @cached_property
    def _present(self) -> set[str]:
        """Give the names of the blobs that are there and not empty: one look at the folder instead of one at each."""
        try:
            with os.scandir(self.blobs) as entries:
                return {entry.name for entry in entries if entry.stat().st_size > 0}
        except OSError:
            return set()

    @staticmethod
    def key(stage: str, version: int, *parts: str) -> str:
        """Name a result by its stage, the stage's version and everything else that shapes it."""
        return digest_bytes(stage, str(version), *parts)

    def get(self, key: str) -> bytes | None:
        """Give a stored result, or None."""
        self._used.add(key)
        try:
            with open(self._result(key), "rb") as stream:  # noqa: PTH123  as above
                return stream.read()
        except OSError:
            return None

    def value(self, key: str, kind: type[T]) -> T | None:
        """Give a stored result as a value of a kind, or None when it is not there or not of that kind."""
        raw = self.get(key)
        try:
            return msgspec.json.decode(raw, type=kind) if raw else None
        except msgspec.MsgspecError:
            return None

    def put(self, key: str, value: bytes) -> None:
        """Store a result."""
        self._used.add(key)
        write_atomically(Path(self._result(key)), value)

    def put_blob(self, content: bytes, suffix: str) -> str:
        """Store bytes under their own digest and give the file's name."""
        name = f"{digest_bytes(content)[:32]}{suffix}"
        if name not in self._present:
            write_atomically(self.blobs / name, content)
            self._present.add(name)
        return name

    def look_again(self) -> None:
        """Forget which blobs were there, after another process wrote or tidied."""
        self.__dict__.pop("_present", None)

    def has_blob(self, name: str) -> bool:
        """Say whether a blob was there and not empty when this cache was opened, or was stored since."""
        return name in self._present

    def has_blobs(self, names: Iterable[str]) -> bool:
        """Say whether all of them are there."""
        return all(self.has_blob(name) for name in names)

    def digest(self, path: str | Path) -> str:
        """Give a file's digest, read anew only when its size or time changed since it had settled."""
        key = os.fspath(path)
        facts = os.stat(key)  # noqa: PTH116  as above
        seen = self._seen.get(key)
        if seen and (seen.size, seen.changed_ns) == (facts.st_size, facts.st_mtime_ns):
            return seen.digest
        digest = digest_file(Path(path))
        if time.time() - facts.st_mtime > SETTLED_SECONDS:
            self._seen[key] = _Seen(facts.st_size, facts.st_mtime_ns, time.time(), digest)
        return digest

    def save(self) -> None:
        """Write down the digests of the files looked at."""
        write_atomically(self._digests_file, msgspec.json.encode(self._seen))

    def prune(self, blobs_in_use: Iterable[str]) -> None:
        """Remove results not asked for since this cache was opened and blobs that nobody names."""
        keep = set(blobs_in_use)
        for path in self.blobs.glob("*"):
            if path.name not in keep:
                path.unlink(missing_ok=True)
                self._present.discard(path.name)
        for path in (self.folder / "results").glob("*/*"):
            if path.name not in self._used:
                path.unlink(missing_ok=True)

    def _result(self, key: str) -> str:
        return os.path.join(self._results, key[:2], key)  # noqa: PTH118  as above

    def _load_digests(self) -> dict[str, _Seen]:
        try:
            return msgspec.json.decode(self._digests_file.read_bytes(), type=dict[str, _Seen])
        except (OSError, msgspec.MsgspecError):
            return {}
