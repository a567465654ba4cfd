"""A drawing redrawn for the needle: hidden lines leave, and what would run together on skin is left out.

Lines are taken in the order in which an artist keeps them: outlines first, then the heavier, longer ones. Each is kept
where it stays clear of what is already there or meets it; where it would run beside it too closely, it is lifted.
"""

from dataclasses import dataclass, replace

import numpy as np
from PIL import Image, ImageDraw
from scipy import ndimage as ndi

from tests.demo import geom as g
from tests.demo.design import Design, Shape, Stroke
from tests.demo.raster import draw_stroke

PPM = 20.0
STEP_MM = 0.1
TOUCHES_MM = 0.06
# A line may come near another over this many gaps of its length, on its way to meet it.
MEETING = 1.7
SHORTEST_MM = 0.45
OUTLINE_MM = 6.0


@dataclass(frozen=True, slots=True)
class Hand:
    """How a drawing is put on paper: the clear space between lines, and the lightest line, in mm."""

    gap: float = 0.62
    finest: float = 0.25


def redrawn(design: Design, hand: Hand) -> Design:
    """Give the drawing with visible lines alone, none closer to another than the hand's gap unless they meet."""
    out = Design(design.width, design.height)
    out.light, out.palette = design.light, design.palette
    cover, page = _cover(design), _Page(design, hand)
    lines = [(number, item) for number, item in enumerate(design.items) if isinstance(item, Stroke)]
    strokes = [run for number, line in lines if not line.white for run in _visible(line, cover, number)]
    kept = [part for stroke in sorted(strokes, key=_rank) for part in page.drawn(stroke)]
    shapes = [item for item in design.items if isinstance(item, Shape)]
    out.items = [*shapes, *kept, *(line for _, line in lines if line.white)]
    return out


def _rank(stroke: Stroke) -> tuple[bool, float, float]:
    """Outlines come first, then what is heavier, then what is longer."""
    length = float(g.arclen(stroke.pts)[-1])
    heavy = float(stroke.width.max())
    return (heavy < 0.3 or length < OUTLINE_MM, -round(heavy * 20), -length)


def _visible(stroke: Stroke, cover: g.Array, number: int) -> list[Stroke]:
    """Give the stretches of a line that no shape drawn after it covers."""
    line = _sampled(stroke)
    column, row = (np.clip((line.pts[:, k] * PPM).astype(int), 0, cover.shape[1 - k] - 1) for k in (0, 1))
    return _stretches(line, cover[row, column] <= number)


def _cover(design: Design) -> g.Array:
    """Number every pixel by the last shape that covers it."""
    im = Image.new("I", _size(design), 0)
    pen = ImageDraw.Draw(im)
    for number, item in enumerate(design.items):
        if isinstance(item, Shape) and item.stencil:
            pen.polygon((item.poly * PPM).ravel().tolist(), fill=number + 1)
    return np.asarray(im)


def _size(design: Design) -> tuple[int, int]:
    return int(np.ceil(design.width * PPM)) + 1, int(np.ceil(design.height * PPM)) + 1


def _sampled(stroke: Stroke) -> Stroke:
    """Give the line with a point every tenth of a millimetre."""
    along = g.arclen(stroke.pts)
    if along[-1] < STEP_MM:
        return stroke
    to = np.linspace(0, along[-1], max(2, int(along[-1] / STEP_MM) + 1))
    pts = np.stack([np.interp(to, along, stroke.pts[:, k]) for k in (0, 1)], axis=1)
    return replace(stroke, pts=pts, width=np.interp(to, along, stroke.width))


def _stretches(line: Stroke, keep: g.Array) -> list[Stroke]:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], keep.astype(int), [0]])))
    pairs = zip(edges[::2], edges[1::2], strict=True)
    return [replace(line, pts=line.pts[a:b], width=line.width[a:b]) for a, b in pairs if b - a >= 2]


class _Page:
    """The paper with the ink that is on it so far."""

    def __init__(self, design: Design, hand: Hand) -> None:
        self.hand = hand
        self.paper = Image.new("L", _size(design), 0)
        self.pen = ImageDraw.Draw(self.paper)
        for item in design.items:
            if isinstance(item, Shape) and item.stencil:
                self.pen.polygon((item.poly * PPM).ravel().tolist(), fill=255 if item.fill or item.black else 0)

    def drawn(self, line: Stroke) -> list[Stroke]:
        """Put down what may stay of a line."""
        if len(line.pts) == 2:
            return self._put([line]) if self._room(line)[0] >= self.hand.gap else []
        small = float(np.ptp(line.pts, axis=0).max())
        closed = float(np.hypot(*(line.pts[0] - line.pts[-1]))) < 0.3
        if closed and small < self.hand.gap + 0.2:  # a ring that would fill: a dot
            return self.drawn(_dot(line, small))
        room = self._room(line)
        if room.min() >= self.hand.gap:
            return self._put([line])
        return self._put(_stretches(line, _may_stay(room, self.hand.gap)))

    def _room(self, line: Stroke) -> g.Array:
        """Measure the clear space from the line's edge to the ink, mm; below nothing on it; far is far enough."""
        reach = self.hand.gap + 0.6
        low = np.maximum(((line.pts.min(0) - reach) * PPM).astype(int), 0)
        high = ((line.pts.max(0) + reach) * PPM).astype(int) + 2
        window = np.asarray(self.paper.crop((*low.tolist(), *high.tolist()))) > 127
        if not window.any():
            return np.full(len(line.pts), 9.0)
        far = ndi.distance_transform_edt(~window) / PPM
        at = np.clip((line.pts * PPM).astype(int) - low, 0, np.array(window.shape[::-1]) - 1)
        return np.asarray(far[at[:, 1], at[:, 0]] - line.width / 2)

    def _put(self, lines: list[Stroke]) -> list[Stroke]:
        lines = [line for line in lines if len(line.pts) == 2 or g.arclen(line.pts)[-1] >= SHORTEST_MM]
        for line in lines:
            draw_stroke(self.pen, line.pts * PPM, line.width * PPM, 255)
        return lines


def _dot(line: Stroke, across: float) -> Stroke:
    middle = (line.pts.min(0) + line.pts.max(0)) / 2
    return replace(line, pts=np.array([middle, middle + 1e-3]), width=np.full(2, max(0.4, across * 0.9)))


def _may_stay(room: g.Array, gap: float) -> g.Array:
    """Say which points stay: what is clear, and the short way from there to where the line meets another."""
    free = room >= gap
    stays = free.copy()
    most = int(MEETING * gap / STEP_MM)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], free.astype(int), [0]])))
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        if (last - first) * STEP_MM < SHORTEST_MM / 2 and last - first < len(room):
            stays[first:last] = False
            continue
        ahead, behind = room[last : last + most], room[max(0, first - most) : first][::-1]
        for way, start, sign in ((ahead, last, 1), (behind, first - 1, -1)):
            meets = np.flatnonzero(way <= TOUCHES_MM)
            if len(meets):
                stays[[start + sign * k for k in range(int(meets[0]) + 1)]] = True
    return stays
