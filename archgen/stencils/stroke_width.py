"""Measure the line weights and gaps of a stencil in mm at its printed size; knows marks and mm, not pieces.

    gauge = measure(read_marks(path), width_mm=90.0, limits=GaugeLimits())
    gauge.thin, gauge.tight, gauge.readable_from_mm
    rows = at_widths(gauge, (40.0, 60.0, 80.0))

A line is measured once, in pixels; every size is that measurement scaled.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from archgen.errors import UsageError
from archgen.images.filters import find_spots
from archgen.languages.house import say
from archgen.stencils import links, resolution, ridges, runs
from archgen.stencils.links import Links
from archgen.stencils.resolution import FileDots, Gray
from archgen.stencils.ridges import Ridge
from archgen.stencils.runs import Runs
from archgen.values.frozen import Value

# Wider than this is a filled area or open skin, not a line or a gap.
WIDEST_STROKE_MM = 5.0
WIDEST_GAP_MM = 4.0
LARGEST_MM = 2000.0
# How far ink spreads beyond each side of a line: common practice, no source.
SPREAD_MM = 0.3
PERCENTILES = (1, 5, 50, 95, 99)
# Places nearer than this are one place: two fingertips of detail, and a twentieth of the design.
_MERGE_MM = 2.5
_MERGE_SHARE = 0.045
# Dots: no longer than twice as wide, and mostly filled.
_DOT_LONG, _DOT_FILLED = 2.0, 0.55
_SMALLEST_DOT_PX = 4
_PAD_PX = 6
_INK = 128
# Lines of 0.1 mm still cover two pixels at 600 dots per inch; finer files are gauged at that.
_PX_PER_MM = 24.0

Box = tuple[float, float, float, float]


class GaugeLimits(Value, frozen=True):
    """What still reads on skin; the defaults are common practice and have no source.

    `spread_mm` is how far ink is expected to spread beyond each side of a line: gaps below twice that close up.
    """

    stroke_mm: float = 0.3
    gap_mm: float = 1.0
    spread_mm: float = SPREAD_MM


class Shortfall(Enum):
    """What is too small at a place."""

    LINE = "line"
    DOT = "dot"
    GAP = "gap"


class NarrowPlace(Value, frozen=True):
    """A critical place, mm from the upper left of the marks; `mm` is the smallest of the `count` runs merged into it.

    `closes` says that ink spreading from both sides will meet there.
    """

    x_mm: float
    y_mm: float
    mm: float
    kind: Shortfall
    count: int = 1
    closes: bool = False


class Widths(Value, frozen=True):
    """How wide lines or gaps are, by length: percentiles in mm, and the share below the limit."""

    p01: float
    p05: float
    p50: float
    p95: float
    p99: float
    below_limit: float


@dataclass(frozen=True, slots=True)
class Measured:
    """What was seen in the picture, in pixels; the base of every size. `stepped`: they are ink or paper, no gray."""

    width_px: float
    height_px: float
    stepped: bool
    strokes: Ridge
    stroke_links: Links
    gaps: Ridge
    gap_links: Links
    dots: NDArray[np.float32]

    def runs(self, limit_px: float, *, gaps: bool = False) -> Runs:
        """Find the stretches of lines, or of gaps, that are narrower than a limit."""
        ridge, linked = (self.gaps, self.gap_links) if gaps else (self.strokes, self.stroke_links)
        return runs.below(ridge, linked, limit_px, resolution.known_dots(stepped=self.stepped))

    def has_runs(self, limit_px: float, *, gaps: bool = False) -> bool:
        """Say whether there is such a stretch; ends with the first."""
        ridge, linked = (self.gaps, self.gap_links) if gaps else (self.strokes, self.stroke_links)
        return runs.any_below(ridge, linked, limit_px, resolution.known_dots(stepped=self.stepped))


class Gauge(Value, frozen=True):
    """A stencil's line weights and gaps at one printed width.

    `stroke_mm` or `gap_mm` is None when the design has no line or no gap narrow enough to measure.
    `thin_lines`, `tight_gaps` and `closing_gaps` count single lines (with dots) and gaps; `thin` and `tight` are the
    places where they lie, those near each other as one. A count is None where the file is too coarse to tell.
    `readable_from_mm` is the smallest width at which every line and gap keeps its limit; None: not below 2 m, or the
    file is too coarse. `judged_to_mm` is the width up to which the file tells what is below a limit.
    `tapers` counts ends of strokes that run out thinner than the limit and wedges between lines that meet; they are
    not critical places. `mostly_from_mm` is the width from which 95 % of the length of lines and gaps keep theirs:
    in a dense drawing one sliver between two hairs decides the first figure, the second says what the eye will see.
    """

    width_mm: float
    height_mm: float
    limits: GaugeLimits
    stroke_mm: Widths | None
    gap_mm: Widths | None
    thin_lines: int | None
    tight_gaps: int | None
    closing_gaps: int
    thin: tuple[NarrowPlace, ...]
    tight: tuple[NarrowPlace, ...]
    readable_from_mm: float | None
    mostly_from_mm: float | None
    judged_to_mm: float
    tapers: int
    dots: FileDots
    measured: Measured


class WidthRow(Value, frozen=True):
    """One line of the table "at which size does it stay readable"; None: the file is too coarse to tell."""

    width_mm: float
    height_mm: float
    thinnest_mm: float | None
    narrowest_mm: float | None
    thin: int | None
    tight: int | None
    closing: int

    @property
    def is_readable(self) -> bool | None:
        """Say whether nothing is below a limit at this width; None: it can't be told."""
        if self.thin or self.tight:
            return False
        return None if self.thin is None or self.tight is None else True


