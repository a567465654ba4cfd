"""A stage's results under a digest of all that shapes them.

Deleting the cache changes the time of a build, never its result. What cannot be read counts as absent. Values are
bytes; blobs are named by their own digest, so equal bytes are stored once.
"""

import time
from collections.abc import Iterable
from pathlib import Path

import msgspec

from archgen.storage.files import digest_bytes, digest_file, write_atomically

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

    @property
    def blobs(self) -> Path:
        """Give the folder of blobs."""
        return self.folder / "blobs"

    @staticmethod
    def key(stage: str, version: int, *parts: str) -> str:
        """Name a result by its stage, the stage's version and everything else that shapes it."""
        return digest_bytes(stage, str(version), *parts)

    def get(self, key: str) -> bytes | None:
        """Give a stored result, or None."""
        self._used.add(key)
        try:
            return self._result(key).read_bytes()
        except OSError:
            return None

    def put(self, key: str, value: bytes) -> None:
        """Store a result."""
        self._used.add(key)
        write_atomically(self._result(key), value)

    def put_blob(self, content: bytes, suffix: str) -> str:
        """Store bytes under their own digest and give the file's name."""
        name = f"{digest_bytes(content)[:32]}{suffix}"
        path = self.blobs / name
        if not path.exists():
            write_atomically(path, content)
        return name

    def has_blob(self, name: str) -> bool:
        """Say whether a blob is still there and not empty."""
        try:
            return (self.blobs / name).stat().st_size > 0
        except OSError:
            return False

    def digest(self, path: Path) -> str:
        """Give a file's digest, read anew only when its size or time changed since it had settled."""
        facts = path.stat()
        key = path.as_posix()
        seen = self._seen.get(key)
        if seen and (seen.size, seen.changed_ns) == (facts.st_size, facts.st_mtime_ns):
            return seen.digest
        digest = digest_file(path)
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
        for path in (self.folder / "results").glob("*/*"):
            if path.name not in self._used:
                path.unlink(missing_ok=True)

    def _result(self, key: str) -> Path:
        return self.folder / "results" / key[:2] / key

    def _load_digests(self) -> dict[str, _Seen]:
        try:
            return msgspec.json.decode(self._digests_file.read_bytes(), type=dict[str, _Seen])
        except (OSError, msgspec.MsgspecError):
            return {}
