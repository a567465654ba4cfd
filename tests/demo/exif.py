"""EXIF blocks as a camera writes them: orientation, dates, serial numbers, position, thumbnail. No maker's name.

Written by hand because Pillow cannot write a second image directory (the thumbnail). Layout: TIFF 6.0, Exif 2.32.
"""

import datetime as dt
import struct
from dataclasses import dataclass

ASCII, SHORT, LONG, RATIONAL, UNDEFINED = 2, 3, 4, 5, 7
SIZES = {ASCII: 1, SHORT: 2, LONG: 4, RATIONAL: 8, UNDEFINED: 1}
HEADER = 8

Entry = tuple[int, int, int, bytes]


@dataclass(frozen=True, slots=True)
class Shot:
    """What the camera knew; position is latitude and longitude in degrees, serial the body's number."""

    taken: dt.datetime
    orientation: int = 1
    position: tuple[float, float] | None = None
    serial: str | None = None
    thumbnail: bytes | None = None


def exif_block(shot: Shot) -> bytes:
    """Build the block, little-endian, without the "Exif" marker that a JPEG puts before it."""
    stamp = shot.taken.strftime("%Y:%m:%d %H:%M:%S")
    camera = [_text(0x9003, stamp), _text(0x9004, stamp), (0xA001, SHORT, 1, struct.pack("<H", 1))]
    if shot.serial:
        camera += [_text(0xA431, shot.serial), _text(0xA435, shot.serial[::-1])]
    position = _position(shot.position) if shot.position else []
    first: list[Entry] = [(0x0112, SHORT, 1, struct.pack("<H", shot.orientation)), _text(0x0132, stamp)]
    pointers = 1 + bool(position)
    at = HEADER + _length([*first, *[_long(0, 0)] * pointers])
    first.append(_long(0x8769, at))
    at += _length(camera)
    if position:
        first.append(_long(0x8825, at))
        at += _length(position)
    second: list[Entry] = []
    if shot.thumbnail:
        second = [(0x0103, SHORT, 1, struct.pack("<H", 6)), _long(0x0201, 0), _long(0x0202, len(shot.thumbnail))]
        second[1] = _long(0x0201, at + _length(second))
    blocks = [_directory(first, HEADER, at if second else 0)]
    for entries in (camera, position, second):
        if entries:
            blocks.append(_directory(entries, HEADER + sum(map(len, blocks)), 0))
    return struct.pack("<2sHI", b"II", 42, HEADER) + b"".join(blocks) + (shot.thumbnail or b"")


def _position(position: tuple[float, float]) -> list[Entry]:
    entries: list[Entry] = [(0x0000, 1, 4, bytes((2, 3, 0, 0)))]
    for tag, value, words in ((1, position[0], "NS"), (3, position[1], "EW")):
        entries.append(_text(tag, words[value < 0]))
        minutes, seconds = divmod(round(abs(value) * 360000), 6000)
        degrees, minutes = divmod(minutes, 60)
        entries.append((tag + 1, RATIONAL, 3, struct.pack("<6I", degrees, 1, minutes, 1, seconds, 100)))
    return entries


def _text(tag: int, words: str) -> Entry:
    data = words.encode("ascii") + b"\0"
    return tag, ASCII, len(data), data


def _long(tag: int, value: int) -> Entry:
    return tag, LONG, 1, struct.pack("<I", value)


def _length(entries: list[Entry]) -> int:
    return 6 + 12 * len(entries) + sum(len(data) + len(data) % 2 for *_, data in entries if len(data) > 4)


def _directory(entries: list[Entry], start: int, following: int) -> bytes:
    table, values = struct.pack("<H", len(entries)), b""
    free = start + 6 + 12 * len(entries)
    for tag, kind, count, data in sorted(entries):
        if len(data) > 4:
            table += struct.pack("<HHII", tag, kind, count, free + len(values))
            values += data + b"\0" * (len(data) % 2)
        else:
            table += struct.pack("<HHI", tag, kind, count) + data.ljust(4, b"\0")
    return table + struct.pack("<I", following) + values
