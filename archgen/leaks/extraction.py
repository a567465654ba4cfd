"""Open a finished file the way a curious outsider would, and give every text in it; knows file formats, not pieces.

Pages are read as written, with escapes undone and with tags taken out; pictures give their metadata and
whatever lies behind their end; documents and archives give what they hold inside. What a picture may say of itself is
a short list (the artist's own rights); everything else in it is named as a trace.
"""

import base64
import binascii
import gzip
import html
import io
import json
import re
import urllib.parse
import zipfile
import zlib
from dataclasses import dataclass, field

import pikepdf
import pypdfium2
from PIL import Image

TEXT_SUFFIXES = frozenset(
    {".html", ".htm", ".xml", ".json", ".js", ".mjs", ".css", ".txt", ".svg", ".md", ".webmanifest", ".ics", ".csv"}
)
_DEEPEST = 4
_LARGEST_MEMBER = 64 * 1024 * 1024


@dataclass(slots=True)
class Disclosed:
    """Texts of a file, raw bytes to search with care, and traces that should not be there at all."""

    texts: list[str] = field(default_factory=list)
    raw: list[bytes] = field(default_factory=list)
    traces: list[str] = field(default_factory=list)


def disclose(name: str, content: bytes, depth: int = 0) -> Disclosed:
    """Give everything a file tells."""
    found = Disclosed()
    if depth > _DEEPEST:
        found.traces.append("files packed inside files too deeply to be looked into")
        return found
    suffix = name[name.rfind(".") :].lower() if "." in name else ""
    if suffix in TEXT_SUFFIXES:
        _page(content, found, depth)
        return found
    found.raw.append(content)
    if content.startswith(b"%PDF-") or suffix == ".pdf":
        _document(content, found)
    elif content.startswith(b"\x1f\x8b"):
        _packed(content, found, depth)
    elif zipfile.is_zipfile(io.BytesIO(content)) and content.startswith(b"PK"):
        _archive(content, found, depth)
    else:
        _picture(content, found)
    return found


def _page(content: bytes, found: Disclosed, depth: int) -> None:
    text = content.decode("utf-8", errors="replace")
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        text = content.decode("utf-16", errors="replace")
    found.texts += views(text)
    for match in re.finditer(r"data:[\w/+.;=-]*;base64,([A-Za-z0-9+/=%\s]+)", text):
        try:
            inside = base64.b64decode(urllib.parse.unquote(match[1]))
        except (binascii.Error, ValueError):
            continue
        _merge(found, disclose("data", inside, depth + 1))


def views(text: str) -> list[str]:
    """Give a text as written, with its escapes undone, and as a reader sees it without tags."""
    bare = re.sub(r"<[^<>]*>", "", text)
    return list(dict.fromkeys((text, undo_escapes(text), undo_escapes(bare))))


def undo_escapes(text: str) -> str:
    """Undo HTML entities, JSON and script escapes, CSS escapes and URL encoding, also where they are nested."""
    for _ in range(3):
        plain = text
        if "\\" in plain:
            plain = _SCRIPT_ESCAPE.sub(_sign, plain).replace("\\/", "/")
        if "&" in plain:
            plain = html.unescape(plain)
        if "%" in plain:
            plain = urllib.parse.unquote(plain)
        if plain == text:
            break
        text = plain
    return text


_SCRIPT_ESCAPE = re.compile(r"(?:\\u[0-9a-fA-F]{4})+|\\u\{[0-9a-fA-F]{1,6}\}|\\x[0-9a-fA-F]{2}|\\[0-9a-fA-F]{2,6} ?")


def _sign(match: re.Match[str]) -> str:
    written = match[0]
    if re.fullmatch(r"(?:\\u[0-9a-fA-F]{4})+", written):
        return str(json.loads(f'"{written}"'))
    number = int(re.sub(r"[^0-9a-fA-F]", "", written), 16)
    return chr(number) if number < 0x110000 else "\ufffd"


def _merge(found: Disclosed, inside: Disclosed) -> None:
    found.texts += inside.texts
    found.raw += inside.raw
    found.traces += inside.traces


def _document(content: bytes, found: Disclosed) -> None:
    try:
        with pikepdf.open(io.BytesIO(content)) as pdf:
            found.texts += [str(value) for value in pdf.docinfo.values()]
            found.texts += list(pdf.attachments)
            found.raw += [_stream(item) for item in pdf.objects if isinstance(item, pikepdf.Stream)]
            found.texts += [str(item) for item in pdf.objects if isinstance(item, pikepdf.Object)]
        with pypdfium2.PdfDocument(content) as pages:
            found.texts += [page.get_textpage().get_text_bounded() for page in pages]
    except (pikepdf.PdfError, pypdfium2.PdfiumError, ValueError):
        found.traces.append("a document that cannot be opened, so nobody can say what it holds")


def _stream(item: pikepdf.Object) -> bytes:
    try:
        return bytes(item.read_bytes())
    except pikepdf.PdfError:  # a picture's own coding stays as it is
        return bytes(item.read_raw_bytes())


def _packed(content: bytes, found: Disclosed, depth: int) -> None:
    if content[4:8] != b"\0\0\0\0":
        found.traces.append("the time at which it was packed")
    try:
        with gzip.open(io.BytesIO(content)) as packed:
            inside = packed.read(_LARGEST_MEMBER)
    except (OSError, EOFError, zlib.error):
        return
    _merge(found, disclose("inside.txt" if _is_text(inside) else "inside", inside, depth + 1))


