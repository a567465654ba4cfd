"""Draw a part of an SVG, or of the first page of a PDF; runs in a child process, since such files may do harm.

Lengths on the page are counted in widths of the page, so that a drawing made for a sticker and one for a wall are the
same. `read_page` and `draw_part` are called by name (archgen.stencils.stencil_file).
"""

import os
import re
import xml.parsers.expat
import zlib
from io import BytesIO
from pathlib import Path

from PIL import Image

from archgen.languages.house import say
from archgen.storage.files import is_text_name

# Bytes of an SVG once unpacked; the largest tracing of an A3 page at hand had 9 million.
MAX_SVG_BYTES = 50_000_000
_GZIP = b"\x1f\x8b"
# CSS 2.1, 4.3.2: lengths in pixels of 1/96 inch.
_DOTS_PER_INCH = 96.0
_PER_UNIT = {"": 1.0, "px": 1.0, "in": 96.0, "cm": 96 / 2.54, "mm": 96 / 25.4, "pt": 96 / 72, "pc": 16.0}
_NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_LENGTH = re.compile(rf"\s*({_NUMBER})\s*([a-z]*|%)\s*")
_VIEW_BOX = re.compile(rf"\s*{_NUMBER}(?:[\s,]+{_NUMBER}){{3}}\s*")
# What the drawing's own place on our sheet is written with.
_PLACED = re.compile(r"""\s(?:x|y|width|height|overflow)\s*=\s*(?:"[^"]*"|'[^']*')""")
_START_TAG = re.compile(r"""<[^\s/>]+(?:\s+[^\s=/>]+\s*=\s*(?:"[^"]*"|'[^']*'))*\s*/?>""")
_ENCODING = re.compile(rb"""^<\?xml[^>]{0,200}encoding\s*=\s*["']([\w.-]{1,40})""")
# SVG 2, 8.2: what a drawing without any size is laid on.
_NO_SIZE = 100.0
_LEAN = 1e-6


class UndrawableError(Exception):
    """A file that is no drawing; the message says why, for the artist."""


def read_page(path: bytes) -> tuple[float, bytes]:
    """Give the height of the page in its widths.

    Raises:
        UndrawableError: It is no drawing.
    """
    file = Path(os.fsdecode(path))
    if file.suffix.lower() == ".pdf":
        import pypdfium2  # noqa: PLC0415  only PDF files wait for it

        with file.open("rb") as stream, pypdfium2.PdfDocument(stream) as document:
            width, height = document[0].get_size()
    else:
        width, height = _SvgPage(_svg_text(file)).size
    if not (0 < width < float("inf") and 0 < height < float("inf")):
        raise UndrawableError(say("its page has no size"))
    return height / width, b""


def draw_part(path: bytes, corner: tuple[float, float], scale: float, size: tuple[int, int]) -> tuple[None, bytes]:
    """Draw what lies to the right of and below a corner: gray bytes, 255 paper, row by row.

    Args:
        path: The file.
        corner: Left and top, in widths of the page.
        scale: Pixels that a width of the page takes.
        size: Width and height in pixels.

    Raises:
        UndrawableError: It is no drawing.
    """
    file = Path(os.fsdecode(path))
    draw = _pdf_part if file.suffix.lower() == ".pdf" else _svg_part
    return None, draw(file, corner, scale, size)


def _svg_part(path: Path, corner: tuple[float, float], scale: float, size: tuple[int, int]) -> bytes:
    import resvg_py  # noqa: PLC0415  only SVG files wait for it

    page = _SvgPage(_svg_text(path))
    unit = page.size[0] / scale
    box = (corner[0] * page.size[0], corner[1] * page.size[0], size[0] * unit, size[1] * unit)
    drawn = resvg_py.svg_to_bytes(
        svg_string=page.seen_through(box, size),
        dpi=_DOTS_PER_INCH,
        background="#ffffff",
        resources_dir=str(path.parent) if is_text_name(str(path.parent)) else None,
    )
    with Image.open(BytesIO(bytes(drawn)), formats=["PNG"]) as picture:
        return picture.convert("L").tobytes()


