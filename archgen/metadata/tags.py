"""Read what a picture file tells beside its pixels; prove that files we make tell nothing; knows tags, not rules.

Tags: Exif 2.32 (CIPA DC-008), IPTC-IIM 4.2, XMP by property name, CIPA DC-007 (several pictures in one JPEG).
"""

import datetime as dt
import re
import struct
from io import BytesIO

from PIL import ExifTags, Image, ImageFile, IptcImagePlugin

from archgen.images.decode import Opened
from archgen.metadata.avif_items import Meta, boxes
from archgen.metadata.containers import END, TRAILER, Part, parts
from archgen.metadata.embedded_texts import read_texts
from archgen.values.frozen import Value

_IFD0 = {
    0x010D: "document name", 0x010E: "caption", 0x010F: "camera make and model", 0x0110: "camera make and model",
    0x0131: "program it was edited with", 0x013B: "author's name", 0x013C: "name of the computer or phone",
    0x8298: "copyright line", 0x9C9B: "title", 0x9C9C: "comment", 0x9C9D: "author's name", 0x9C9E: "keywords",
    0x9C9F: "caption",
}  # fmt: skip
_EXIF = {
    0x9003: "date and time", 0x927C: "notes by the camera's maker", 0x9286: "comment", 0xA420: "unique picture number",
    0xA430: "camera owner's name", 0xA431: "camera serial number", 0xA435: "lens serial number",
}  # fmt: skip
_XMP = (
    (rb"GPSLatitude|GPSLongitude", "position"),
    (
        rb"LocationCreated|LocationShown|photoshop:City|Iptc4xmpCore:Location|photoshop:State",
        "name of the place",
    ),
    (rb"PersonInImage", "names of people shown"),
    (rb"mwg-rs:Region", "marked faces"),
    (rb"LensSerialNumber", "lens serial number"),
    (rb"(?:aux:|exifEX:Body)SerialNumber", "camera serial number"),
    (rb"aux:OwnerName|CameraOwnerName", "camera owner's name"),
    (rb"dc:creator|photoshop:Credit", "author's name"),
    (rb"dc:description|photoshop:Headline", "caption"),
    (rb"dc:subject", "keywords"),
    (rb"dc:rights", "copyright line"),
    (rb"xmpMM:History|xmpMM:DerivedFrom", "editing history"),
    (rb"MotionPhoto=[\"']1|MicroVideo=[\"']1|MotionPhoto>1", "motion video"),
)
_SERIALS_EXIF = (0xA431, 0xA435)
_SERIALS_XMP = re.compile(rb"(?:aux:|exifEX:)(?:Body|Lens)?SerialNumber(?:=[\"']|>)([^\"'<>]{1,64})")
_IPTC = {
    5: "title", 25: "keywords", 80: "author's name", 90: "name of the place", 92: "name of the place",
    95: "name of the place", 101: "name of the place", 110: "author's name", 116: "copyright line", 120: "caption",
}  # fmt: skip
_PARTS = {
    ("JPEG", "FE"): "comment", ("JPEG", "EB"): "content credentials", ("PNG", "tEXt"): "comment",
    ("PNG", "zTXt"): "comment", ("PNG", "iTXt"): "comment", ("PNG", "tIME"): "date and time",
    ("PNG", "caBX"): "content credentials", ("WEBP", "C2PA"): "content credentials", ("HEIF", "mpvd"): "motion video",
    ("AVIF", "mpvd"): "motion video", ("HEIF", "moov"): "motion video",
}  # fmt: skip

# Exif 2.32, section 4.6.2: bytes per value of each type.
_TYPE_BYTES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8}
# A camera whose clock was never set says 1970, 1980 or 2000 on the first of January.
_CLOCK_NEVER_SET = {(1970, 1, 1), (1980, 1, 1), (2000, 1, 1)}
_FIRST_DIGITAL_YEAR, _LAST_YEAR = 1990, 2100


class FileTags(Value, frozen=True):
    """What a file tells: how to turn it, when it was taken, what private things it holds; whether all could be read.

    `serials` are the numbers of camera and lens themselves, but for those only the maker's own notes hold; `texts` is
    what the file says in words.
    """

    orientation: int
    taken: dt.datetime | None
    private: tuple[str, ...]
    serials: tuple[str, ...]
    texts: tuple[str, ...]
    is_readable: bool


