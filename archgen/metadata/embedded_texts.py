"""Read what a picture's file says in words: owner, comment, captions, names, places, its own numbers.

For the search for leaks, which looks for the very words elsewhere; knows fields, not what is private about them. Tags:
Exif 2.32 (CIPA DC-008), IPTC-IIM 4.2, XMP by namespace.
"""

import re
from collections.abc import Iterable, Iterator

from PIL import ExifTags, Image, ImageFile, IptcImagePlugin

from archgen.images.decode import Opened
from archgen.metadata.containers import parts
from archgen.metadata.packets import png_xmp
from archgen.metadata.xmp_texts import UnreadablePacketError, xmp_texts

MOST_TEXTS, LONGEST_TEXT = 60, 500
# Image description, document name, artist, copyright, host computer; titles, comments and keywords of one system.
_IFD0 = (0x010E, 0x010D, 0x013B, 0x8298, 0x013C, 0x9C9B, 0x9C9C, 0x9C9D, 0x9C9E, 0x9C9F)
_EXIF = (0x9286, 0xA420, 0xA430, 0xA431, 0xA435)  # comment, unique number, owner, serial numbers
_XMP_SPACES = (
    "http://purl.org/dc/elements/1.1/", "http://ns.adobe.com/photoshop/1.0/", "http://ns.adobe.com/exif/1.0/aux/",
    "http://cipa.jp/exif/1.0/", "http://iptc.org/std/Iptc4xmpCore/1.0/xmlns/", "http://iptc.org/std/Iptc4xmpExt/2008-02-29/",
    "http://ns.adobe.com/lightroom/1.0/", "http://www.metadataworkinggroup.com/schemas/regions/",
    "http://ns.adobe.com/xap/1.0/mm/", "http://ns.useplus.org/ldf/xmp/1.0/", "http://ns.adobe.com/xap/1.0/rights/",
)  # fmt: skip
_DATE = re.compile(r"\d{4}[-:]\d\d[-:]\d\d(?:[T ][\d:.+Z-]*)?")


def read_texts(opened: Opened) -> tuple[str, ...]:
    """Give the texts of a file, each once; of a damaged one those that can be read."""
    found: dict[str, None] = {}
    for text in (*_exif(opened.picture), *_iptc(opened.picture), *_xmp(opened), *_comments(opened)):
        tidy = " ".join(text.replace("\0", " ").split())[:LONGEST_TEXT]
        if tidy and not _DATE.fullmatch(tidy):
            found.setdefault(tidy)
    return tuple(found)[:MOST_TEXTS]


def position_words(exif: Image.Exif) -> str | None:
    """Write where a picture was taken as two numbers of degrees, alike for every file that says the same."""
    place = exif.get_ifd(ExifTags.IFD.GPSInfo)
    try:
        north, east = (_degrees(place[tag]) * (-1 if place.get(tag - 1) in ("S", "W") else 1) for tag in (2, 4))
    except (KeyError, TypeError, ValueError, ZeroDivisionError):
        return None
    return f"position {north:.4f} {east:.4f}"


def _degrees(parts_of_one: Iterable[float]) -> float:
    degrees, minutes, seconds = (float(part) for part in parts_of_one)
    return degrees + minutes / 60 + seconds / 3600


def _exif(picture: Image.Image) -> Iterator[str]:
    try:
        exif = picture.getexif()
        details = exif.get_ifd(ExifTags.IFD.Exif)
        values = [exif.get(tag) for tag in _IFD0] + [details.get(tag) for tag in _EXIF] + [position_words(exif)]
    except Exception:  # damaged tags make the reader raise almost anything
        return
    yield from (_decoded(value) for value in values if isinstance(value, str | bytes))


def _decoded(value: str | bytes) -> str:
    if isinstance(value, str):
        try:  # the reader takes UTF-8 for Latin-1
            return value.encode("latin-1").decode("utf-8")
        except UnicodeError:
            return value
    alphabet, rest = value[:8], value[8:]
    if alphabet == b"UNICODE\0":
        return rest.decode("utf-16-be" if rest[:1] == b"\0" else "utf-16-le", "replace")
    value = rest if alphabet in (b"ASCII\0\0\0", b"\0" * 8) else value
    if b"\0" in value[1:2]:  # the tags of one system are in two bytes a letter
        return value.decode("utf-16-le", "replace")
    try:
        return value.decode("utf-8")
    except UnicodeDecodeError:
        return value.decode("latin-1")


def _iptc(picture: ImageFile.ImageFile) -> Iterator[str]:
    try:
        sets = IptcImagePlugin.getiptcinfo(picture) or {}
    except Exception:  # damaged blocks make the reader raise almost anything
        return
    for (record, _), raw in sorted(sets.items()):
        if record == 2:
            yield from (_decoded(value) for value in (raw if isinstance(raw, list) else [raw]) if len(value) > 2)


def _xmp(opened: Opened) -> Iterator[str]:
    raw = opened.picture.info.get("xmp") or (png_xmp(opened.stream) if opened.file_format == "PNG" else b"")
    packet = raw.encode(errors="replace") if isinstance(raw, str) else bytes(raw)
    try:
        yield from (found.text for found in xmp_texts(packet) if found.belongs_to in _XMP_SPACES)
    except UnreadablePacketError:
        return


def _comments(opened: Opened) -> Iterator[str]:
    """Give the comments of a JPEG or GIF and the texts of a PNG."""
    comment = opened.picture.info.get("comment")
    if isinstance(comment, str | bytes):
        yield _decoded(comment)
    if opened.file_format == "PNG":
        for part in parts(opened.stream, "PNG"):
            if part.name == "tEXt":
                yield _decoded(part.content.partition(b"\0")[2])
