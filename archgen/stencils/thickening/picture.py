"""Draw a stencil before and after its lines were thickened, side by side, and its hardest places large; pixels only."""

from PIL import Image, ImageChops, ImageDraw, ImageFont, ImageOps

from archgen.languages.house import say
from archgen.stencils.marks import Box
from archgen.stencils.stroke_width import NarrowPlace
from archgen.stencils.thickening.lines import Thickened

WIDTH_PX = 1800
_EDGE_PX, _GUTTER_PX, _WORDS_PX = 40, 40, 46
_TALLEST_PX = 1500
# A detail shows so many mm of the drawing.
_DETAIL_MM, _DETAILS = 6.0, 3
_RING_MM = 1.6
_INK, _ADDED, _SOFT = (43, 35, 60), (214, 120, 20), (110, 104, 120)


def draw_before_and_after(grown: Thickened, least_mm: float) -> Image.Image:
    """Draw the page: left as it is, right as it will be printed with what was added in another colour."""
    side = (WIDTH_PX - 2 * _EDGE_PX - _GUTTER_PX) // 2
    left, top, right, bottom = grown.marks.box
    whole: Box = (left - 2, top - 2, right + 2, bottom + 2)
    scale = min(side / (whole[2] - whole[0]), _TALLEST_PX / (whole[3] - whole[1]))
    size = round((whole[2] - whole[0]) * scale), round((whole[3] - whole[1]) * scale)
    details = _detail_places(grown)
    small = (WIDTH_PX - 2 * _EDGE_PX - 5 * 20) // 6
    height = _EDGE_PX + _WORDS_PX + size[1] + (_WORDS_PX + small + _EDGE_PX if details else 0) + _EDGE_PX
    page = Image.new("RGB", (WIDTH_PX, height), "white")
    pen = ImageDraw.Draw(page)
    columns = [_EDGE_PX, _EDGE_PX + side + _GUTTER_PX]
    for x, words, added in zip(
        columns,
        (say("As it is"), say("Lines thickened to {asked:g} mm: what is new is orange", asked=least_mm)),
        (False, True),
        strict=True,
    ):
        _write(pen, (x, _EDGE_PX), words, 26, _INK)
        page.paste(_panel(grown, whole, size, added=added), (x, _EDGE_PX + _WORDS_PX))
    below = _EDGE_PX + _WORDS_PX + size[1] + _EDGE_PX
    for number, (words, place) in enumerate(details):
        x = _EDGE_PX + number * 2 * (small + 20)
        _write(pen, (x, below), words, 20, _SOFT)
        for step, added in enumerate((False, True)):
            at = x + step * (small + 20), below + _WORDS_PX - 10
            page.paste(_panel(grown, _around(grown, place), (small, small), added=added), at)
            pen.rectangle((at[0], at[1], at[0] + small - 1, at[1] + small - 1), outline=_SOFT)
            middle, ring = (at[0] + small / 2, at[1] + small / 2), small * _RING_MM / _DETAIL_MM / 2
            pen.ellipse(
                (middle[0] - ring, middle[1] - ring, middle[0] + ring, middle[1] + ring), outline=_SOFT, width=2
            )
    return page


def _detail_places(grown: Thickened) -> list[tuple[str, NarrowPlace]]:
    """Choose what to show large: gaps that close, then the thinnest lines."""
    found = [(say("gap {width:.2f} mm closes", width=place.mm), place) for place in grown.closing[:_DETAILS]]
    found += [(say("line {width:.2f} mm", width=place.mm), place) for place in grown.places[:_DETAILS]]
    return [(f"{number + 1}: {words}", place) for number, (words, place) in enumerate(found[:_DETAILS])]


def _around(grown: Thickened, place: NarrowPlace) -> Box:
    per_mm = (grown.marks.box[2] - grown.marks.box[0]) / grown.width_mm
    x, y = grown.marks.box[0] + place.x_mm * per_mm, grown.marks.box[1] + place.y_mm * per_mm
    half = _DETAIL_MM / 2 * per_mm
    return x - half, y - half, x + half, y + half


def _panel(grown: Thickened, box: Box, size: tuple[int, int], *, added: bool) -> Image.Image:
    """Draw a part of the drawing; with `added` the new ink in its own colour."""
    before, after = (
        ImageOps.invert(gray).resize(size, Image.Resampling.LANCZOS, box=_inside(box, gray.size))
        for gray in (grown.before, grown.marks.gray)
    )
    panel = Image.new("RGB", size, "white")
    if added:
        panel.paste(_ADDED, (0, 0), ImageChops.subtract(after, before))
    panel.paste(_INK, (0, 0), before)
    return panel


def _inside(box: Box, size: tuple[int, int]) -> Box:
    """Move a box that reaches beyond the picture back into it."""
    dx = max(-box[0], 0) + min(size[0] - box[2], 0)
    dy = max(-box[1], 0) + min(size[1] - box[3], 0)
    return max(box[0] + dx, 0), max(box[1] + dy, 0), min(box[2] + dx, size[0]), min(box[3] + dy, size[1])


def _write(pen: ImageDraw.ImageDraw, at: tuple[int, int], words: str, size: int, color: tuple[int, int, int]) -> None:
    pen.text(at, words, fill=color, font=ImageFont.load_default(size=size))
