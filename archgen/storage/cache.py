"""A stage's results under a digest of all that shapes them.

Deleting or damaging the cache changes the time of a build, never its result. What cannot be read or is not what it was
counts as absent. Results are sealed; blobs are named by their own digest, so equal bytes are stored once and damage
shows: they are read again when anything about the file changed since they were found whole.
"""

import os
import stat
import struct
import threading
import time
from collections.abc import Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import TypeVar

import msgspec

from archgen.storage.files import digest_bytes, digest_file, is_text_name
from archgen.storage.packed_results import PackedResults
from archgen.storage.plain_files import make_own_folder, put_plain, put_sealed, read_plain, remove_any, unsealed

T = TypeVar("T")

# A file changed within the clock's grain of the last look may have been changed again unseen.
SETTLED_SECONDS = 2.0
_NAME_DIGITS = 32
# One file system has longer numbers, and a camera's clock may stand in the year 2300: the lower half tells a change.
_STAMP, _MOST = struct.Struct("<QQQQ"), 2**64 - 1
# Of files that nothing seems to have changed so much is read again by each build that has something to do, and none
# that was read in the last days: a failing disk moves no time.
_AGAIN_BYTES = 24_000_000
_AGAIN_DAYS = 7


class _Seen(msgspec.Struct, array_like=True):
    """A file as it was when it was read last, and on which day."""

    stamp: bytes
    digest: str
    read_day: int = 0

    @property
    def size(self) -> int:
        """Give its length in bytes."""
        return int(_STAMP.unpack(self.stamp)[1])

    @property
    def changed_ns(self) -> int:
        """Give its time."""
        return int(_STAMP.unpack(self.stamp)[2])


class _SilentChange(msgspec.Struct, array_like=True):
    """A file whose bytes changed while its time did not: that time, its digest before and now."""

    changed_ns: int
    before: str
    now: str


class _Looks(msgspec.Struct):
    """What was read of files: archive files by their path, the stamps of blobs that were whole by their name."""

    files: dict[str, _Seen] = {}
    blobs: dict[str, bytes] = {}
    silent: dict[str, _SilentChange] = {}