def read(opened: Opened) -> FileTags:
    """Read a picture's metadata; what is damaged counts as not there."""
    picture, file_parts = opened.picture, parts(opened.stream, opened.file_format)
    raw = picture.info.get("exif", b"")
    readable = not raw or _is_sound(raw)
    words: set[str] = set()
    exif = Image.Exif()
    try:
        exif = picture.getexif()
        words |= _exif_words(exif)
        orientation, taken = exif.get(0x0112, 1), _date_taken(exif)
    except Exception:  # damaged tags make the reader raise almost anything
        orientation, taken, readable = 1, None, False
    xmp = _xmp_bytes(picture)
    words |= {word for pattern, word in _XMP if re.search(pattern, xmp)}
    words |= _iptc_words(picture)
    words |= {word for part in file_parts if (word := _PARTS.get((opened.file_format, part.name)))}
    words |= _extra_pictures(opened, file_parts)
    if opened.file_format in {"HEIF", "TIFF"}:
        orientation = 1  # their decoders turn the picture themselves
    orientation = orientation if orientation in range(1, 9) else 1
    return FileTags(orientation, taken, tuple(sorted(words)), _serials(exif, xmp), read_texts(opened), readable)


def _serials(exif: Image.Exif, xmp: bytes) -> tuple[str, ...]:
    try:
        details = exif.get_ifd(ExifTags.IFD.Exif)
        found = [str(details.get(tag) or "") for tag in _SERIALS_EXIF]
    except Exception:  # damaged tags make the reader raise almost anything
        found = []
    found += [raw.decode("utf-8", "replace") for raw in _SERIALS_XMP.findall(xmp)]
    tidied = (" ".join(text.replace("\0", " ").split()) for text in found)
    return tuple(dict.fromkeys(text for text in tidied if text))


def _exif_words(exif: Image.Exif) -> set[str]:
    details = exif.get_ifd(ExifTags.IFD.Exif)
    words = {word for tag, word in _IFD0.items() if _says_something(exif.get(tag))}
    words |= {word for tag, word in _EXIF.items() if _says_something(details.get(tag))}
    if any(tag in exif.get_ifd(ExifTags.IFD.GPSInfo) for tag in (2, 4, 7, 29)):
        words.add("position")
    if exif.get_ifd(ExifTags.IFD.IFD1).get(0x0201):
        words.add("embedded thumbnail")
    return words


def _says_something(value: object) -> bool:
    if isinstance(value, bytes):
        # A user comment starts with eight bytes that name its alphabet.
        return bool(value.removeprefix(b"ASCII\0\0\0").removeprefix(b"UNICODE\0").strip(b"\0 "))
    return bool(value.strip("\0 ")) if isinstance(value, str) else value is not None


def _date_taken(exif: Image.Exif) -> dt.datetime | None:
    details = exif.get_ifd(ExifTags.IFD.Exif)
    for tag in (0x9003, 0x9004):
        try:
            # Exif keeps the wall clock of the place, without a zone.
            taken = dt.datetime.strptime(str(details.get(tag)).strip("\0 "), "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007
        except ValueError:
            continue
        if (
            _FIRST_DIGITAL_YEAR <= taken.year <= _LAST_YEAR
            and (taken.year, taken.month, taken.day) not in _CLOCK_NEVER_SET
        ):
            return taken
    return None


def _is_sound(raw: bytes) -> bool:
    """Say whether an Exif block's first directory and the values it points to lie inside the block."""
    tiff = raw.removeprefix(b"Exif\0\0")
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2])
    try:
        if order is None:
            return False
        (at,) = struct.unpack_from(f"{order}I", tiff, 4)
        (count,) = struct.unpack_from(f"{order}H", tiff, at)
        for entry in range(count):
            _, kind, number, value = struct.unpack_from(f"{order}HHII", tiff, at + 2 + 12 * entry)
            length = _TYPE_BYTES.get(kind, 0) * number
            if length > 4 and value + length > len(tiff):
                return False
    except struct.error:
        return False
    return True


def _xmp_bytes(picture: Image.Image) -> bytes:
    xmp = picture.info.get("xmp", b"")
    return xmp.encode(errors="replace") if isinstance(xmp, str) else bytes(xmp)


