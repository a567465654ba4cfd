"""From a reference laid on a drawing to areas of few tones in the order they are worked; knows no piece and no page.

plan = make_plan(LaidReference(reference, drawing, shown, 62.0), PlanWish(bundle_mm=1.08))
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
from PIL import Image

from archgen.errors import UsageError
from archgen.images.filters import Flags, Floats
from archgen.languages.house import say
from archgen.shading.arcs import Arc, trace
from archgen.shading.bounds import Bound
from archgen.shading.cells import number_cells
from archgen.shading.cleaning import Parts, deep, without_small
from archgen.shading.cuts import cuts_leaving_bare, find_cuts
from archgen.shading.enclosed import EnclosedCell, background_light, cell_at, doubtful_cells, softens_behind
from archgen.shading.highlights import Highlights, find_highlights
from archgen.shading.light import lightness, smoothed, without_lines
from archgen.shading.order import BANDS_MM, Ordered, Placed, Start, ordered
from archgen.shading.outline import Outline, find_outline, left_without
from archgen.shading.toning import Canvas, Edges, Toned, ToneWay, best_ways, toned
from archgen.values.frozen import Value

TONES = (3, 7)
MOST_AREAS = 40
FEWEST_STEPS = 8
BARE = (0.0, 0.9)
# Ten pixels a millimetre; fewer for wide bundles, which still have ten across, and for large drawings.
_PX_PER_MM, _LEAST_PX_PER_MM, _BUNDLE_PX, _MOST_PX = 10.0, 4.0, 10.5, 700_000
_INK, _SHOWN = 128, 128
# Edges are blurred along themselves by a quarter of the bundle and drawn to a hundredth of a millimetre.
_EASED, _OFF_MM = 0.25, 0.012


class EnclosedAnswer(Value, frozen=True):
    """What the artist said of a cell inside the drawing, by a place in it in mm: background, bare or black."""

    x: float
    y: float
    means: str


class PlanWish(Value, frozen=True):
    """What a plan is made by.

    `bundle_mm` is the width of the needle at hand. Where `are_tones_set` is false there may be more tones than `tones`,
    if else the steps would be few. `bare` is the share of the drawing to leave bare; None lets the
    light decide. `cuts` are those of an earlier plan (CIE L*, dark to light) and `edges` what its edges followed: with
    both nothing is chosen anew.
    """

    bundle_mm: float
    tones: int = 5
    are_tones_set: bool = False
    bare: float | None = None
    most_areas: int = MOST_AREAS
    start: Start = Start.BOTTOM
    cuts: tuple[float, ...] = ()
    edges: Edges | None = None
    answers: tuple[EnclosedAnswer, ...] = ()


class LaidReference(Value, frozen=True):
    """A reference and a drawing that lie on each other: three pictures of the same frame, `width_mm` wide.

    `reference` is gray, `drawing` dark on white, `shown` white where the reference has something.
    """

    reference: Image.Image
    drawing: Image.Image
    shown: Image.Image
    width_mm: float


class Area(Value, frozen=True):
    """One area of one tone: its size, its centre and its deepest place in mm from the upper left."""

    tone: int
    size_mm2: float
    share: float
    x: float
    y: float
    deep_x: float
    deep_y: float
    depth_mm: float


class PlanLight(Value, frozen=True):
    """A small light to leave open, in mm from the upper left."""

    x: float
    y: float
    radius_mm: float


class Doubt(Value, frozen=True):
    """A cell that may be background: a place in it in mm, its share of the drawing."""

    x: float
    y: float
    share: float


@dataclass(frozen=True, slots=True)
class ShadingPlan:
    """Areas, and steps as indexes of areas, in the order they are worked.

    Attributes:
        numbers: The areas as a map; the index of each and one more, 0 outside.
        arcs: Edges of areas in pixels of the map, each once.
        levels: Mean lightness (CIE L*) of each tone, dark to light; the last stays bare.
        is_bare_lost: No area of the lightest tone is large enough to stay.
        is_dark_behind: The background is much darker than bare skin.
    """

    size_mm: tuple[float, float]
    px_per_mm: float
    bound: Bound
    cuts: tuple[float, ...]
    edges: Edges
    levels: tuple[float, ...]
    areas: tuple[Area, ...]
    steps: tuple[tuple[int, ...], ...]
    band_mm: float
    start: Start
    lights: tuple[PlanLight, ...]
    doubts: tuple[Doubt, ...]
    gap_mm: float
    is_bare_lost: bool
    is_dark_behind: bool
    numbers: npt.NDArray[np.int32] = field(repr=False)
    arcs: tuple[Arc, ...] = field(repr=False)

    @property
    def bare_tone(self) -> int:
        """Give the number of the tone that stays bare."""
        return len(self.levels) - 1

    @property
    def bare_share(self) -> float:
        """Give the share of the drawing that stays bare."""
        return sum(area.share for area in self.areas if area.tone == self.bare_tone)

    @property
    def step_of(self) -> Mapping[int, int]:
        """Give the number of the step by the index of an area, from 1 on."""
        return {index: number for number, step in enumerate(self.steps, 1) for index in step}


def make_plan(laid: LaidReference, wish: PlanWish) -> ShadingPlan:
    """Part a reference into areas that the bundle can shade, and order them.

    Raises:
        UsageError: The wish makes no sense, the drawing encloses nothing, or the reference has one tone only.
    """
    _check(wish)
    seen = _seen(laid, wish)
    made = (toned(seen.canvas, way, wish.most_areas) for way in _nearly_best(seen, wish))
    return _planned(seen, max(made, key=lambda one: one.worth), wish)


def _seen(laid: LaidReference, wish: PlanWish) -> "_SeenLight":
    bound = Bound(wish.bundle_mm)
    grid = _on_grid(laid, bound)
    outline, told = _told_background(grid, wish, bound)
    px = grid.px_per_mm
    skin = _skin(grid.light[outline.within], wish)
    lights = find_highlights(grid.light, outline.within, skin, px)
    light = without_lines(grid.light, grid.ink, outline.within, lights.mask, px)
    cells = without_small(number_cells(grid.ink, outline.within, wish.bundle_mm, px), bound.in_px(px))
    even = smoothed(light, wish.bundle_mm * px)
    for cell, is_bare in told:
        for each in (light, even):
            each[cell] = each[outline.within].max() if is_bare else each[outline.within].min()
    canvas = Canvas(light, even, cells, bound, px)
    return _SeenLight(grid, outline, canvas, lights, skin)


def _nearly_best(seen: "_SeenLight", wish: PlanWish) -> tuple[ToneWay, ...]:
    """Choose how tones are made, and how many where that isn't set: no more than it takes to have steps enough."""
    if wish.cuts and wish.edges:
        return _ways(seen.canvas, wish.tones, wish)
    canvas = seen.canvas.coarser
    tried: list[tuple[tuple[ToneWay, ...], list[Placed]]] = []
    fewest = len(wish.cuts) + 1 if wish.cuts else wish.tones
    most = fewest if wish.cuts or wish.are_tones_set else TONES[1]
    for tones in range(fewest, most + 1):
        best, *others = best_ways(canvas, _ways(seen.canvas, tones, wish), wish.most_areas)
        if tried and _is_bare_lost(best):
            continue
        tried.append((tuple(one.way for one in (best, *others)), _placed(best, canvas.px_per_mm)))
        if not _is_short(tried[-1][1], seen, wish, BANDS_MM[1], spare=1):
            return tried[-1][0]
    return max(tried, key=lambda one: (len(_order(one[1], seen, wish, BANDS_MM[-1]).steps), len(one[0][0].cuts)))[0]


