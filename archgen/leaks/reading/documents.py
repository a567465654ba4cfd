"""Read everything a PDF holds: strings, streams, pictures, attachments, its pages as read, and what was left behind.

ISO 32000-1: strings in 7.3.4, streams in 7.3.8, incremental updates in 7.5.6. A damaged document is read as far as it
goes, and named.
"""

import io
import re
import zlib
from collections.abc import Iterator

import pikepdf
import pypdfium2

from archgen.leaks.reading.disclosed import Disclosed
from archgen.leaks.reading.pages import as_text
from archgen.picture_facts.stage import quiet

DAMAGED = "a document that is damaged, so it was read only in part"
LOCKED = "a document that opens only with a password"
TOO_MUCH = "a document with more in it than can be looked through"
MOST_OBJECTS, MOST_PAGES = 100_000, 2_000
_STREAM = re.compile(rb"stream\r?\n")
_LITERAL = re.compile(rb"\(((?:[^()\\]|\\.)*)\)", re.DOTALL)
_HEX = re.compile(rb"<([0-9A-Fa-f\s]{4,})>")
_ESCAPES = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}


def is_document(content: bytes, suffix: str) -> bool:
    """Say whether a content is a PDF, or is called one."""
    return b"%PDF-" in content[:1024] or suffix == ".pdf"


def read_document(content: bytes, most: int) -> tuple[Disclosed, bytes]:
    """Give what a document holds, up to so many bytes; called by name, in a child process."""
    found = Disclosed()
    left = _read_objects(content, found, most)
    is_added_to = content.count(b"startxref") > 1 or not content.rstrip().endswith(b"%%EOF")
    if left is None or is_added_to:
        left = _read_streams(content, found, most if left is None else left)
    _read_pages(content, found)
    return found, b""


def _read_objects(content: bytes, found: Disclosed, most: int) -> int | None:
    """Read every object; give how many bytes are left to look at, None when the document cannot be read."""
    left = most
    try:
        with quiet(), pikepdf.open(io.BytesIO(content)) as pdf:
            for number, item in enumerate(pdf.objects):
                if number >= MOST_OBJECTS or left <= 0:
                    found.unread.append(TOO_MUCH)
                    break
                found.texts += _strings(item)
                if isinstance(item, pikepdf.Stream):
                    left -= _read_stream(item, found, left)
            found.texts += _strings(pdf.trailer)
    except pikepdf.PasswordError:
        found.unread.append(LOCKED)
        return None
    except Exception:  # damaged files make the reader raise almost anything
        found.unread.append(DAMAGED)
        return None
    return max(left, 0)


def _strings(item: pikepdf.Object) -> list[str]:
    """Give the strings and names of an object and of what lies in it, not of others it refers to."""
    texts: list[str] = []
    waiting = [item]
    while waiting:
        one = waiting.pop()
        if isinstance(one, pikepdf.String):
            raw = bytes(one)
            texts += dict.fromkeys((str(one), as_text(raw, surely=True) or ""))
        elif isinstance(one, pikepdf.Name):
            texts.append(as_text(bytes(one), surely=True) or "")
        elif isinstance(one, pikepdf.Array):
            waiting += [part for part in one if isinstance(part, pikepdf.Object) and not part.is_indirect]
        elif isinstance(one, pikepdf.Dictionary | pikepdf.Stream):
            texts += one.keys()
            waiting += [part for _, part in one.items() if isinstance(part, pikepdf.Object) and not part.is_indirect]
    # A name may hold any bytes; those that are no letters come as halves of characters.
    return [text.encode(errors="replace").decode() for text in texts]


def _read_stream(item: pikepdf.Stream, found: Disclosed, left: int) -> int:
    if item.get("/Length", 0) > left:
        found.unread.append(TOO_MUCH)
        return 0
    is_picture = item.get("/Subtype") == "/Image"
    try:
        data = bytes(item.read_bytes())
    except pikepdf.PdfError:  # a picture's own coding stays as it is
        data = bytes(item.read_raw_bytes())
    if is_picture:
        found.pixels.append(data)
        found.pictures.append(data if data.startswith((b"\xff\xd8", b"\0\0\0")) else _as_picture(item))
    else:
        _sort_in(data, found)
    return len(data)


def _as_picture(item: pikepdf.Stream) -> bytes:
    """Give a picture that is stored as bare pixels as a file; nothing when it cannot be."""
    try:
        stream = io.BytesIO()
        picture = pikepdf.PdfImage(item).as_pil_image()
        picture.convert("L" if picture.mode in {"1", "L"} else "RGB").save(stream, "PNG", compress_level=1)
    except Exception:  # colour spaces and masks nobody draws
        return b""
    return stream.getvalue()


def _sort_in(data: bytes, found: Disclosed) -> None:
    found.inside.append(("", data))
    texts = list(_texts_shown(data))
    if texts:
        found.texts += ["".join(texts), " ".join(texts)]


def _texts_shown(data: bytes) -> Iterator[str]:
    """Give the strings of a content stream in their order, as far as their bytes are letters."""
    if b"Tj" not in data and b"TJ" not in data:
        return
    for match in re.finditer(_LITERAL.pattern + b"|" + _HEX.pattern, data, re.DOTALL):
        if match[1] is not None:
            raw = re.sub(rb"\\([0-7]{1,3}|.)", _unescaped, match[1], flags=re.DOTALL)
        else:
            raw = _from_hex(match[2])
        yield as_text(raw, surely=True) or ""


def _from_hex(written: bytes) -> bytes:
    digits = re.sub(rb"\s", b"", written)
    return bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode())


def _unescaped(match: re.Match[bytes]) -> bytes:
    written = match[1]
    return bytes((int(written, 8) & 0xFF,)) if written.isdigit() else _ESCAPES.get(written, written)


def _read_streams(content: bytes, found: Disclosed, most: int) -> int:
    """Read streams where they lie, also those that an update replaced or damage cut off."""
    for match in _STREAM.finditer(content):
        try:
            data = zlib.decompressobj().decompress(content[match.end() :], most + 1)
        except zlib.error:
            continue
        most -= len(data)
        if most <= 0:
            found.unread.append(TOO_MUCH)
            return 0
        _sort_in(data, found)
    strings = (*_LITERAL.findall(content), *map(_from_hex, _HEX.findall(content)))
    found.texts += [as_text(raw, surely=True) or "" for raw in strings]
    return most


def _read_pages(content: bytes, found: Disclosed) -> None:
    """Give the words of each page as a reader sees them."""
    try:
        with pypdfium2.PdfDocument(content) as pages:
            for number in range(min(len(pages), MOST_PAGES)):
                found.texts.append(pages[number].get_textpage().get_text_bounded())
    except (pypdfium2.PdfiumError, ValueError, MemoryError):
        if not found.unread:
            found.unread.append(DAMAGED)
