"""Find what is drawn on the page of an SVG or PDF and draw only that: programs like to leave it small on a large page.

An area is left, top, right and bottom in widths of the page.
"""

import math
from functools import lru_cache
from pathlib import Path

import numpy as np
from PIL import Image

from archgen.errors import InputError
from archgen.languages.house import say
from archgen.stencils.stencil_file import MAX_DRAWN_PIXELS, DrawingFailedError, VectorPage, open_vector
from archgen.values.frozen import Value

Area = tuple[float, float, float, float]
Box = tuple[float, float, float, float]

# What the page is drawn across to see what is on it, and how much of that the drawing shall fill to be seen well.
_LOOK_PX, _SEEN_PX = 1200, 300
_LOOK_PIXELS = 2_000_000
_MOST_LOOKS = 5
# Tones this near to the paper's are paper.
_PAPER_SPREAD = 8
# Pixels left around a drawing, so that its edges can be measured.
_MARGIN_PX = 4
# How many times coarser a drawing is tried when it takes too much memory.
_COARSER, _COARSEST = (1, 2, 4), 8
# Pixels that the page of an SVG or PDF counts across, 360 dots per inch on a sheet of A4; in all at most so many.
SHEET_PX, SHEET_PIXELS = 3000, 24_000_000
# Longer sides of a drawing on such a page under which the page counts more, until they have as many as `_CLOSE_PX`.
_SMALL_PX, _CLOSE_PX = 1000, 1500


class AreaDrawing(Value, frozen=True):
    """A part of a page drawn: gray on white, from a corner in widths of the page, `scale` pixels to a width."""

    gray: Image.Image
    corner: tuple[float, float]
    scale: float

    def on_page(self, box: Box) -> Area:
        """Give a box of its pixels as an area of the page."""
        left, top = self.corner
        return (
            left + box[0] / self.scale,
            top + box[1] / self.scale,
            left + box[2] / self.scale,
            top + box[3] / self.scale,
        )


class DrawnSheet(Value, frozen=True):
    """The page of an SVG or PDF as a picture.

    Attributes:
        gray: The whole page.
        size: What its pixels are counted in: its size, or a larger one where the drawing is small on it.
        close: The drawing alone, in pixels of that larger size, where there is one.
    """

    gray: Image.Image
    size: tuple[int, int]
    close: AreaDrawing | None = None


@lru_cache(maxsize=1000)
def drawn_area(page: VectorPage) -> Area | None:
    """Give the part of a page that is not bare paper; None where nothing is.

    Raises:
        InputError: It cannot be drawn.
    """
    whole = page.whole(_LOOK_PX, _LOOK_PIXELS)
    seen, area = AreaDrawing(whole, (0.0, 0.0), float(whole.width)), None
    for _ in range(_MOST_LOOKS):
        box = _not_paper(seen.gray)
        if box is None:
            return area
        area = seen.on_page((box[0] - 1, box[1] - 1, box[2] + 1, box[3] + 1))
        if max(box[2] - box[0], box[3] - box[1]) >= _SEEN_PX:
            return area
        seen = draw_area(page, area, _LOOK_PX, _LOOK_PIXELS)
    return area


def draw_area(page: VectorPage, area: Area, across_px: int, most_pixels: int = MAX_DRAWN_PIXELS) -> AreaDrawing:
    """Draw an area so many pixels across, unless that were too many in all, with a little paper around it.

    Where that takes too much memory it is drawn coarser: blurred parts of an SVG take memory far beyond the area.

    Raises:
        InputError: It cannot be drawn.
    """
    for coarser in _COARSER:
        across = max(across_px // coarser, 1)
        if across / (area[2] - area[0]) >= min(_too_fine(page), default=math.inf):
            continue
        try:
            return _draw_at(page, area, across, most_pixels)
        except DrawingFailedError as error:
            if not error.is_of_size:
                raise
            _too_fine(page).append(across / (area[2] - area[0]))
    return _draw_at(page, area, max(across_px // _COARSEST, 1), most_pixels)


@lru_cache(maxsize=1000)
def _too_fine(_page: VectorPage) -> list[float]:
    """Give the list, to be added to, of pixels to a width of the page that took too much memory."""
    return []


def _draw_at(page: VectorPage, area: Area, across_px: int, most_pixels: int) -> AreaDrawing:
    left, top, right, bottom = area
    wide, tall = right - left, bottom - top
    # Room for the margins is taken off first: on a thin line they are most of it.
    room = max(most_pixels // 2, 1)
    scale = min(across_px / wide, (room / (wide * tall)) ** 0.5, room / (4 * _MARGIN_PX) / max(wide, tall))
    margin = _MARGIN_PX / scale
    size = round(wide * scale) + 2 * _MARGIN_PX, round(tall * scale) + 2 * _MARGIN_PX
    corner = left - margin, top - margin
    return AreaDrawing(page.part(corner, scale, size), corner, scale)


def read_sheet(path: Path) -> DrawnSheet:
    """Draw an SVG or the first page of a PDF, and its drawing alone where that is small on the page.

    Raises:
        InputError: It cannot be drawn.
    """
    page = open_vector(path)
    area = drawn_area(page)
    gray = page.whole(SHEET_PX, SHEET_PIXELS)
    across = sheet_px(page, area)
    if area is None or across <= gray.width:
        return DrawnSheet(gray, gray.size)
    close = draw_area(page, area, round((area[2] - area[0]) * across))
    return DrawnSheet(gray, (across, max(round(across * page.height), 1)), close)


def sheet_px(page: VectorPage, area: Area | None) -> int:
    """Say in how many pixels across a page's places are counted, such as those of landmarks."""
    across = page.size_within(SHEET_PX, SHEET_PIXELS)[0]
    side = max(area[2] - area[0], area[3] - area[1]) if area else 1.0
    return across if side * across >= _SMALL_PX else round(_CLOSE_PX / side)


def no_drawing(name: str) -> InputError:
    """Say that nothing is drawn."""
    return InputError(
        say(
            "{name}: the picture is empty: no line in it is darker than half gray. If the lines are "
            "white on transparency, save them as black lines.",
            name=name,
        )
    )


def _not_paper(gray: Image.Image) -> tuple[int, int, int, int] | None:
    """Give the box of all that is not of the paper's tone, the most frequent one."""
    paper = int(np.argmax(gray.histogram()))
    return gray.point([255 * (abs(level - paper) > _PAPER_SPREAD) for level in range(256)]).getbbox()