def _is_bare_lost(made: Toned) -> bool:
    return int(made.parts.tones.max()) < len(made.way.cuts)


def _is_short(placed: Sequence[Placed], seen: "_SeenLight", wish: PlanWish, band_mm: float, spare: int = 0) -> bool:
    """Say whether there are fewer steps than make a plan; lines are one, whites another.

    On coarser pixels an area may be parted that is whole on fine ones: then one step is kept to spare.
    """
    steps = _order(placed, seen, wish, band_mm).steps
    return len(steps) + bool(seen.lights.spots) + 1 < FEWEST_STEPS + spare


def _order(placed: Sequence[Placed], seen: "_SeenLight", wish: PlanWish, band_mm: float) -> Ordered:
    """Order the areas that are worked; what is as light as the lightest tone stays bare."""
    return ordered(placed, seen.size_mm, wish.start, band_mm)


@dataclass(frozen=True, slots=True)
class _Grid:
    light: Floats
    ink: Flags
    shown: Flags
    px_per_mm: float


@dataclass(frozen=True, slots=True)
class _SeenLight:
    """What is known before tones are made."""

    grid: _Grid
    outline: Outline
    canvas: Canvas
    lights: Highlights
    skin: float

    @property
    def size_mm(self) -> tuple[float, float]:
        high, wide = self.grid.ink.shape
        return wide / self.grid.px_per_mm, high / self.grid.px_per_mm


