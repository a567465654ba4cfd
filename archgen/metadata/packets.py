"""Take packets of XMP and IIM out of places the decoder does not look in; knows segments and chunks, not properties.

Extended XMP: XMP Specification Part 3, "Storage in Files", section 1.1.3.1: a packet longer than one JPEG segment is
split, each portion with the packet's mark, its whole length and where the portion begins. IIM in PNG is no standard:
exiftool and others write it as hexadecimal text.
"""

import re
import struct
from typing import BinaryIO

from PIL import Image

from archgen.metadata.containers import parts

_EXTENSION = b"http://ns.adobe.com/xmp/extension/\0"
_PORTION = struct.Struct(">32sII")
# Pictures and depth maps that phones put into the packet as text; the look back keeps the search to one pass.
_PICTURE_AS_TEXT = re.compile(rb"(?<![\w+/=])[\w+/=]{4096,}")
_PNG_XMP = b"XML:com.adobe.xmp\0\0\0"
_PNG_IIM = "Raw profile type iptc"
_IIM_RESOURCE = re.compile(rb"8BIM\x04\x04\0\0(....)", re.DOTALL)


def extended_xmp(stream: BinaryIO, mark: str) -> bytes | None:
    """Put the portions of a JPEG's long packet together, pictures in it left out; None when they do not fit together.

    No more memory is taken than the portions have, whatever length they claim.
    """
    found = []
    for part in parts(stream, "JPEG"):
        content = part.content.removeprefix(_EXTENSION)
        if part.name == "E1" and _PORTION.size <= len(content) < len(part.content):
            of, whole, begins = _PORTION.unpack_from(content)
            if of == mark.encode():
                found.append((begins, whole, content[_PORTION.size :]))
    packet = bytearray()
    for begins, whole, portion in sorted(found):
        if begins != len(packet) or whole != found[0][1]:
            return None
        packet += portion
    return _PICTURE_AS_TEXT.sub(b"", packet) if found and len(packet) == found[0][1] else None


def png_xmp(stream: BinaryIO) -> bytes:
    """Find a packet behind the pixels of a PNG, which the header does not tell of."""
    texts = (part.content for part in parts(stream, "PNG") if part.name == "iTXt")
    packet = next((text for text in texts if text.startswith(_PNG_XMP)), b"")
    return packet.removeprefix(_PNG_XMP).partition(b"\0")[2].partition(b"\0")[2]


def png_iim(picture: Image.Image) -> bytes:
    """Read the IIM records of a PNG: after a name and a length, in hexadecimal; some programs wrap them once more."""
    lines = str(picture.info.get(_PNG_IIM) or "").strip().split("\n", 2)
    try:
        records = bytes.fromhex(lines[2])[: int(lines[1])]
    except (IndexError, ValueError):
        return b""
    wrapped = _IIM_RESOURCE.search(records) if records.startswith(b"8BIM") else None
    return records[wrapped.end() :][: int.from_bytes(wrapped[1], "big")] if wrapped else records
