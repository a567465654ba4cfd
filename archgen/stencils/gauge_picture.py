"""Draw a gauged stencil with its critical places marked; knows gauges and pixels, not pieces or pages."""

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont

from archgen.stencils.ridges import Ridge
from archgen.stencils.stroke_width import Gauge, InkOnPaper, NarrowPlace
from archgen.values.frozen import Value

Color = tuple[int, int, int]
Square = tuple[float, float, float, float]

# The marker pen is at least this wide on the picture, so that a hair shows, and stands out beside wide lines.
_PEN_PX = 7
_RIM_PX = 3
_MARGIN_PX = 24
_TAG_PX = 22
# More places than can be seen to at a glance help nobody.
MOST_NAMED = 3


class Palette(Value, frozen=True):
    """Colours of ink, marker pen and numbers."""

    ink: Color
    marker: Color
    tag: Color


# On screen a stencil is violet and yellow means "look here"; on paper everything is gray.
SCREEN = Palette((74, 42, 138), (243, 220, 131), (43, 35, 0))
PAPER = Palette((40, 40, 40), (170, 170, 170), (0, 0, 0))


def numbered(gauge: Gauge, most: int = MOST_NAMED) -> tuple[tuple[str, NarrowPlace], ...]:
    """Give the worst places, the one farthest below its limit first, with the tags they carry in the picture.

    Letters are thin lines, numbers are gaps.
    """
    thin, tight = gauge.thin[:most], gauge.tight[:most]
    tagged = [(chr(ord("A") + index), place.mm / gauge.limits.stroke_mm, place) for index, place in enumerate(thin)]
    tagged += [(str(index + 1), place.mm / gauge.limits.gap_mm, place) for index, place in enumerate(tight)]
    tagged.sort(key=lambda one: one[1])
    return tuple((tag, place) for tag, _, place in tagged[:most])


def draw_gauge(
    marks: InkOnPaper, gauge: Gauge, width_px: int = 900, *, palette: Palette = SCREEN, most: int = MOST_NAMED
) -> Image.Image:
    """Draw the stencil so many pixels wide, everything below a limit marked, the worst places named.

    Round tags with letters are thin lines and dots, square tags with numbers are narrow gaps.
    """
    scale = (width_px - 2 * _MARGIN_PX) / gauge.width_mm
    inner = round(gauge.width_mm * scale), max(round(gauge.height_mm * scale), 1)
    size = inner[0] + 2 * _MARGIN_PX, inner[1] + 2 * _MARGIN_PX
    canvas = Image.new("RGB", size, "white")
    pen = ImageDraw.Draw(canvas)
    per_px = scale * gauge.width_mm / gauge.measured.width_px
    for ridge, limit in (
        (gauge.measured.strokes, gauge.limits.stroke_mm),
        (gauge.measured.gaps, gauge.limits.gap_mm),
    ):
        _mark(canvas, ridge, limit * gauge.measured.width_px / gauge.width_mm, per_px, palette.marker)
    gray = marks.gray.resize(inner, Image.Resampling.LANCZOS, box=marks.box)
    ink = Image.eval(gray, lambda level: 255 - level)
    canvas.paste(Image.new("RGB", inner, palette.ink), (_MARGIN_PX, _MARGIN_PX), ink)
    _tags(pen, [(tag, place.x_mm * scale, place.y_mm * scale) for tag, place in numbered(gauge, most)], size, palette)
    return canvas


def _mark(canvas: Image.Image, ridge: Ridge, limit_px: float, per_px: float, color: Color) -> None:
    """Dot every narrow point with the marker: all dots of one size at once, since a drawing has tens of thousands."""
    x, y = (np.round(_MARGIN_PX + along * per_px).astype(int) for along in (ridge.x, ridge.y))
    low = (ridge.width < limit_px) & (x >= 0) & (y >= 0) & (x < canvas.width) & (y < canvas.height)
    radius = np.ceil(np.maximum(ridge.width[low] * per_px / 2 + _RIM_PX, _PEN_PX / 2)).astype(int)
    x, y, marked = x[low], y[low], np.zeros((canvas.height, canvas.width), np.uint8)
    for size in np.unique(radius):
        centres = np.zeros_like(marked)
        centres[y[radius == size], x[radius == size]] = 255
        dot = Image.new("L", (2 * size + 1, 2 * size + 1))
        ImageDraw.Draw(dot).ellipse((0, 0, 2 * size, 2 * size), fill=1)
        cv2.max(marked, cv2.dilate(centres, np.asarray(dot)), dst=marked)
    canvas.paste(color, (0, 0), Image.fromarray(marked))


def _tags(
    pen: ImageDraw.ImageDraw, spots: list[tuple[str, float, float]], size: tuple[int, int], palette: Palette
) -> None:
    """Ring every place and put its tag on the first side of it that is free."""
    rings = [_square(_MARGIN_PX + x, _MARGIN_PX + y, _PEN_PX) for _, x, y in spots]
    taken = list(rings)
    away = _PEN_PX + _TAG_PX * 0.75
    for (label, _, _), ring in zip(spots, rings, strict=True):
        x, y = (ring[0] + ring[2]) / 2, (ring[1] + ring[3]) / 2
        sides = ((away, 0), (-away, 0), (0, -away), (0, away), (away, -away), (-away, away))
        boxes = [_inside(_square(x + dx, y + dy, _TAG_PX / 2), size) for dx, dy in sides]
        tag = next((box for box in boxes if not any(_meet(box, other) for other in taken)), boxes[0])
        taken.append(tag)
        draw = pen.ellipse if label.isalpha() else pen.rectangle
        draw(ring, outline=palette.tag, width=2)
        draw(tag, fill="white", outline=palette.tag, width=2)
        middle = (tag[0] + tag[2]) / 2, (tag[1] + tag[3]) / 2
        pen.text(middle, label, fill=palette.tag, font=ImageFont.load_default(size=14), anchor="mm")


def _square(x: float, y: float, half: float) -> Square:
    return x - half, y - half, x + half, y + half


def _inside(box: Square, size: tuple[int, int]) -> Square:
    dx = max(1 - box[0], 0) + min(size[0] - 2 - box[2], 0)
    dy = max(1 - box[1], 0) + min(size[1] - 2 - box[3], 0)
    return box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy


def _meet(one: Square, two: Square) -> bool:
    return one[0] < two[2] and two[0] < one[2] and one[1] < two[3] and two[1] < one[3]
