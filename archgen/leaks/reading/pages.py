"""Read text the way a curious outsider would: as written, escapes undone, tags taken out, encoded parts decoded."""

import base64
import html
import json
import quopri
import re
import urllib.parse
from collections.abc import Iterator
from functools import lru_cache

from archgen.leaks.reading.disclosed import Disclosed

TEXT_SUFFIXES = frozenset(
    {".html", ".htm", ".xml", ".json", ".js", ".mjs", ".css", ".txt", ".svg", ".md", ".webmanifest", ".ics", ".csv"}
)
_MARKS = ((b"\xef\xbb\xbf", "utf-8"), (b"\xff\xfe\0\0", "utf-32"), (b"\0\0\xfe\xff", "utf-32"),
          (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))  # fmt: skip
_CONTROL = re.compile("[\x00-\x08\x0e-\x1a\x1c-\x1f\x7f-\x9f]")
# Share of zero bytes on one side of every two from which bytes are taken for two-byte text.
_TWO_BYTE_SHARE = 0.4
# So many letters in one row do not come about by chance among random bytes: once in 10^10 places.
_RUN = re.compile(
    rb"(?:[\t\n\r -~]|[\xc2-\xdf][\x80-\xbf]|[\xe0-\xef][\x80-\xbf]{2}|\xf0[\x90-\xbf][\x80-\xbf]{2}){24,}"
)
_WIDE_RUN = re.compile(rb"(?:[\t\n\r -~]\0){8,}|(?:\0[\t\n\r -~]){8,}")


def read_page(text: str, found: Disclosed) -> None:
    """Give every view of a text, and what is encoded in it as files of its own."""
    found.texts += views(text)
    found.inside += [("", content) for content in dict.fromkeys(encoded_in(text))]


def as_text(content: bytes, *, surely: bool = False) -> str | None:
    """Decode what is text: by its mark, as UTF-8, as two-byte text without a mark; None when it is none of these.

    With `surely` what is in no known encoding is read byte by byte.
    """
    for mark, encoding in _MARKS:
        if content.startswith(mark):
            return content.decode(encoding, errors="replace")
    if two_byte := _two_byte(content):
        return content.decode(two_byte, errors="replace")
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        return content.decode("latin-1") if surely else None
    return text if surely or not _CONTROL.search(text) else None


def _two_byte(content: bytes) -> str | None:
    head = content[:4096]
    pairs = len(head) // 2
    if pairs < 2:
        return None
    first, second = head[0 : 2 * pairs : 2].count(0), head[1 : 2 * pairs : 2].count(0)
    if max(first, second) < _TWO_BYTE_SHARE * pairs or min(first, second) > 0.05 * pairs:
        return None
    return "utf-16-le" if second > first else "utf-16-be"


def texts_among(content: bytes) -> Iterator[str]:
    """Give the rows of letters among other bytes that are too long to be chance."""
    for match in _RUN.finditer(content):
        yield as_text(match[0], surely=True) or ""
    if b"\0" in content:
        for match in _WIDE_RUN.finditer(content):
            yield match[0].replace(b"\0", b"").decode("latin-1")


def views(text: str) -> list[str]:
    """Give a text as written, with its escapes undone, and as a reader sees it; and with every tag as a gap.

    Lines that end in = are mail, in which any sign may be an escape.
    """
    plain = [text, undo_escapes(text)]
    if _SOFT_BREAK.search(text):
        plain.append(quopri.decodestring(text.encode()).decode("utf-8", "replace"))
    if "<" in text:
        plain += [undo_escapes(_TAG.sub(_gap, text)), undo_escapes(_TAG.sub(" ", text))]
    return list(dict.fromkeys(plain))


_TAG = re.compile(r"<(?:[/!?]?([\w:.-]*))[^<>]*>")
# Elements inside a line (HTML, 4.5 and SVG text), and in documents of office programs those that end one.
_IN_LINE = frozenset({
    "a", "abbr", "b", "bdi", "bdo", "big", "cite", "code", "data", "del", "dfn", "em", "font", "i", "ins", "kbd",
    "label", "mark", "nobr", "q", "s", "samp", "small", "span", "strike", "strong", "sub", "sup", "textpath", "time",
    "tspan", "tt", "u", "var", "wbr",
})  # fmt: skip
_ENDS_A_LINE = frozenset({"p", "br", "cr", "tab", "tr", "tc", "row", "c", "h", "line-break"})


def _gap(tag: re.Match[str]) -> str:
    space, _, name = tag[1].lower().rpartition(":")
    return " " if (name in _ENDS_A_LINE if space else name not in _IN_LINE) else ""


