"""PDF path operators in millimetres from the upper left: lines, rules, crosses, pictures; knows no page, no words."""

from collections.abc import Iterable

from archgen.printing.page import CROSS_ARM_MM, Rect
from archgen.printing.typesetting import SetWord

POINTS_PER_MM = 72 / 25.4
# 0.25 and 0.8 pt: the two line weights of everything printed.
HAIR_MM = 0.25 / POINTS_PER_MM
FRAME_MM = 0.8 / POINTS_PER_MM
_HALO_MM = 0.9


def number(value: float) -> str:
    """Write a number for a content stream: a millionth of a millimetre, no exponent."""
    return f"{value:.6f}".rstrip("0").rstrip(".") or "0"


def operator(name: str, *values: float) -> str:
    """Write one operator with its numbers."""
    return " ".join([*(number(value) for value in values), name])


def in_millimetres(factor_x: float, factor_y: float, height_pt: float, body: Iterable[str]) -> bytes:
    """Wrap operators so that they may speak true millimetres with y downwards."""
    # Nine decimals: over 600 mm, six would leave half a thousandth of a millimetre.
    across, down = factor_x * POINTS_PER_MM, -factor_y * POINTS_PER_MM
    frame = f"q {across:.9f} 0 0 {down:.9f} 0 {height_pt:.6f} cm"
    return "\n".join([frame, *body, "Q"]).encode("ascii")


def lines(segments: Iterable[tuple[float, float, float, float]], width: float, *, dash: float = 0.0) -> list[str]:
    """Draw straight black lines."""
    body = [f"{operator('m', x1, y1)} {operator('l', x2, y2)}" for x1, y1, x2, y2 in segments]
    if not body:
        return []
    pattern = f"[{number(dash)} {number(dash)}] 0 d" if dash else ""
    return ["q", "0 G", operator("w", width), *filter(None, [pattern]), *body, "S", "Q"]


def frame(box: Rect, width: float) -> list[str]:
    """Draw the outline of a rectangle."""
    return [
        "q",
        "0 G",
        operator("w", width),
        operator("re", box.left, box.top, box.width, box.height),
        "S",
        "Q",
    ]


def filled(box: Rect, gray: float = 0.0) -> list[str]:
    """Fill a rectangle; 0 is black."""
    return ["q", operator("g", gray), operator("re", box.left, box.top, box.width, box.height), "f", "Q"]


def picture(name: str, box: Rect, clip: Rect | None = None) -> list[str]:
    """Paint an image resource into a box, black where it is a mask."""
    cut = [operator("re", clip.left, clip.top, clip.width, clip.height), "W n"] if clip else []
    return [
        "q",
        "0 g",
        *cut,
        operator("cm", box.width, 0, 0, -box.height, box.left, box.bottom),
        f"/{name} Do",
        "Q",
    ]


def cross(x: float, y: float) -> list[str]:
    """Draw a registration cross; the white halo keeps it visible on solid black."""
    arm = CROSS_ARM_MM
    strokes = [(x - arm, y, x + arm, y), (x, y - arm, x, y + arm)]
    halo = ["q", "1 G", operator("w", _HALO_MM), "2 J"]
    halo += [f"{operator('m', x1, y1)} {operator('l', x2, y2)}" for x1, y1, x2, y2 in strokes]
    return [*halo, "S", "Q", *lines(strokes, HAIR_MM)]


def rule_across(x: float, y: float, length: int) -> tuple[list[str], list[SetWord]]:
    """Draw a rule from x to x + length mm, ticks hanging below y, and name its tens."""
    ticks = [(x + mm, y, x + mm, y + _tick(mm)) for mm in range(length + 1)]
    names = [SetWord(str(mm), x + mm, y + 5.6, 6.5, "centre", role="artifact") for mm in _named(length)]
    return [*lines([(x, y, x + length, y)], HAIR_MM), *lines(ticks, HAIR_MM)], names


def rule_up(x: float, y: float, length: int) -> tuple[list[str], list[SetWord]]:
    """Draw a rule from y up to y - length mm, ticks to the left of x, and name its tens."""
    ticks = [(x, y - mm, x - _tick(mm), y - mm) for mm in range(length + 1)]
    names = [SetWord(str(mm), x - 3.4, y - mm + 0.8, 6.5, "right", role="artifact") for mm in _named(length)]
    return [*lines([(x, y, x, y - length)], HAIR_MM), *lines(ticks, HAIR_MM)], names


def _tick(mm: int) -> float:
    return 2.8 if mm % 10 == 0 else 2.0 if mm % 5 == 0 else 1.2


def _named(length: int) -> range:
    """Name the ends and the middle; a short rule's middle is kept free for its words."""
    return range(0, length + 1, 50)
