"""Open stencil files, pictures decoded and SVG and PDF drawn, as upright gray on white; judges nothing."""

import threading
from io import BytesIO
from pathlib import Path

from PIL import Image

from archgen.errors import InputError
from archgen.images import decode, orient
from archgen.metadata import tags

# What a drawn vector file may take: A3 at 600 dpi is 70 million.
MAX_DRAWN_PIXELS = 120_000_000
MAX_VECTOR_BYTES = 50_000_000
_VECTOR = {".svg", ".svgz", ".pdf"}
# PDFium keeps state of its own for the whole process and knows no threads.
_ONE_AT_A_TIME = threading.Lock()


def is_vector(path: Path) -> bool:
    """Say whether the file is drawn at a resolution of our choice."""
    return path.suffix.lower() in _VECTOR


def open_upright(path: Path) -> Image.Image:
    """Open a picture as 8-bit gray on white, turned the way its camera or scanner says.

    Raises:
        InputError: The file is missing, damaged, no picture, too large or too small.
    """
    try:
        with decode.open_picture(path) as opened:
            told = tags.read(opened)
            return orient.upright(decode.load_gray(opened), told.orientation)
    except FileNotFoundError as error:
        raise _missing(path) from error
    except decode.UnusableError as error:
        raise InputError(f"{path.name}: {error.problem} {error.remedy}") from error


def _missing(path: Path) -> InputError:
    return InputError(f"{path.name}: there is no such file. Check the name.")


def draw_vector(path: Path, width_px: int) -> Image.Image:
    """Draw an SVG, or the first page of a PDF, so many pixels wide, in gray on white.

    Raises:
        InputError: The file is missing, damaged, empty or too large to draw.
    """
    try:
        if path.stat().st_size > MAX_VECTOR_BYTES:
            raise InputError(
                f"{path.name}: the file is too large for a drawing. Export it as PNG at 600 dots per inch."
            )
        return _draw_pdf(path, width_px) if path.suffix.lower() == ".pdf" else _draw_svg(path, width_px)
    except FileNotFoundError as error:
        raise _missing(path) from error


def _draw_svg(path: Path, width_px: int) -> Image.Image:
    import resvg_py  # noqa: PLC0415  only SVG files wait for it

    _refuse_too_many(path, width_px, width_px)
    try:
        drawn = resvg_py.svg_to_bytes(svg_path=str(path), width=width_px, background="#ffffff")
        return Image.open(BytesIO(bytes(drawn))).convert("L")
    except (ValueError, RuntimeError, OSError) as error:
        raise InputError(
            f"{path.name}: the SVG cannot be drawn. Save it again as plain SVG, or export it as PNG."
        ) from error


def _draw_pdf(path: Path, width_px: int) -> Image.Image:
    import pypdfium2  # noqa: PLC0415  only PDF files wait for it

    try:
        with _ONE_AT_A_TIME, pypdfium2.PdfDocument(path) as document:
            page = document[0]
            width_pt, height_pt = page.get_size()
            _refuse_too_many(path, width_px, round(width_px * height_pt / width_pt))
            picture: Image.Image = page.render(scale=width_px / width_pt, grayscale=True).to_pil().convert("L")
    except (pypdfium2.PdfiumError, IndexError, ZeroDivisionError) as error:
        raise InputError(
            f"{path.name}: the PDF cannot be drawn. Remove its password or export the page as PNG."
        ) from error
    return picture


def _refuse_too_many(path: Path, width_px: int, height_px: int) -> None:
    if width_px * height_px > MAX_DRAWN_PIXELS:
        raise InputError(
            f"{path.name}: drawn that large it would take {width_px} × {height_px} pixels. "
            "The drawing is a small part of its page: crop the page to the drawing."
        )
