"""Take a picture file apart into what tells something and what is pixels, and name what a public one should not have.

JPEG, PNG, WebP and AVIF by their own parts, TIFF by where its strips lie. What a published picture may say of itself is
a short list (the artist's own rights); everything else in it is named as a trace.
"""

import io
import re
import zlib
from collections.abc import Iterator
from itertools import islice

from PIL import Image, IptcImagePlugin
from PIL.TiffImagePlugin import ImageFileDirectory_v2

from archgen.images.decode import MIN_SIDE_PX
from archgen.leaks.reading.apart import read_apart
from archgen.leaks.reading.disclosed import Disclosed
from archgen.leaks.reading.pages import read_page, texts_among
from archgen.metadata.avif_items import Meta, beside_pixels
from archgen.metadata.containers import END, TRAILER, Part, parts
from archgen.metadata.embedded_texts import position_words
from archgen.metadata.picture_file import is_opened_here
from archgen.metadata.xmp_texts import RDF, UnreadablePacketError, xmp_texts
from archgen.picture_facts.stage import quiet

_PIXELS = {
    "JPEG": {"C0", "C1", "C2", "C4", "DB", "DA"}, "PNG": {"IDAT", "fdAT"}, "WEBP": {"VP8 ", "VP8L", "ALPH", "ANMF"},
    "AVIF": {"mdat"}, "HEIF": {"mdat"},
}  # fmt: skip
_LISTING = ("AVIF", "HEIF")
_JPEG = b"\xff\xd8\xff"
_MOST_INSIDE = 20

# What a published picture may say of itself, and what a decoder needs.
_EXIF_ALLOWED = {315, 33432, 700}  # artist, copyright; XMP, which Pillow hands over under its own number
_XMP_ALLOWED = {
    ("http://purl.org/dc/elements/1.1/", "creator"), ("http://purl.org/dc/elements/1.1/", "rights"),
    ("http://ns.adobe.com/photoshop/1.0/", "Credit"), ("http://ns.adobe.com/xap/1.0/rights/", "Marked"),
    ("http://ns.adobe.com/xap/1.0/rights/", "WebStatement"), ("http://ns.useplus.org/ldf/xmp/1.0/", "Licensor"),
    ("http://ns.useplus.org/ldf/xmp/1.0/", "LicensorURL"),
    ("http://ns.useplus.org/ldf/xmp/1.0/", "DataMining"), ("adobe:ns:meta/", "xmpmeta"), ("adobe:ns:meta/", "xmptk"),
    ("http://www.w3.org/XML/1998/namespace", "lang"),
}  # fmt: skip
_OF_A_PERSON = {0xA430, 0xA431, 0xA435}  # owner's name, serial numbers of camera and lens
POSITION, THUMBNAIL, BEHIND = "a position (GPS)", "an embedded thumbnail", "data behind the end of the picture"
OWNER = "the owner's name or the serial number of the camera"
_EXIF_NAMES = {
    0x8825: POSITION, 0x8769: "camera settings, which may hold its serial number and the time",
    0x010F: "the camera's maker", 0x0110: "the camera's model", 0x0131: "the program that made it",
    0x0132: "a date and time", 0x013C: "the computer's name", 0x010E: "a description", 0x9C9B: "a title",
    0x9C9C: "a comment", 0x9C9D: "an author",
}  # fmt: skip
# What Pillow reports of a picture that tells nothing of people, places and devices.
_HARMLESS = frozenset({
    "icc_profile", "dpi", "jfif", "jfif_version", "jfif_unit", "jfif_density", "progressive", "progression", "adobe",
    "adobe_transform", "exif", "xmp", "photoshop", "gamma", "srgb", "transparency", "loop", "duration", "timestamp",
    "background", "aspect", "interlace", "chromaticity", "primary", "bit_depth", "compression", "version", "extension",
    "resolution",
})  # fmt: skip