def undo_escapes(text: str) -> str:
    """Undo HTML entities, JSON and script escapes, CSS escapes, URL and mail encoding, also where they are nested."""
    for _ in range(3):
        plain = text
        if "\\" in plain:
            plain = plain.replace("\\\\", "\\")
            plain = _SCRIPT_ESCAPE.sub(_character, plain).replace("\\/", "/")
        if "&" in plain:
            plain = html.unescape(plain)
        if "%" in plain:
            plain = urllib.parse.unquote(plain)
        if "=" in plain and _MAIL_ESCAPE.search(plain):
            plain = _MAIL_ESCAPE.sub(_mail_character, plain)
        if plain == text:
            break
        text = plain
    return text


_SCRIPT_ESCAPE = re.compile(r"(?:\\u[0-9a-fA-F]{4})+|\\u\{[0-9a-fA-F]{1,6}\}|\\x[0-9a-fA-F]{2}|\\[0-9a-fA-F]{2,6} ?")
# Quoted-printable (RFC 2045, 6.7), of characters that need it: else "no=10" would lose its number.
_SOFT_BREAK = re.compile(r"=\r?\n")
_MAIL_ESCAPE = re.compile(r"(?:=(?:[89A-F][0-9A-F]|20|3D|2E|40|\r?\n))+")


def _character(match: re.Match[str]) -> str:
    written = match[0]
    if re.fullmatch(r"(?:\\u[0-9a-fA-F]{4})+", written):
        text = str(json.loads(f'"{written}"'))
    else:
        number = int(re.sub(r"[^0-9a-fA-F]", "", written), 16)
        text = chr(number) if number < 0x110000 else "\ufffd"
    # Half of a character of two is written by scripts that cut texts, and is none.
    return text.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")


def _mail_character(match: re.Match[str]) -> str:
    return quopri.decodestring(match[0].encode()).decode("utf-8", "replace")


_BASE64 = re.compile(r"(?:[A-Za-z0-9+/]{60,80}\r?\n)+[A-Za-z0-9+/]*={0,2}|[A-Za-z0-9+/_-]{6,}={0,2}")
_HEX = re.compile(r"(?<![0-9A-Za-z])(?:(?:0x)?[0-9A-Fa-f]{2}(?:[ ,:;]\s?|\n)?){4,}(?![0-9A-Za-z])")
_CODES = re.compile(r"(?<![\d.])(?:\d{2,6}\s?,\s?){3,}\d{2,6}(?![\d.])")


def encoded_in(text: str) -> Iterator[bytes]:
    """Give what stands in a text as base64, as hexadecimal or as numbers of letters, where that makes sense."""
    for match in _BASE64.finditer(text):
        whole, (first, *others) = match[0], re.split(r"[/_-]", match[0])
        # The first part of a whole file begins as one too, and is none.
        is_file = (_from_base64(whole) or b"").startswith(FILE_HEADS)
        for run in dict.fromkeys((whole, *others) if is_file else (whole, first, *others)):
            # Base64 of a text has large letters or digits; what has none is a word.
            if len(run) >= 6 and not run.islower() and (content := _from_base64(run)):
                yield content
    for match in _HEX.finditer(text):
        content = bytes.fromhex("".join(re.findall("[0-9A-Fa-f]{2}", match[0].replace("0x", ""))))
        if _makes_sense(content):
            yield content
    for match in _CODES.finditer(text):
        letters = [int(number) for number in match[0].split(",")]
        if all(31 < number < 0x110000 and not 0xD800 <= number < 0xE000 for number in letters):
            yield "".join(map(chr, letters)).encode()


def _from_base64(run: str) -> bytes | None:
    return _from_short_base64(run) if len(run) <= _SHORT_RUN else _decoded(run)


def _decoded(run: str) -> bytes | None:
    digits = re.sub(r"[\s=]", "", run)
    digits = digits[: len(digits) - (len(digits) % 4 == 1)]
    content = base64.b64decode(digits + "=" * (-len(digits) % 4), altchars=b"-_" if set(digits) & set("-_") else None)
    return content if _makes_sense(content) else None


# The pages of a site have most of their words in common.
_SHORT_RUN = 40
_from_short_base64 = lru_cache(maxsize=8192)(_decoded)

# How files begin that are worth opening: pictures, documents, packed files.
FILE_HEADS = (b"\xff\xd8\xff", b"\x89PNG\r\n", b"RIFF", b"GIF8", b"II*\0", b"MM\0*", b"%PDF-", b"\x1f\x8b\x08", b"BZh",
              b"PK\x03\x04", b"\xfd7zXZ\0")  # fmt: skip


def _makes_sense(content: bytes) -> bool:
    if content.startswith(FILE_HEADS) or content[4:8] == b"ftyp":
        return True
    text = as_text(content)
    return (text is not None and text.isprintable()) or (text is not None and "\n" in text)
