"""Name the parts of a picture file without decoding it; knows file layouts, not what the parts mean.

JPEG: ITU-T T.81 annex B. PNG: W3C PNG third edition, section 5. WebP: RFC 9649. HEIF and AVIF: ISO/IEC 14496-12 boxes.
"""

import re
from collections.abc import Iterator
from typing import BinaryIO, NamedTuple

# Parts longer than this hold pixels or profiles whose content nobody here asks for.
LONGEST_KEPT = 1 << 20
TRAILER = "trailer"
END = "end"
_MARKER_IN_SCAN = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")
# Boxes that are cut short when a file is.
_LONG_BOXES = frozenset({"ftyp", "meta", "mdat", "moov", "free", "skip", "uuid", "mpvd", "idat"})
_START_OF_SCAN, _END_OF_IMAGE = 0xDA, 0xD9
_PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"


class Part(NamedTuple):
    """One part of a file: its name in the format's own spelling, its length, its content unless it is long."""

    name: str
    length: int
    content: bytes


def parts(stream: BinaryIO, file_format: str, longest: int = LONGEST_KEPT) -> list[Part]:
    """List the parts of a file in order; the last is ``end``, or ``trailer`` if more follows.

    Stops quietly where the file is cut or makes no sense; formats not known here give no parts.
    """
    stream.seek(0)
    walk = {"JPEG": _jpeg, "PNG": _png, "WEBP": _webp, "HEIF": _boxes, "AVIF": _boxes}.get(file_format)
    return list(walk(stream, longest)) if walk else []


def _jpeg(stream: BinaryIO, _longest: int) -> Iterator[Part]:
    data = stream.read()
    at = 2
    while at + 4 <= len(data) and data[at] == 0xFF:
        marker = data[at + 1]
        if marker == 0xFF:  # fill byte
            at += 1
            continue
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        yield Part(f"{marker:02X}", length - 2, data[at + 4 : at + 2 + length])
        at += 2 + length
        if marker == _START_OF_SCAN:
            found = _MARKER_IN_SCAN.search(data, at)
            at = found.start() if found else len(data)
        if data[at : at + 2] == bytes((0xFF, _END_OF_IMAGE)):
            yield from _end(data[at + 2 :])
            return


def _png(stream: BinaryIO, longest: int) -> Iterator[Part]:
    if stream.read(8) != _PNG_SIGNATURE:
        return
    while len(head := stream.read(8)) == 8:
        length, name = int.from_bytes(head[:4], "big"), head[4:].decode("latin-1")
        yield _read_part(stream, name, length, longest)
        stream.seek(4, 1)  # checksum
        if name == "IEND":
            yield from _end(stream.read())
            return


def _webp(stream: BinaryIO, longest: int) -> Iterator[Part]:
    head = stream.read(12)
    end = 8 + int.from_bytes(head[4:8], "little")
    while stream.tell() + 8 <= end and len(head := stream.read(8)) == 8:
        length = int.from_bytes(head[4:], "little")
        yield _read_part(stream, head[:4].decode("latin-1"), length, longest)
        stream.seek(length & 1, 1)
    if stream.tell() == end:
        yield from _end(stream.read())


def _boxes(stream: BinaryIO, longest: int) -> Iterator[Part]:
    size = stream.seek(0, 2)
    stream.seek(0)
    while len(head := stream.read(8)) == 8:
        length, header = int.from_bytes(head[:4], "big"), 8
        if length == 1:
            length, header = int.from_bytes(stream.read(8), "big"), 16
        name = head[4:].decode("latin-1")
        if length == 0:  # this box runs to the end of the file
            yield _read_part(stream, name, size - stream.tell(), longest)
            return
        if length < header or (stream.tell() + length - header > size and name not in _LONG_BOXES):
            stream.seek(-header, 1)  # no box, whatever it is
            break
        yield _read_part(stream, name, length - header, longest)
    else:
        stream.seek(-len(head), 1)
    yield from _end(stream.read())


def _read_part(stream: BinaryIO, name: str, length: int, longest: int) -> Part:
    """Read a part whose content starts here, and leave the stream at its end."""
    end = stream.tell() + length
    content = stream.read(length) if length <= longest else b""
    stream.seek(min(end, stream.seek(0, 2)))  # a length may lie
    return Part(name, length, content)


def _end(data: bytes) -> Iterator[Part]:
    """Give the picture's end, and what follows it."""
    yield Part(END, 0, b"")
    if data.strip(b"\x00"):
        yield Part(TRAILER, len(data), data)