def _check(wish: PlanWish) -> None:
    least, most = TONES
    if not least <= wish.tones <= most:
        raise UsageError(
            say("{tones} tones can't be planned. Use {least} to {most}.", tones=wish.tones, least=least, most=most)
        )
    if not 0.1 <= wish.bundle_mm <= 15:
        raise UsageError(say("There is no needle {width:g} mm wide. Use 0.1 to 15 mm.", width=wish.bundle_mm))
    if wish.bare is not None and not BARE[0] <= wish.bare <= BARE[1]:
        raise UsageError(say("{share:.0%} can't be left bare. Use 0 to {most:.0%}.", share=wish.bare, most=BARE[1]))
    if wish.most_areas < wish.tones:
        raise UsageError(
            say("{areas} areas are fewer than the {tones} tones.", areas=wish.most_areas, tones=wish.tones)
        )


def _on_grid(laid: LaidReference, bound: Bound) -> _Grid:
    wide, high = laid.drawing.size
    height_mm = laid.width_mm * high / wide
    fine = max(_LEAST_PX_PER_MM, min(_PX_PER_MM, _BUNDLE_PX / bound.bundle_mm))
    px_per_mm = min(max(fine, 4 / bound.bundle_mm), (_MOST_PX / (laid.width_mm * height_mm)) ** 0.5)
    size = max(round(laid.width_mm * px_per_mm), 1), max(round(height_mm * px_per_mm), 1)
    reference, drawing, shown = (
        np.asarray(picture.convert("L").resize(size, Image.Resampling.BOX))
        for picture in (laid.reference, laid.drawing, laid.shown)
    )
    return _Grid(lightness(Image.fromarray(reference)), drawing < _INK, shown >= _SHOWN, size[0] / laid.width_mm)


def _told_background(grid: _Grid, wish: PlanWish, bound: Bound) -> tuple[Outline, tuple[tuple[Flags, bool], ...]]:
    """Find the outline without cells that are background; the others that were told of with whether they are bare."""
    limits = grid.px_per_mm, bound.least_mm2, bound.bundle_mm
    outline = find_outline(grid.ink, *limits)
    told: dict[str, list[Flags]] = {"background": [], "bare": [], "black": []}
    for answer in wish.answers:
        x, y = int(answer.x * grid.px_per_mm), int(answer.y * grid.px_per_mm)
        cell = cell_at(grid.ink, outline.within, x, y)
        if cell is not None:
            told[answer.means].append(cell)
    for cell in told["background"]:
        outline = left_without(outline, cell, *limits)
    within = outline.within & grid.shown
    if not within.any():
        raise UsageError(
            say(
                "The stencil's lines enclose nothing that is large enough for the needle, or the "
                "reference shows nothing there. Is it the right picture, at the right width?"
            )
        )
    known = *((cell, True) for cell in told["bare"]), *((cell, False) for cell in told["black"])
    return Outline(within, outline.gap_mm) if (within != outline.within).any() else outline, known


def _skin(light: Floats, wish: PlanWish) -> float:
    """Give the mean of the lightest class: what stays bare."""
    cuts = wish.cuts or find_cuts(light, wish.tones)
    bare = light[light >= cuts[-1]] if cuts else light
    return float(bare.mean() if bare.size else light.max())


def _ways(canvas: Canvas, tones: int, wish: PlanWish) -> tuple[ToneWay, ...]:
    """Give the ways to try, the steadiest first; those of an earlier plan where there is one."""
    if wish.cuts:
        return tuple(ToneWay(wish.cuts, edges) for edges in ([wish.edges] if wish.edges else Edges))
    light = canvas.light[canvas.within]
    found, evened = find_cuts(light, tones), find_cuts(canvas.even[canvas.within], tones)
    if wish.bare is not None:
        found = evened = cuts_leaving_bare(light, tones, wish.bare)
    if not found and not evened:
        raise UsageError(say("Inside the drawing the reference is one even tone, so there is nothing to shade by."))
    each = enumerate(cuts for cuts in dict.fromkeys((found, evened)) if cuts)
    return tuple(ToneWay(cuts, edges, off + (edges is Edges.SHARP)) for off, cuts in each for edges in Edges)