class InkOnPaper(Protocol):
    """A stencil's ink: mode L, 255 paper, 0 ink; the box of the marks in pixels."""

    @property
    def gray(self) -> Image.Image: ...  # noqa: D102
    @property
    def box(self) -> tuple[float, float, float, float]: ...  # noqa: D102
    @property
    def is_one_bit(self) -> bool: ...  # noqa: D102


def measure(marks: InkOnPaper, width_mm: float, limits: GaugeLimits | None = None) -> Gauge:
    """Measure every line and gap at the printed width.

    Raises:
        UsageError: The width isn't a size for a stencil.
    """
    check_width(width_mm)
    return at_width(look(marks, width_mm), width_mm, limits or GaugeLimits())


def _shown_finely(marks: InkOnPaper, width_mm: float) -> tuple[Gray, Box, bool]:
    """Give gray, box and whether it is stepped, with one pixel for each dot of the file and no finer than needed."""
    gray, box = np.asarray(marks.gray), marks.box
    block = resolution.block_px(gray)
    if block > 1:
        gray, box = gray[::block, ::block], _shrunk(box, block)
    stepped = marks.is_one_bit or resolution.is_stepped(gray)
    factor = int((box[2] - box[0]) / width_mm / _PX_PER_MM)
    if factor < 2:
        return gray, box, stepped
    return np.asarray(Image.fromarray(gray).reduce(factor)), _shrunk(box, factor), False


def _shrunk(box: Box, times: int) -> Box:
    left, top, right, bottom = box
    return left / times, top / times, right / times, bottom / times


def check_width(width_mm: float) -> None:
    """Refuse a width that isn't a size for a stencil.

    Raises:
        UsageError: It is below 1 mm or above 2 m.
    """
    if not 1 <= width_mm <= LARGEST_MM:
        raise UsageError(
            say("A width of {width:g} mm cannot be gauged. A stencil is between 1 mm and 2 m wide.", width=width_mm)
        )


def look(marks: InkOnPaper, width_mm: float) -> Measured:
    """Measure the picture in pixels; `width_mm` only sets where a gap becomes open skin."""
    gray, (left, top, right, bottom), stepped = _shown_finely(marks, width_mm)
    x, y = int(left), int(top)
    inner = gray[y : int(np.ceil(bottom)), x : int(np.ceil(right))]
    page = np.pad(inner, _PAD_PX, constant_values=255)
    pitch = (right - left) / width_mm
    reach = 8.0 if stepped else 4.0
    dots, dotted = _dots(page < _INK)
    strokes, gaps = ridges.find_both(
        page, smooth=stepped, stroke_px=WIDEST_STROKE_MM * pitch, gap_px=WIDEST_GAP_MM * pitch
    )
    on_dot = dotted[np.round(strokes.y).astype(np.int64), np.round(strokes.x).astype(np.int64)]
    strokes = strokes.take(~on_dot)
    # Pixel centres to places inside the box of the marks.
    shift_x, shift_y = x - left + 0.5 - _PAD_PX, y - top + 0.5 - _PAD_PX
    dots = dots + np.array([shift_x, shift_y, 0], np.float32)
    stroke_links, gap_links = links.follow(strokes, reach), links.follow(gaps, reach)
    return Measured(
        right - left,
        bottom - top,
        stepped,
        _shifted(links.smoothed(strokes, stroke_links), shift_x, shift_y),
        stroke_links,
        _shifted(links.smoothed(gaps, gap_links), shift_x, shift_y),
        gap_links,
        dots,
    )