def _iptc_words(picture: ImageFile.ImageFile) -> set[str]:
    try:
        datasets = IptcImagePlugin.getiptcinfo(picture) or {}
    except Exception:  # damaged blocks make the reader raise almost anything
        return set()
    return {word for number, word in _IPTC.items() if datasets.get((2, number))}


def _extra_pictures(opened: Opened, file_parts: list[Part]) -> set[str]:
    """Name what lies in the file beside the picture shown: more pictures, depth, video, unknown data."""
    info, words = opened.picture.info, set[str]()
    if info.get("thumbnails"):
        words.add("embedded thumbnail")
    if info.get("depth_images"):
        words.add("depth map")
    if info.get("aux") or opened.has_more_pictures() is not False:
        words.add("extra images")
    for trailer in (part.content for part in file_parts if part.name == TRAILER):
        kinds = {
            word for mark, word in ((b"\xff\xd8\xff", "extra images"), (b"ftyp", "motion video")) if mark in trailer
        }
        words |= kinds or {"data after the picture"}
    return words


# What a decoder needs. JPEG: frames, tables, scan, and a JFIF header without thumbnail. PNG: no text, time or profile.
_NEEDED = {
    "JPEG": {"C0", "C1", "C2", "C4", "DA", "DB", "DD", END},
    "PNG": {"IHDR", "PLTE", "tRNS", "IDAT", "IEND", END},
    "WEBP": {"VP8 ", "VP8L", "ALPH", END},
    "AVIF": {"ftyp", "meta", "mdat", END},
}
_JFIF_BYTES = 14
_LISTED = {"hdlr", "pitm", "iloc", "iinf", "iprp"}  # in the meta box of an AVIF
_NAMES = {
    "FE": "comment", "E1": "Exif or XMP", "E2": "colour profile or extra images", "ED": "IPTC", "EE": "Adobe segment",
    "ICCP": "colour profile", "iCCP": "colour profile", "EXIF": "Exif", "eXIf": "Exif", "XMP ": "XMP", "tEXt": "text",
    "zTXt": "text", "iTXt": "text or XMP", TRAILER: "data after the picture",
}  # fmt: skip


def prove_clean(content: bytes) -> list[str]:
    """Say what other than pixels is left in a JPEG, PNG, WebP or AVIF that we made; nothing is right.

    Reads the file's own parts against a list of the needed ones, so what nobody thought of is found too.
    """
    file_format = _format_of(content)
    if file_format is None:
        return ["unknown file format"]
    found = parts(BytesIO(content), file_format)
    left = {
        _NAMES.get(part.name, f"part {part.name}")
        for part in found
        if part.name not in _NEEDED[file_format] and not _is_plain_header(file_format, part)
    }
    if not any(part.name == END for part in found):
        left.add("no end")
    if file_format == "AVIF":
        left |= _beside_pixels(content)
    return sorted(left)


def _format_of(content: bytes) -> str | None:
    if content.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if content.startswith(b"\x89PNG"):
        return "PNG"
    if content[4:12] == b"ftypavif":
        return "AVIF"
    return "WEBP" if content[:4] == b"RIFF" and content[8:12] == b"WEBP" else None


def _beside_pixels(content: bytes) -> set[str]:
    """Name what an AVIF lists beside one picture, and bytes that it does not list."""
    try:
        meta = Meta(content)
        found = {f"item {item.kind}" for item in meta.items if item.kind != "av01"}
        found |= {f"part {name}" for name in meta.inside.keys() - _LISTED}
        data = [(box.begin, box.end) for box in boxes(content, 0, len(content)) if box.name == "mdat"]
    except (ValueError, struct.error):
        return {"parts that make no sense"}
    if b"colrprof" in content[: meta.box.end] or b"colrrICC" in content[: meta.box.end]:
        found.add("colour profile")
    return found if meta.pixels == tuple(data) else found | {"unlisted data"}


def _is_plain_header(file_format: str, part: Part) -> bool:
    """Say whether a part is a JFIF header without thumbnail, or a WebP header whose flags announce alpha at most."""
    if file_format == "JPEG":
        return part.name == "E0" and part.length == _JFIF_BYTES and part.content.startswith(b"JFIF\0")
    return file_format == "WEBP" and part.name == "VP8X" and part.content[:1] in (b"\0", b"\x10")