def _planned(seen: _SeenLight, made: Toned, wish: PlanWish) -> ShadingPlan:
    px, cuts, bundle = seen.grid.px_per_mm, made.way.cuts, wish.bundle_mm
    areas = _areas(made.parts, seen.lights.mask, px)
    worked = [index for index, area in enumerate(areas) if area.tone < len(cuts)]
    placed = _placed(made, px)
    orders = [_order(placed, seen, wish, band) for band in BANDS_MM]
    enough = (one for one, band in zip(orders, BANDS_MM, strict=True) if not _is_short(placed, seen, wish, band))
    order = next(enough, max(orders, key=lambda one: len(one.steps)))
    return ShadingPlan(
        size_mm=seen.size_mm,
        px_per_mm=px,
        bound=Bound(bundle),
        cuts=cuts,
        edges=made.way.edges,
        levels=made.levels,
        areas=areas,
        steps=tuple(tuple(worked[one] for one in step) for step in order.steps),
        band_mm=order.band_mm,
        start=wish.start,
        lights=tuple(PlanLight(x / px, y / px, radius / px) for x, y, radius in seen.lights.spots),
        doubts=_doubts(seen, cuts, wish),
        gap_mm=seen.outline.gap_mm,
        is_bare_lost=_is_bare_lost(made),
        is_dark_behind=softens_behind(seen.grid.light, seen.outline.within, seen.grid.shown, seen.skin, px),
        numbers=made.parts.numbers,
        arcs=trace(made.parts.numbers, _EASED * bundle * px, _OFF_MM * px),
    )


def _doubts(seen: _SeenLight, cuts: tuple[float, ...], wish: PlanWish) -> tuple[Doubt, ...]:
    """Ask about cells that look as the background does and would be worked, once each."""
    grid, within, px = seen.grid, seen.outline.within, seen.grid.px_per_mm
    background = background_light(grid.light, within, grid.shown, px)
    if background is None or background >= cuts[-1]:
        return ()
    told = [(answer.x * px, answer.y * px) for answer in wish.answers]
    cells = doubtful_cells(grid.light, grid.ink, within, background, px)
    return tuple(
        Doubt(cell.x / px, cell.y / px, float(cell.mask.sum() / within.sum()))
        for cell in cells
        if not any(_is_in(cell, x, y) for x, y in told)
    )


def _is_in(cell: EnclosedCell, x: float, y: float) -> bool:
    high, wide = cell.mask.shape
    return 0 <= x < wide and 0 <= y < high and bool(cell.mask[int(y), int(x)])


def _centres(parts: Parts, px_per_mm: float) -> Floats:
    """Give the centre of each area in mm from the upper left, across and down."""
    rows, columns = np.indices(parts.numbers.shape)
    flat, count = parts.numbers.ravel(), len(parts.sizes)
    sums = [np.bincount(flat, side.ravel() + 0.5, count) for side in (columns, rows)]
    return np.asarray(np.stack(sums, axis=1) / np.maximum(parts.sizes, 1)[:, None] / px_per_mm)


def _placed(made: Toned, px_per_mm: float) -> list[Placed]:
    """Give the areas that are worked, all but those of the lightest tone, as the order needs them."""
    bare = len(made.way.cuts)
    each = zip(made.parts.tones[1:].tolist(), _centres(made.parts, px_per_mm)[1:].tolist(), strict=True)
    return [Placed(tone, x, y) for tone, (x, y) in each if tone < bare]


def _areas(parts: Parts, lights: Flags, px_per_mm: float) -> tuple[Area, ...]:
    """Measure the areas; their deepest place keeps clear of lights, as its number must."""
    depth = deep(np.where(lights, 0, parts.numbers).astype(np.int32))
    total = float(parts.sizes[1:].sum())
    centres = _centres(parts, px_per_mm)
    count = len(parts.sizes)
    flat = parts.numbers.ravel()
    order = np.lexsort((depth.ravel(), flat))
    # The last of each number is its deepest.
    deepest = order[np.searchsorted(flat[order], np.arange(count), side="right") - 1]
    deep_y, deep_x = np.divmod(deepest, parts.numbers.shape[1])
    return tuple(
        Area(
            tone=int(parts.tones[number]),
            size_mm2=float(parts.sizes[number] / px_per_mm**2),
            share=float(parts.sizes[number] / total),
            x=float(centres[number, 0]),
            y=float(centres[number, 1]),
            deep_x=float((deep_x[number] + 0.5) / px_per_mm),
            deep_y=float((deep_y[number] + 0.5) / px_per_mm),
            depth_mm=float(depth.ravel()[deepest[number]] / px_per_mm),
        )
        for number in range(1, count)
    )
