"""Unpack gzip, bzip2, xz, zip and tar within limits; knows packing, not what is packed.

gzip: RFC 1952. Nothing is written to the disk, and no more is unpacked than the caller allows.
"""

import bz2
import io
import lzma
import tarfile
import zipfile
import zlib
from collections.abc import Callable
from typing import Protocol

from archgen.leaks.reading.disclosed import Disclosed

TOO_MUCH = "more is packed in it than can be looked through"
LOCKED = "a packed file that opens only with a password"
MOST_MEMBERS = 10_000
_NO_TIME = (1980, 1, 1, 0, 0, 0)
_XZ_MEMORY = 64 << 20
_GZIP_HEAD = 10
# Packers this reads no further: 7z, RAR, zstd.
OTHER_PACKERS = (b"7z\xbc\xaf\x27\x1c", b"Rar!\x1a\x07", b"\x28\xb5\x2f\xfd")


class _Unpacker(Protocol):
    @property
    def eof(self) -> bool: ...
    @property
    def unused_data(self) -> bytes: ...
    def decompress(self, data: bytes, max_length: int, /) -> bytes: ...


def packer_of(content: bytes) -> Callable[[bytes, Disclosed, int], None] | None:
    """Say how a content is packed, by its beginning; None when it is not."""
    if content.startswith(b"\x1f\x8b\x08") and len(content) > _GZIP_HEAD:
        return _gzip
    if content.startswith(b"BZh") and content[4:10] in (b"1AY&SY", b"\x17\x72\x45\x38\x50\x90"):
        return lambda data, found, most: _stream(data, found, most, bz2.BZ2Decompressor)
    if content.startswith(b"\xfd7zXZ\0"):
        return lambda data, found, most: _stream(data, found, most, _xz)
    if content.startswith((b"PK\x03\x04", b"PK\x05\x06")):
        return _zip
    if content[257:262] == b"ustar":
        return _tar
    return None


def _xz() -> _Unpacker:
    return lzma.LZMADecompressor(memlimit=_XZ_MEMORY)


def _gzip(content: bytes, found: Disclosed, most: int) -> None:
    if content[4:8] != b"\0\0\0\0":
        found.traces.append("the time at which it was packed")
    head = content[_GZIP_HEAD:1024]
    if content[3] & 4:  # an extra field before the name
        head = head[2 + int.from_bytes(head[:2], "little") :]
    for flag in (8, 16):  # name, comment
        if content[3] & flag:
            text, _, head = head.partition(b"\0")
            found.names.append(text.decode("latin-1"))
    _stream(content, found, most, lambda: zlib.decompressobj(wbits=31))


def _stream(content: bytes, found: Disclosed, most: int, begin: Callable[[], _Unpacker]) -> None:
    """Unpack one stream after the other; what follows the last is bytes."""
    inside, rest = bytearray(), content
    try:
        while rest:
            unpacker = begin()
            inside += unpacker.decompress(rest, most + 1 - len(inside))
            if len(inside) > most:
                found.unread.append(TOO_MUCH)
                break
            if not unpacker.eof:
                found.unread.append("a packed file that ends too early")
                break
            rest = unpacker.unused_data
            if rest[:2] != content[:2]:
                break
    except (OSError, EOFError, ValueError, zlib.error, lzma.LZMAError):
        found.unread.append("a packed file that is damaged")
    found.raw.append(rest if rest is not content else b"")
    found.inside.append(("", bytes(inside[:most])))


def _zip(content: bytes, found: Disclosed, most: int) -> None:
    left = most
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            found.raw.append(archive.comment)
            members = archive.infolist()
            if len(members) > MOST_MEMBERS:
                found.unread.append(TOO_MUCH)
            for member in members[:MOST_MEMBERS]:
                found.names.append(member.filename)
                found.raw += [member.extra, member.comment]
                if member.date_time != _NO_TIME:
                    found.traces.append(f"the time stamp of {member.filename} in a packed file")
                if not member.filename.endswith("/"):  # is_dir fails on a member without a name
                    left -= _unzip(archive, member, found, left)
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError, EOFError):
        found.unread.append("a packed file that is damaged")


def _unzip(archive: zipfile.ZipFile, member: zipfile.ZipInfo, found: Disclosed, left: int) -> int:
    if member.flag_bits & 1:
        found.unread.append(LOCKED)
        return 0
    try:
        with archive.open(member) as packed:
            inside = packed.read(left + 1)
    except (zipfile.BadZipFile, zlib.error, lzma.LZMAError, OSError, RuntimeError, NotImplementedError, EOFError):
        found.unread.append(f"{member.filename}, packed and damaged")
        return 0
    if len(inside) > left:
        found.unread.append(TOO_MUCH)
    found.inside.append((member.filename, inside[:left]))
    return len(inside)


def _tar(content: bytes, found: Disclosed, most: int) -> None:
    try:
        with tarfile.open(fileobj=io.BytesIO(content), mode="r:") as archive:
            for number, member in enumerate(archive):
                if number >= MOST_MEMBERS:
                    found.unread.append(TOO_MUCH)
                    break
                found.names += [member.name, member.linkname, member.uname, member.gname]
                if member.isfile() and (packed := archive.extractfile(member)):
                    found.inside.append((member.name, packed.read(most)))
    except (tarfile.TarError, OSError, ValueError, EOFError):
        found.unread.append("a packed file that is damaged")