_NO_TIME = (1980, 1, 1, 0, 0, 0)


def _archive(content: bytes, found: Disclosed, depth: int) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            found.texts.append(archive.comment.decode("utf-8", errors="replace"))
            for member in archive.infolist():
                found.texts.append(member.filename)
                if member.date_time != _NO_TIME:
                    found.traces.append(f"the time stamp of {member.filename} in an archive")
                with archive.open(member) as packed:
                    inside = packed.read(_LARGEST_MEMBER)
                name = "inside.txt" if _is_text(inside) else member.filename
                _merge(found, disclose(name, inside, depth + 1))
    except (zipfile.BadZipFile, OSError, RuntimeError, NotImplementedError, zlib.error):
        found.traces.append("an archive that cannot be opened, so nobody can say what it holds")


def _is_text(content: bytes) -> bool:
    try:
        content.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return b"\0" not in content


# What a published picture may say of itself: the artist's own rights, and what a decoder needs.
_EXIF_ALLOWED = {315, 33432}  # Artist, Copyright
_XMP_ALLOWED = frozenset(
    {"dc:creator", "dc:rights", "photoshop:Credit", "xmpRights:Marked", "xmpRights:WebStatement"}
    | {"plus:Licensor", "plus:LicensorURL", "x:xmpmeta", "x:xmptk", "xml:lang"}
    | {f"rdf:{name}" for name in ("RDF", "Description", "Seq", "Alt", "Bag", "li", "about", "parseType")}
)
_EXIF_NAMES = {
    0x8825: "a position (GPS)",
    0x8769: "camera settings, which may hold its serial number and the time",
    0x010F: "the camera's maker",
    0x0110: "the camera's model",
    0x0131: "the program that made it",
    0x0132: "a date and time",
    0x013C: "the computer's name",
    0x010E: "a description",
    0x9C9B: "a title",
    0x9C9C: "a comment",
    0x9C9D: "an author",
}


def _picture(content: bytes, found: Disclosed) -> None:
    try:
        with Image.open(io.BytesIO(content)) as picture:
            exif = picture.getexif()
            # Pillow hands XMP over under its own tag number when the file keeps it beside EXIF.
            tags = set(exif) - _EXIF_ALLOWED - {700}
            if exif.get_ifd(0x8825):
                tags.add(0x8825)
            found.traces += [_EXIF_NAMES.get(tag, f"EXIF field {tag:#06x}") for tag in sorted(tags)]
            found.texts += [str(value) for value in exif.values()]
            found.texts += [str(value) for value in exif.get_ifd(0x8769).values()]
            if exif.get_ifd(1):
                found.traces.append("an embedded thumbnail")
            for name, value in picture.info.items():
                _picture_field(name, value, found)
    except Exception:  # noqa: S110 (no picture, or a broken one: its bytes are searched as they are)
        pass
    behind = _behind_the_end(content)
    if behind:
        found.traces.append("data behind the end of the picture")


# What Pillow reports of a picture that tells nothing of people, places and devices.
_HARMLESS = frozenset(
    {"icc_profile", "dpi", "jfif", "jfif_version", "jfif_unit", "jfif_density", "progressive", "progression"}
    | {"adobe", "adobe_transform", "exif", "xmp", "photoshop", "gamma", "srgb", "transparency", "loop", "duration"}
    | {
        "timestamp",
        "background",
        "aspect",
        "interlace",
        "chromaticity",
        "primary",
        "bit_depth",
        "compression",
        "version",
    }
)


def _picture_field(name: object, value: object, found: Disclosed) -> None:
    text = value.decode("utf-8", errors="replace") if isinstance(value, bytes) else str(value)
    found.texts += views(text)
    if name in ("xmp", "XML:com.adobe.xmp"):
        properties = set(re.findall(r"[<\s]((?!xmlns)[A-Za-z][\w.-]*:[\w.-]+)(?=[\s=/>])", text))
        found.traces += [f"XMP field {name}" for name in sorted(properties - _XMP_ALLOWED)]
    elif str(name).lower() not in _HARMLESS:
        found.traces.append(f'the text "{name}" inside the picture')


def _behind_the_end(content: bytes) -> bytes:
    if content.startswith(b"\x89PNG\r\n\x1a\n"):
        end = content.find(b"IEND")
        return content[end + 8 :] if end >= 0 else b""
    if content.startswith(b"RIFF") and content[8:12] == b"WEBP":
        return content[8 + int.from_bytes(content[4:8], "little") :]
    if content.startswith(b"\xff\xd8"):
        return _behind_jpeg(content)
    return b""


def _behind_jpeg(content: bytes) -> bytes:
    """Walk the segments: the end marker inside a thumbnail segment is not the picture's end."""
    position = 2
    while position + 4 <= len(content) and content[position] == 0xFF:
        marker = content[position + 1]
        if marker == 0xDA:
            end = content.find(b"\xff\xd9", position)
            return content[end + 2 :] if end >= 0 else b""
        position += 2 + int.from_bytes(content[position + 2 : position + 4], "big")
    return b""