def _pdf_part(path: Path, corner: tuple[float, float], scale: float, size: tuple[int, int]) -> bytes:
    import pypdfium2  # noqa: PLC0415  only PDF files wait for it
    from pypdfium2 import raw  # noqa: PLC0415

    with path.open("rb") as stream, pypdfium2.PdfDocument(stream) as document:
        page = document[0]
        times = scale / page.get_width()
        bitmap = pypdfium2.PdfBitmap.new_native(*size, raw.FPDFBitmap_Gray)
        bitmap.fill_rect((255, 255, 255, 255), 0, 0, *size)
        # Turned by a ten thousandth of a pixel over the page: upright rectangles are rounded to whole pixels otherwise.
        lean = times * _LEAN
        matrix = raw.FS_MATRIX(times, lean, -lean, times, -corner[0] * scale, -corner[1] * scale)
        clip = raw.FS_RECTF(0, 0, *map(float, size))
        raw.FPDF_RenderPageBitmapWithMatrix(bitmap, page, matrix, clip, raw.FPDF_ANNOT | raw.FPDF_GRAYSCALE)
        return bytes(bitmap.to_pil().convert("L").tobytes())


def _svg_text(path: Path) -> str:
    """Read an SVG, unpacked where it is packed.

    Raises:
        UndrawableError: There is too much in it, or it is no text.
    """
    with path.open("rb") as stream:
        content = stream.read(MAX_SVG_BYTES + 1)
    try:
        if content.startswith(_GZIP):
            content = zlib.decompressobj(wbits=31).decompress(content, MAX_SVG_BYTES + 1)
        if len(content) > MAX_SVG_BYTES:
            raise UndrawableError(say("it holds more than {most} MB", most=MAX_SVG_BYTES // 1000000))
        if content.startswith((b"\xff\xfe", b"\xfe\xff")):
            return content.decode("utf-16")
        named = _ENCODING.match(content)
        return content.decode(named[1].decode() if named else "utf-8-sig")
    except (zlib.error, UnicodeError, LookupError) as error:
        raise UndrawableError(say("it is damaged")) from error


class _FoundError(Exception):
    """The start of the drawing's outermost element was found; what follows need not be read."""


class _SvgPage:
    """An SVG as a page of known size: its text, in CSS pixels."""

    def __init__(self, text: str) -> None:
        self._before, self._tag, self._after, given = _outermost(text)
        view = given.get("viewBox", "")
        self._has_view = _VIEW_BOX.fullmatch(view) is not None
        numbers = [float(one) for one in re.findall(_NUMBER, view)] if self._has_view else [0, 0, _NO_SIZE, _NO_SIZE]
        self.size = _length(given.get("width"), numbers[2]), _length(given.get("height"), numbers[3])

    def seen_through(self, box: tuple[float, float, float, float], size: tuple[int, int]) -> str:
        """Write the SVG that shows a part (left, top, width, height) of the page at a size in pixels."""
        width, height = self.size
        placed = f' x="0" y="0" width="{width!r}" height="{height!r}"'
        if not self._has_view:
            placed += f' viewBox="0 0 {width!r} {height!r}"'
        bare = _PLACED.sub("", self._tag)
        end = 2 if bare.endswith("/>") else 1
        window = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{size[0]}" height="{size[1]}" '
            f'viewBox="{box[0]!r} {box[1]!r} {box[2]!r} {box[3]!r}" preserveAspectRatio="none">'
        )
        return f"{self._before}{window}{bare[:-end]}{placed}{bare[-end:]}{self._after}</svg>"


def _outermost(text: str) -> tuple[str, str, str, dict[str, str]]:
    """Give what stands before an SVG's outermost start tag, the tag, what follows, and the tag's attributes.

    Raises:
        UndrawableError: There is no such tag.
    """
    content = re.sub(r"""^(<\?xml[^>]*?)\s+encoding\s*=\s*["'][^"']*["']""", r"\1", text).encode()
    found: list[tuple[str, dict[str, str], int]] = []
    parser = xml.parsers.expat.ParserCreate("utf-8")

    def begin(name: str, attributes: dict[str, str]) -> None:
        found.append((name, attributes, parser.CurrentByteIndex))
        raise _FoundError

    parser.StartElementHandler = begin
    try:
        parser.Parse(content, True)
    except _FoundError:
        pass
    except (xml.parsers.expat.ExpatError, RecursionError) as error:
        raise UndrawableError(say("it is damaged")) from error
    name, attributes, at = found[0]
    before, rest = content[:at].decode(), content[at:].decode()
    tag = _START_TAG.match(rest)
    if name.rpartition(":")[2] != "svg" or tag is None:
        raise UndrawableError(say("it isn't an SVG"))
    return before, tag[0], rest[tag.end() :], attributes


def _length(written: str | None, whole: float) -> float:
    """Read a length in CSS pixels as a browser does: what makes no sense counts as the whole."""
    match = _LENGTH.fullmatch(written or "")
    if match is None or match[2] not in (*_PER_UNIT, "%"):
        return whole
    number = float(match[1])
    return number / 100 * whole if match[2] == "%" else number * _PER_UNIT[match[2]]