def _shifted(ridge: Ridge, x: float, y: float) -> Ridge:
    return replace(ridge, x=ridge.x + np.float32(x), y=ridge.y + np.float32(y))


def _dots(ink: NDArray[np.bool_]) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
    """Give place and diameter (of a disc of the same area) of every dot, and the pixels that dots cover."""
    spots = find_spots(ink)
    left, top, wide, tall = spots.boxes.T
    diameter = 2 * np.sqrt(spots.area / np.pi)
    is_dot = (spots.area >= _SMALLEST_DOT_PX) & (np.maximum(wide, tall) <= _DOT_LONG * diameter)
    is_dot &= spots.area >= _DOT_FILLED * tall * wide
    is_dot[0] = False
    dots = np.stack([left + (wide - 1) / 2, top + (tall - 1) / 2, diameter], axis=1)
    return dots[is_dot].astype(np.float32), is_dot[spots.numbers]


def at_width(seen: Measured, width_mm: float, limits: GaugeLimits) -> Gauge:
    """Scale what was seen to a width and judge it against the limits."""
    mm = width_mm / seen.width_px
    found = _places(seen, width_mm, limits)
    stroke_mm, gap_mm = _widths(seen.strokes, mm, limits.stroke_mm), _widths(seen.gaps, mm, limits.gap_mm)
    judged_to = resolution.widest_judged_mm(min(limits.stroke_mm, limits.gap_mm), seen.width_px, stepped=seen.stepped)
    shares = [
        limit / widths.p05 for limit, widths in ((limits.stroke_mm, stroke_mm), (limits.gap_mm, gap_mm)) if widths
    ]
    readable_from = _readable_from(seen, limits)
    return Gauge(
        width_mm=width_mm,
        height_mm=seen.height_px * mm,
        limits=limits,
        stroke_mm=stroke_mm,
        gap_mm=gap_mm,
        thin_lines=found.thin_lines,
        tight_gaps=found.tight_gaps,
        closing_gaps=found.closing,
        thin=merged(found.thin, width_mm),
        tight=merged(found.tight, width_mm),
        readable_from_mm=readable_from if readable_from and readable_from <= judged_to else None,
        mostly_from_mm=width_mm * max(shares) if shares else None,
        judged_to_mm=judged_to,
        tapers=found.tapers,
        dots=FileDots(mm, seen.stepped),
        measured=seen,
    )


def at_widths(gauge: Gauge, widths_mm: Sequence[float]) -> tuple[WidthRow, ...]:
    """Give the table for several widths.

    Raises:
        UsageError: A width isn't a size for a stencil.
    """
    rows = []
    for width_mm in widths_mm:
        check_width(width_mm)
        found = _places(gauge.measured, width_mm, gauge.limits)
        rows.append(
            WidthRow(
                width_mm,
                gauge.height_mm / gauge.width_mm * width_mm,
                min((place.mm for place in found.thin), default=None),
                min((place.mm for place in found.tight), default=None),
                found.thin_lines,
                found.tight_gaps,
                found.closing,
            )
        )
    return tuple(rows)


def share_thinner(gauge: Gauge, width_mm: float) -> float | None:
    """Give the share of the length of all lines that is thinner than a width; None without lines."""
    strokes = gauge.measured.strokes
    return _share_below(strokes, width_mm / (gauge.width_mm / gauge.measured.width_px)) if len(strokes.x) else None