class Cache:
    """Results and blobs in one folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._digests_file = folder / "digests"
        looks = self._load_looks()
        self._seen, self._whole_before, self._silent = looks.files, looks.blobs, looks.silent
        self._whole: dict[str, bool] = {}
        self._unproven: set[str] | None = None
        self._is_ready = False
        self._lock = threading.RLock()
        self._used: set[str] = set()
        self._named: set[str] = set()
        self.blobs = folder / "blobs"  # the folder of blobs
        self._blobs = os.fspath(self.blobs)
        self._results = PackedResults(folder / "results")

    def _make_ready(self) -> None:
        """Put our own folders in the place of links and whatever else has their names; once, before the first write."""
        with self._lock:
            if self._is_ready:
                return
            for folder in (self.folder, self.blobs):
                make_own_folder(folder)
            self._is_ready = True

    def _look(self) -> set[str]:
        """Look at the folder of blobs once, instead of at each; give those that aren't as when they were found whole.

        The others stay in what was whole before.
        """
        with self._lock:
            if self._unproven is None:
                before, whole, unproven = self._whole_before, {}, set()
                if self.folder.is_dir():
                    self._make_ready()
                    for name, facts in _ordinary_files(self.blobs):
                        if before.get(name) == stamp_of(facts):
                            whole[name] = before.pop(name)
                        else:
                            unproven.add(name)
                # The look is done with the last of these, which others ask about without the lock.
                self._whole_before, self._unproven = whole, unproven
            return self._unproven

    @staticmethod
    def key(stage: str, version: int, *parts: str) -> str:
        """Name a result by its stage, the stage's version and everything else that shapes it."""
        return digest_bytes(stage, str(version), *parts)

    def keep(self, key: str) -> None:
        """Say that a result is still wanted, though it is not asked for."""
        self._used.add(key)

    def get(self, key: str) -> bytes | None:
        """Give a stored result, or None."""
        self.keep(key)
        return self._results.get(key)

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
        self._make_ready()
        self._results.put(key, value)

    def put_blob(self, content: bytes, suffix: str) -> str:
        """Store bytes under their own digest and give the file's name."""
        name = f"{digest_bytes(content)[:_NAME_DIGITS]}{suffix}"
        if not self.has_blob(name):
            self._make_ready()
            put_plain(self.blobs / name, content)
            self._whole[name] = True
        return name

    def get_file(self, key: str) -> str | None:
        """Give the file of a stored result of many bytes, whole and to be linked, or None."""
        name = (self.get(key) or b"").decode("ascii", "replace")
        return self._file_named(name) if self.has_blob(name) else None

    def put_file(self, key: str, value: bytes, suffix: str) -> str:
        """Store a result of many bytes as a file that folders may link, and give it."""
        name = self.put_blob(value, suffix)
        self.put(key, name.encode())
        return self._file_named(name)

    def _file_named(self, name: str) -> str:
        self._named.add(name)
        return self.place_of(name)

    def place_of(self, blob: str) -> str:
        """Give where a blob lies; as plain text, of which there may be thousands."""
        return f"{self._blobs}/{blob}"

    def look_again(self) -> None:
        """Forget which blobs were there, after another process wrote or tidied."""
        with self._lock:
            self._unproven = None
            self._whole.clear()
            self._results.look_again()
            # What the other process found whole, as it lies there now.
            self._whole_before = self._load_looks().blobs

    def has_blob(self, name: str) -> bool:
        """Say whether a blob is there and whole; it is read unless nothing about it changed since it was whole."""
        whole = self._whole.get(name)
        if whole is None:
            whole = self._whole[name] = self._is_whole(name)
        return whole

    def has_blobs(self, names: Iterable[str]) -> bool:
        """Say whether all of them are there."""
        return all(map(self.has_blob, names))

    def _is_whole(self, name: str) -> bool:
        unproven = self._look() if self._unproven is None else self._unproven
        if name in self._whole_before:
            return True
        if name not in unproven:
            return False
        try:
            return digest_bytes(read_plain(self.blobs / name))[:_NAME_DIGITS] == name.partition(".")[0]
        except OSError:
            return False

    def digest(self, path: str | Path) -> str:
        """Give a file's digest, read anew only when anything about it changed since it had settled."""
        key = os.fspath(path)
        facts = os.stat(key)  # noqa: PTH116  as above
        seen, stamp = self._seen.get(key), stamp_of(facts)
        if seen and seen.stamp == stamp:
            return seen.digest
        digest = digest_file(Path(path))
        self._keep_look(key, facts, digest)
        return digest

    def _keep_look(self, key: str, facts: os.stat_result, digest: str) -> None:
        """Remember a file as it was read, and whether its bytes are others than before though its time is the same."""
        seen, silent = self._seen.get(key), self._silent.pop(key, None)
        before = silent or (_SilentChange(seen.changed_ns, seen.digest, digest) if seen else None)
        changed_ns = facts.st_mtime_ns & _MOST
        if before and before.changed_ns == changed_ns and before.before != digest:
            self._silent[key] = _SilentChange(changed_ns, before.before, digest)
        if time.time() - facts.st_mtime > SETTLED_SECONDS:
            self._seen[key] = _Seen(stamp_of(facts), digest, today_number())

    def read_again(self, paths: Iterable[str | Path]) -> None:
        """Read some of the files again that nothing seems to have changed, those first that were read longest ago."""
        known = ((seen, key) for path in paths if (seen := self._seen.get(key := os.fspath(path))))
        due = sorted(
            (seen.read_day, key, seen.size) for seen, key in known if seen.read_day <= today_number() - _AGAIN_DAYS
        )
        left = _AGAIN_BYTES
        for _, key, size in due:
            if left <= 0:
                break
            left -= size
            with suppress(OSError):
                facts = os.stat(key)  # noqa: PTH116  as above
                if self._seen[key].stamp == stamp_of(facts):
                    self._keep_look(key, facts, digest_file(Path(key)))

    def changed_silently(self, path: str | Path) -> str | None:
        """Give the digest of a file whose bytes changed while its time did not; None where that is not known."""
        silent = self._silent.get(os.fspath(path))
        return silent.now if silent else None

    def seen_as(self, path: str | Path) -> bytes | None:
        """Give the stamp of a file as its digest was read; None when it had not settled or was not read."""
        seen = self._seen.get(os.fspath(path))
        return seen.stamp if seen else None

    def save(self) -> None:
        """Write down the digests of the files looked at, and which blobs are whole as they lie there now."""
        self._make_ready()
        # A name in an encoding of another system can't be written as text; that file is read anew.
        seen = {path: seen for path, seen in self._seen.items() if path.isascii() or is_text_name(path)}
        silent = {path: one for path, one in self._silent.items() if path in seen}
        looks = _Looks(seen, dict(self._whole_now()), silent)
        put_sealed(self._digests_file, msgspec.msgpack.encode(looks))
        self._results.release()

    def _whole_now(self) -> Iterable[tuple[str, bytes]]:
        # Linking a blob into a folder changes its entry, so that is written down last.
        now = time.time()
        for name, facts in _ordinary_files(self.blobs):
            stamp = stamp_of(facts)
            is_whole = self._whole.get(name, self._whole_before.get(name) == stamp)
            if is_whole and now - facts.st_mtime > SETTLED_SECONDS:
                yield name, stamp

    def prune(self, blobs_in_use: Iterable[str]) -> None:
        """Remove results not asked for since this cache was opened and blobs that neither they nor anybody names."""
        self._make_ready()
        keep = self._named.union(blobs_in_use)
        for name in _names_in(self.blobs):
            if name not in keep:
                remove_any(self.blobs / name)
                self._whole[name] = False
        self._results.keep_only(self._used)
        remove_any(self.folder / "short-results")  # which earlier versions kept

    def _load_looks(self) -> _Looks:
        try:
            raw = unsealed(read_plain(self._digests_file), self._digests_file.name)
            return msgspec.msgpack.decode(raw or b"", type=_Looks)
        except (OSError, msgspec.MsgspecError):
            return _Looks()


def _names_in(folder: str | Path) -> list[str]:
    with os.scandir(folder) as entries:
        return [entry.name for entry in entries]


def _ordinary_files(folder: Path) -> Iterator[tuple[str, os.stat_result]]:
    with os.scandir(folder) as entries:
        for entry in entries:
            facts = entry.stat(follow_symlinks=False)
            if stat.S_ISREG(facts.st_mode) and facts.st_size:
                yield entry.name, facts


def today_number() -> int:
    """Number the days, for how long ago something was read."""
    return int(time.time() // 86_400)


def stamp_of(facts: os.stat_result) -> bytes:
    """Give what of a file changes with it: its number on the disk, size, and two times in nanoseconds.

    Packed, for thousands are kept: as four numbers they take three times as much memory.
    """
    return _STAMP.pack(facts.st_ino & _MOST, facts.st_size, facts.st_mtime_ns & _MOST, facts.st_ctime_ns & _MOST)
