"""Results in one file, each with its key and a seal, one after the other; knows bytes, not what they mean.

In files of their own they were more than half of all files of a build folder. A result is written at the end, so one
that is half written stands last, and is cut off before the next. Each begins with a mark: behind damage the next one is
found by it. Whoever reads needs no lock, for a seal that is broken counts as no result.
"""

import errno
import hashlib
import os
import struct
import threading
import zlib
from collections.abc import Callable, Container, Iterator
from pathlib import Path

from archgen.storage.plain_files import is_plain_or_absent, open_plain, put_parts, read_plain, remove_any

# Mark, length of the key, length of the value, check of these and the key; then come key, seal and value.
_HEAD = struct.Struct("<4sHII")
_MARK = b"\xa9res"
_SEAL_BYTES = 16
_LENGTH_BITS = 32
_COPIED_BYTES = 1 << 20
_PREAD: Callable[[int, int, int], bytes] | None = getattr(os, "pread", None)  # Windows has none


class PackedResults:
    """What one file holds; may be asked by several threads at once."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._lock = threading.Lock()
        self._reading: int | None = None
        # Where a value begins, and its length in the lower bits; None before the first look. Where what is whole ends.
        self._places: dict[bytes, int] | None = None
        self._end = 0
        self._is_torn = False

    def get(self, key: str) -> bytes | None:
        """Give the value of a key; None where there is none, or not as it was written."""
        with self._lock:
            place = self._known().get(key.encode())
            if place is None:
                return None
            length = _SEAL_BYTES + _length(place)
            try:
                raw = self._read(_stop(place) - length, length)
            except OSError:
                return None
        value = raw[_SEAL_BYTES:]
        return value if raw[:_SEAL_BYTES] == _seal(key.encode(), value) else None

    def put(self, key: str, value: bytes) -> None:
        """Write a value, in the place of an earlier one.

        Raises:
            OSError: It cannot be written; what was there before is still whole.
        """
        name = key.encode()
        record = b"".join((_head(name, len(value)), name, _seal(name, value), value))
        with self._lock:
            known = self._known()
            if self._is_torn:
                known = self._mended()
            self._end = self._append(record)
            known[name] = _place(self._end - len(value), len(value))

    def keep_only(self, keys: Container[str]) -> None:
        """Write the file anew without results of other keys, what was written again since, and what lies between.

        Raises:
            OSError: It cannot be written; the file is as it was.
        """
        with self._lock:
            known = self._known()
            kept = {name: place for name, place in known.items() if name.decode() in keys}
            if not self._is_torn and sum(_size(*one) for one in kept.items()) == self._end:
                return
            moved: dict[bytes, int] = {}
            put_parts(self._path, self._copied(kept, moved))
            self._forget()
            self._places, self._end = moved, sum(_size(*one) for one in moved.items())

    def release(self) -> None:
        """Close the file until it is asked for again: a disk can be taken away."""
        with self._lock:
            self._close()

    def look_again(self) -> None:
        """Forget what was there, after another process wrote."""
        with self._lock:
            self._forget()

    def __del__(self) -> None:
        self._close()

    def _forget(self) -> None:
        self._close()
        self._places, self._end, self._is_torn = None, 0, False

    def _close(self) -> None:
        if self._reading is not None:
            os.close(self._reading)
            self._reading = None

    def _known(self) -> dict[bytes, int]:
        if self._places is None:
            raw = b""
            try:
                raw = read_plain(self._path)
            except FileNotFoundError:
                pass
            except OSError:
                self._is_torn = True
            self._places, self._end = {}, 0
            for name, place in _found(raw):
                self._places[name] = place
                self._end = _stop(place)
            self._is_torn |= self._end != len(raw)
        return self._places

    def _read(self, start: int, length: int) -> bytes:
        if self._reading is None:
            self._reading = open_plain(self._path)
        if _PREAD:
            return _PREAD(self._reading, length, start)
        os.lseek(self._reading, start, os.SEEK_SET)
        return os.read(self._reading, length)

    def _mended(self) -> dict[bytes, int]:
        """Cut off what is half written now, and give what is known; what is no file at all is taken away."""
        self._forget()  # another process may have cut it off, and written since
        known = self._known()
        if not is_plain_or_absent(self._path):
            remove_any(self._path)
        elif self._is_torn and self._path.exists():
            os.truncate(self._path, self._end)
        self._is_torn = False
        return known

    def _append(self, record: bytes) -> int:
        """Write at the end and say where that is now."""
        handle = open_plain(self._path, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
        try:
            written = os.write(handle, record)
            end = os.lseek(handle, 0, os.SEEK_CUR)
            if written < len(record):
                os.ftruncate(handle, end - written)
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), os.fspath(self._path))
        finally:
            os.close(handle)
        return end

    def _copied(self, kept: dict[bytes, int], moved: dict[bytes, int]) -> Iterator[bytes]:
        """Give what is kept in parts, neighbours together, and tell where it lies in the new file."""
        end = start = stop = 0
        for name, place in sorted(kept.items(), key=lambda one: one[1]):
            size, length = _size(name, place), _length(place)
            if _stop(place) - size != stop or stop - start > _COPIED_BYTES:
                if stop > start:
                    yield self._read(start, stop - start)
                start = _stop(place) - size
            stop, end = _stop(place), end + size
            moved[name] = _place(end - length, length)
        if kept:
            yield self._read(start, stop - start)


def _place(start: int, length: int) -> int:
    return start << _LENGTH_BITS | length


def _length(place: int) -> int:
    return place & (1 << _LENGTH_BITS) - 1


def _stop(place: int) -> int:
    """Give where a value ends."""
    return (place >> _LENGTH_BITS) + _length(place)


def _size(name: bytes, place: int) -> int:
    """Give how many bytes a result takes with all that goes with it."""
    return _HEAD.size + len(name) + _SEAL_BYTES + _length(place)


def _head(name: bytes, length: int) -> bytes:
    return _HEAD.pack(_MARK, len(name), length, _check(name, length))


def _check(name: bytes, length: int) -> int:
    return zlib.crc32(name, length)


def _seal(name: bytes, value: bytes) -> bytes:
    return hashlib.blake2b(b"\0".join((name, value)), digest_size=_SEAL_BYTES).digest()


def _found(raw: bytes) -> Iterator[tuple[bytes, int]]:
    """Give key and place of all that may be whole, in order."""
    at = raw.find(_MARK)
    while 0 <= at <= len(raw) - _HEAD.size:
        _, key_length, length, check = _HEAD.unpack_from(raw, at)
        start = at + _HEAD.size + key_length + _SEAL_BYTES
        name = raw[at + _HEAD.size : start - _SEAL_BYTES]
        if start + length <= len(raw) and check == _check(name, length):
            yield name, _place(start, length)
            at = raw.find(_MARK, start + length)
        else:
            at = raw.find(_MARK, at + 1)
