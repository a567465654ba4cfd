"""Draw a stencil's lines where they were found on a reference, to be looked at before a yes."""

from collections.abc import Sequence
from io import BytesIO
from pathlib import Path

from PIL import ImageDraw

from archgen.stencils import stencil_file

_SIDE_PX, _DOT_PX = 1400, 2
_LINE = (236, 54, 160)


def draw_lines_on(reference: Path, lines: Sequence[tuple[float, float]]) -> bytes:
    """Give a PNG of the reference in gray, half as dark, with the places of the lines (its own pixels) in colour.

    Raises:
        InputError: The reference cannot be read.
    """
    gray = stencil_file.open_upright(reference)
    scale = _SIDE_PX / max(gray.size)
    soft = gray.resize((round(gray.width * scale), round(gray.height * scale))).point(lambda level: 96 + level * 5 // 8)
    picture = soft.convert("RGB")
    pen = ImageDraw.Draw(picture)
    for x, y in lines:
        across, down = x * scale, y * scale
        pen.ellipse((across - _DOT_PX, down - _DOT_PX, across + _DOT_PX, down + _DOT_PX), fill=_LINE)
    out = BytesIO()
    picture.save(out, "PNG")
    return out.getvalue()