def format_of(content: bytes) -> str | None:
    """Say what kind of picture a content is by its beginning; None when it is none."""
    if content.startswith(_JPEG):
        return "JPEG"
    if content.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if content.startswith(b"RIFF") and content[8:12] == b"WEBP":
        return "WEBP"
    if content[4:8] == b"ftyp":
        return "AVIF" if content[8:12] in (b"avif", b"avis") else "HEIF"
    if content.startswith((b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")):
        return "TIFF"
    return {b"GI": "GIF", b"BM": "BMP"}.get(content[:2])


def is_tiny(content: bytes) -> bool:
    """Say whether a TIFF that no decoder here opens is too small to show anything, by the size it gives itself."""
    try:
        header = ImageFileDirectory_v2(content[:8])
        stream = io.BytesIO(content)
        stream.seek(header.next)
        header.load(stream)
        width, height = int(header[256]), int(header[257])
    except Exception:  # damaged files make the reader raise almost anything
        return False
    return 0 < min(width, height) < MIN_SIDE_PX


def read_picture(content: bytes, file_format: str, found: Disclosed, most: int) -> None:
    """Give what a picture tells beside its pixels, and its pixels as such; what is packed in it up to so many bytes."""
    found.pixels.append(content)
    found.pictures.append(content)
    if is_opened_here(content):
        _read_beside(content, file_format, found, most)
    else:
        read_apart("pictures:read_beside_pixels", content, found, file_format=file_format, most=most)


def read_beside_pixels(content: bytes, file_format: str, most: int) -> tuple[Disclosed, bytes]:
    """Give what a picture tells beside its pixels; called by name, in a child process."""
    found = Disclosed()
    _read_beside(content, file_format, found, most)
    return found, b""


def _read_beside(content: bytes, file_format: str, found: Disclosed, most: int) -> None:
    with quiet():
        _read_parts(content, file_format, found, most)
        _read_fields(content, found)


def _read_parts(content: bytes, file_format: str, found: Disclosed, most: int) -> None:
    if file_format in _PIXELS:
        for part in parts(io.BytesIO(content), file_format, len(content)):
            if part.name not in _PIXELS[file_format]:
                most -= _read_part(part, found, most)
        if file_format in _LISTING:
            _read_beside_items(content, found, most)
    elif file_format == "TIFF":
        found.raw.append(_beside_strips(content))
        found.texts += texts_among(content)
    else:
        found.raw.append(content)


def _read_beside_items(content: bytes, found: Disclosed, most: int) -> None:
    """Give what lies among the pixels of a file that lists its pictures and texts, in whatever box."""
    try:
        if "thmb" in Meta(content).references:
            found.traces.append(THUMBNAIL)
        beside = beside_pixels(content)
    except ValueError:  # not told where the pixels lie
        beside = [content]
    for data in beside:
        most -= _read_part(Part("mdat", len(data), data), found, most)


def _read_part(part: Part, found: Disclosed, most: int) -> int:
    """Read one part, and give how many bytes were in it that are to be read by themselves."""
    if part.name != END:
        found.raw += [part.name.encode("latin-1"), part.content]
    if part.name == TRAILER:
        found.traces.append(BEHIND)
        found.inside.append(("", part.content))
        return len(part.content)
    taken = 0
    for text in _inside(part.content):
        if taken >= most:  # hundreds of parts can unpack to 16 MB each; the file is then told of as too much
            break
        found.inside.append(("", text))
        taken += len(text)
    return taken


def _inside(content: bytes) -> Iterator[bytes]:
    """Give what is packed in a part, and each JPEG in it."""
    yield from _inflated(content)
    for at in islice(re.finditer(re.escape(_JPEG), content), _MOST_INSIDE):
        yield content[at.start() :]


def _inflated(content: bytes) -> Iterator[bytes]:
    """Unpack what is packed in a part, behind a name and some other bytes; and all of it where it has no head."""
    starts = [(at.start(), zlib.MAX_WBITS) for at in re.finditer(rb"\x78[\x01\x5e\x9c\xda]", content[:512])]
    for start, window in starts or [(0, -zlib.MAX_WBITS)]:
        unpacker = zlib.decompressobj(window)
        try:
            text = unpacker.decompress(content[start:], 1 << 24)
        except zlib.error:
            continue
        # Without a head nearly anything unpacks to a few bytes.
        if window > 0 or unpacker.eof:
            yield text
            return


def _beside_strips(content: bytes) -> bytes:
    """Give a TIFF without the pixels of its frames; all of it when it cannot be read."""
    holes: list[tuple[int, int]] = []
    try:
        with Image.open(io.BytesIO(content)) as picture:
            for number in range(min(getattr(picture, "n_frames", 1), 500)):
                picture.seek(number)
                tags = getattr(picture, "tag_v2", {})
                for at, length in ((273, 279), (324, 325)):
                    holes += zip(tags.get(at, ()), tags.get(length, ()), strict=False)
    except Exception:  # damaged files make the reader raise almost anything
        return content
    kept, position = [], 0
    for begin, length in sorted(holes):
        kept.append(content[position:begin])
        position = max(position, begin + length)
    return b" ".join((*kept, content[position:]))


def _read_fields(content: bytes, found: Disclosed) -> None:
    """Read what the decoder itself reports; a picture that cannot be opened is told of when it is compared."""
    try:
        with Image.open(io.BytesIO(content)) as picture:
            _read_exif(picture, found)
            # A PNG's packet is there under two names.
            fields = {
                "xmp" if name == "XML:com.adobe.xmp" else str(name): value for name, value in picture.info.items()
            }
            for name, value in fields.items():
                _read_field(name, value, found)
            sets = IptcImagePlugin.getiptcinfo(picture) or {} if picture.format in {"JPEG", "TIFF"} else {}
            for value in sets.values():
                found.raw += value if isinstance(value, list) else [value]
    except Exception:  # noqa: S110 (no picture, or a broken one: its parts are searched as they are)
        pass


def _read_exif(picture: Image.Image, found: Disclosed) -> None:
    exif = picture.getexif()
    is_tiff = picture.format == "TIFF"  # whose own tags these are too
    tags = set() if is_tiff else set(exif) - _EXIF_ALLOWED
    for directory in (0x8825, 0x8769, 1):
        values = exif.get_ifd(directory)
        if values and directory == 0x8825:
            tags.add(directory)
        found.texts += [str(value) for value in values.values() if not isinstance(value, bytes)]
        found.raw += [value for value in values.values() if isinstance(value, bytes)]
    found.texts += [str(value) for value in exif.values() if not isinstance(value, bytes)]
    found.raw += [value for value in exif.values() if isinstance(value, bytes)]
    found.texts += filter(None, [position_words(exif)])
    found.traces += [_EXIF_NAMES.get(tag, f"EXIF field {tag:#06x}") for tag in sorted(tags)]
    if exif.get_ifd(1):
        found.traces.append(THUMBNAIL)
    if not _OF_A_PERSON.isdisjoint(exif.get_ifd(0x8769)):
        found.traces.append(OWNER)


def _read_field(name: str, value: object, found: Disclosed) -> None:
    if name == "xmp":
        packet = value.encode() if isinstance(value, str) else bytes(value)  # type: ignore[call-overload]  # one or the other
        found.traces += _xmp_traces(packet)
        read_page(packet.decode("utf-8", errors="replace"), found)
        return
    if isinstance(value, bytes):
        found.raw.append(value)
    else:
        read_page(str(value), found)
    if name.lower() not in _HARMLESS:
        found.traces.append(f'the text "{name}" inside the picture')


def _xmp_traces(packet: bytes) -> Iterator[str]:
    try:
        known = [(text.space, text.name) for text in xmp_texts(packet)]
    except UnreadablePacketError:
        yield "XMP that cannot be read"
        return
    for space, name in sorted(set(known) - _XMP_ALLOWED):
        if space not in (RDF, ""):
            yield f"XMP field {name}"
