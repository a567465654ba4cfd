"""Put gray PNG pictures into a PDF as they are packed: rows of a PNG are rows of a PDF too; knows files, not sheets.

A typesetter that unpacks a drawing and packs it again takes longer than for all the words around it. So it is given a
stand-in of a few pixels, and the drawing's own rows come in its place (ISO 32000-1, 7.4.4.4, Predictor 15).
"""

import struct
from collections.abc import Iterator, Sequence
from io import BytesIO

import pikepdf
from PIL import Image

from archgen.values.frozen import Value

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_GRAY, _PALETTE = 0, 3  # colour types of PNG (ISO/IEC 15948, 11.2.2)
_PNG_ROWS = 15


class PackedPicture(Value, frozen=True):
    """A gray picture as its PNG has it: packed rows, and the grays of its palette, empty where it has none."""

    width: int
    height: int
    bits: int
    rows: bytes
    grays: bytes


def packed(png: bytes) -> PackedPicture | None:
    """Read a PNG without unpacking it; None where it is in colour without a palette, transparent or interlaced."""
    if not png.startswith(_SIGNATURE):
        return None
    rows, colours = [], b""
    width = height = bits = kind = interlace = 0
    for name, content in _chunks(png):
        match name:
            case b"IHDR":
                width, height, bits, kind, _, _, interlace = struct.unpack(">IIBBBBB", content)
            case b"PLTE":
                colours = content
            case b"tRNS":
                return None
            case b"IDAT":
                rows.append(content)
    if interlace or bits > 8 or kind not in (_GRAY, _PALETTE):
        return None
    grays = Image.frombytes("RGB", (len(colours) // 3, 1), colours).convert("L").tobytes() if kind == _PALETTE else b""
    return PackedPicture(width, height, bits, b"".join(rows), grays)


def stand_in(number: int) -> bytes:
    """Give a PNG that no other number has: as many pixels, and one, in a row."""
    result = BytesIO()
    Image.new("L", (number + 1, 1), 255).save(result, "PNG")
    return result.getvalue()


def put_in(document: pikepdf.Pdf, pictures: Sequence[PackedPicture]) -> None:
    """Put each picture in the place of the stand-in with its number; gray keeps the meaning it has in the document."""
    for image in _images(document):
        number = int(image.Width) - 1
        if image.Height != 1 or number >= len(pictures):
            continue
        one = pictures[number]
        gray = image.ColorSpace
        if one.grays:
            gray = pikepdf.Array([pikepdf.Name.Indexed, gray, len(one.grays) - 1, pikepdf.String(one.grays)])
        rows = pikepdf.Dictionary(Predictor=_PNG_ROWS, Colors=1, BitsPerComponent=one.bits, Columns=one.width)
        image.write(one.rows, filter=pikepdf.Name.FlateDecode, decode_parms=rows)
        image.Width, image.Height, image.BitsPerComponent, image.ColorSpace = one.width, one.height, one.bits, gray


def _images(document: pikepdf.Pdf) -> Iterator[pikepdf.Object]:
    for item in document.objects:
        if isinstance(item, pikepdf.Stream) and item.get("/Subtype") == pikepdf.Name.Image:
            yield item


def _chunks(png: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = len(_SIGNATURE)
    while at + 8 <= len(png):
        length, name = struct.unpack_from(">I4s", png, at)
        yield name, png[at + 8 : at + 8 + length]
        at += 12 + length