def _share_below(ridge: Ridge, limit_px: float) -> float:
    return float(ridge.length[ridge.width < limit_px].sum() / max(float(ridge.length.sum()), 1e-6))


class _NarrowPlaces(Value, frozen=True):
    """Every thin line and dot and every narrow gap at a width, each by itself, and the count of tapers.

    What cannot be told from the file is left out.
    """

    thin: Sequence[NarrowPlace]
    tight: Sequence[NarrowPlace]
    tapers: int
    tells_lines: bool
    tells_gaps: bool

    @property
    def thin_lines(self) -> int | None:
        return len(self.thin) if self.tells_lines else None

    @property
    def tight_gaps(self) -> int | None:
        return len(self.tight) if self.tells_gaps else None

    @property
    def closing(self) -> int:
        return sum(place.closes for place in self.tight)


def _places(seen: Measured, width_mm: float, limits: GaugeLimits) -> _NarrowPlaces:
    mm = width_mm / seen.width_px
    dots = FileDots(mm, seen.stepped)
    tells_lines, tells_gaps = dots.judges(limits.stroke_mm), dots.judges(limits.gap_mm)
    lines = seen.runs(limits.stroke_mm / mm)
    gaps = seen.runs(limits.gap_mm / mm, gaps=True)
    small = seen.dots[seen.dots[:, 2] * mm < limits.stroke_mm]
    thin = [NarrowPlace(run.x * mm, run.y * mm, run.width * mm, Shortfall.LINE) for run in lines.found]
    thin += [NarrowPlace(float(x) * mm, float(y) * mm, float(wide) * mm, Shortfall.DOT) for x, y, wide in small]
    closing = 2 * limits.spread_mm
    tight = [
        NarrowPlace(run.x * mm, run.y * mm, run.width * mm, Shortfall.GAP, closes=run.width * mm < closing)
        for run in gaps.found
    ]
    tapers = lines.tapers + gaps.tapers
    return _NarrowPlaces(thin if tells_lines else (), tight if tells_gaps else (), tapers, tells_lines, tells_gaps)


def merged(places: Sequence[NarrowPlace], width_mm: float) -> tuple[NarrowPlace, ...]:
    """Let the worst place stand for those around it, so that a picture with numbers stays readable."""
    radius = max(_MERGE_MM, _MERGE_SHARE * width_mm)
    left = sorted(places, key=lambda place: (place.mm, place.x_mm, place.y_mm))
    spots = np.array([(place.x_mm, place.y_mm) for place in left]).reshape(-1, 2)
    free, merged = np.ones(len(left), bool), []
    for index, place in enumerate(left):
        if not free[index]:
            continue
        near = free & (np.hypot(*(spots - spots[index]).T) <= radius)
        free &= ~near
        merged.append(NarrowPlace(place.x_mm, place.y_mm, place.mm, place.kind, int(near.sum()), place.closes))
    return tuple(merged)


def _widths(ridge: Ridge, mm: float, limit_mm: float) -> Widths | None:
    if not len(ridge.width):
        return None
    order = np.argsort(ridge.width, kind="stable")
    widths, lengths = ridge.width[order].astype(np.float64) * mm, ridge.length[order].astype(np.float64)
    middles = np.cumsum(lengths) - lengths / 2
    wanted = np.array(PERCENTILES) / 100 * max(float(lengths.sum()), 1e-6)
    p01, p05, p50, p95, p99 = (float(value) for value in np.interp(wanted, middles, widths))
    return Widths(p01, p05, p50, p95, p99, below_limit=_share_below(ridge, limit_mm / mm))


def _readable_from(seen: Measured, limits: GaugeLimits) -> float | None:
    """Find the smallest width without a critical place, to a hundredth of a millimetre, by halving."""

    def critical(width_mm: float) -> bool:
        mm = width_mm / seen.width_px
        return (
            bool((seen.dots[:, 2] * mm < limits.stroke_mm).any())
            or seen.has_runs(limits.stroke_mm / mm)
            or seen.has_runs(limits.gap_mm / mm, gaps=True)
        )

    low, high = 1.0, LARGEST_MM
    if critical(high):
        return None
    while high - low > 0.005 and high / low > 1.0002:
        middle = (low * high) ** 0.5
        low, high = (middle, high) if critical(middle) else (low, middle)
    return high
