"""From a reference laid on a drawing to areas of few tones in the order they are worked; knows no piece and no page.

plan = make_plan(LaidReference(reference, drawing, shown, 62.0), PlanWish(bundle_mm=1.08))
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt
from PIL import Image

from archgen.errors import UsageError
from archgen.images.filters import Flags, Floats
from archgen.languages.house import say
from archgen.shading.arcs import Arc, trace
from archgen.shading.cleaning import OUTSIDE, Bound, Parts, capped, cleaned, deep, find_parts
from archgen.shading.cuts import cuts_leaving_bare, find_cuts, tone_numbers
from archgen.shading.enclosed import EnclosedCell, background_light, cell_at, doubtful_cells, softens_behind
from archgen.shading.highlights import Highlights, find_highlights
from archgen.shading.light import lightness, smoothed, without_lines
from archgen.shading.order import BAND_MM, NARROW_MM, Placed, Start, ordered
from archgen.shading.outline import Outline, find_outline, left_without
from archgen.values.frozen import Value

TONES = (3, 7)
MOST_AREAS = 40
FEWEST_STEPS = 8
BARE = (0.0, 0.9)
# Ten pixels a millimetre; fewer for wide bundles, which still have ten across, and for large drawings.
_PX_PER_MM, _LEAST_PX_PER_MM, _BUNDLE_PX, _MOST_PX = 10.0, 4.0, 10.5, 1_000_000
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
    light decide. `cuts` are those of an earlier plan (CIE L*, dark to light): with them nothing is worked out anew.
    """

    bundle_mm: float
    tones: int = 5
    are_tones_set: bool = False
    bare: float | None = None
    most_areas: int = MOST_AREAS
    start: Start = Start.BOTTOM
    cuts: tuple[float, ...] = ()
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
    def is_short(self) -> bool:
        """Say whether there are so few steps that another tone may help."""
        return len(self.steps) + bool(self.lights) + 1 < FEWEST_STEPS

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
    bound = Bound(wish.bundle_mm)
    grid = _on_grid(laid, bound)
    outline, cells = _told_background(grid, wish, bound)
    skin = _skin(grid.light[outline.within], wish.tones)
    lights = find_highlights(grid.light, outline.within, skin, grid.px_per_mm)
    light = without_lines(grid.light, grid.ink, outline.within, lights.mask, grid.px_per_mm)
    even = smoothed(light, wish.bundle_mm * grid.px_per_mm)
    seen = _SeenLight(grid, outline, cells, light, even, lights, skin)
    plan = _planned(seen, wish)
    return _with_more_steps(plan, seen, wish) if plan.is_short else plan


def _with_more_steps(plan: ShadingPlan, seen: "_SeenLight", wish: PlanWish) -> ShadingPlan:
    """Add tones where that gives steps enough and leaves skin bare; else make the bands narrower."""
    if not (wish.cuts or wish.are_tones_set):
        for tones in range(wish.tones + 1, TONES[1] + 1):
            more = _planned(seen, replace(wish, tones=tones))
            if not (more.is_short or more.is_bare_lost):
                return more
    return _in_bands(plan, NARROW_MM)


@dataclass(frozen=True, slots=True)
class _Grid:
    light: Floats
    ink: Flags
    shown: Flags
    px_per_mm: float


@dataclass(frozen=True, slots=True)
class _SeenLight:
    """What is known before tones are made: `light` is without lines and small lights, `even` smoothed as well."""

    grid: _Grid
    outline: Outline
    cells: dict[str, list[Flags]]
    light: Floats
    even: Floats
    lights: Highlights
    skin: float


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


def _told_background(grid: _Grid, wish: PlanWish, bound: Bound) -> tuple[Outline, dict[str, list[Flags]]]:
    """Find the outline without cells that are background, and the other cells by what was said of them."""
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
    return Outline(within, outline.gap_mm) if (within != outline.within).any() else outline, told


def _told_tones(tones: npt.NDArray[np.int32], cells: dict[str, list[Flags]], lightest: int) -> npt.NDArray[np.int32]:
    for means, tone in (("bare", lightest), ("black", 0)):
        for cell in cells[means]:
            tones[cell & (tones != OUTSIDE)] = tone
    return tones.astype(np.int32)


def _skin(light: Floats, tones: int) -> float:
    """Give the mean of the lightest class: what stays bare."""
    cuts = find_cuts(light, tones)
    return float(light[light >= cuts[-1]].mean()) if cuts else float(light.mean())


def _cuts(light: Floats, wish: PlanWish) -> tuple[float, ...]:
    if wish.bare is None:
        return find_cuts(light, wish.tones)
    return cuts_leaving_bare(light, wish.tones, wish.bare)


def _levels(light: Floats, tones: npt.NDArray[np.int32], cuts: tuple[float, ...]) -> tuple[float, ...]:
    """Give the mean lightness of each tone; of one without a pixel the middle between its cuts."""
    edges = (0.0, *cuts, 100.0)
    return tuple(
        float(light[tones == tone].mean()) if (tones == tone).any() else (edges[tone] + edges[tone + 1]) / 2
        for tone in range(len(cuts) + 1)
    )


def _planned(seen: _SeenLight, wish: PlanWish) -> ShadingPlan:
    within, px, bound = seen.outline.within, seen.grid.px_per_mm, Bound(wish.bundle_mm)
    cuts = wish.cuts or _cuts(seen.light[within], wish)
    if not cuts:
        raise UsageError(say("Inside the drawing the reference is one even tone, so there is nothing to shade by."))
    tones = _told_tones(np.where(within, tone_numbers(seen.even, cuts), OUTSIDE), seen.cells, len(cuts))
    levels = _levels(seen.even, tones, cuts)
    clean = cleaned(tones, seen.even, np.array(levels), bound.in_px(px))
    parts = find_parts(capped(clean, np.array(levels), wish.most_areas))
    size_mm = (within.shape[1] / px, within.shape[0] / px)
    areas = _areas(parts, seen.lights.mask, px)
    plan = ShadingPlan(
        size_mm=size_mm,
        px_per_mm=px,
        bound=bound,
        cuts=cuts,
        levels=levels,
        areas=areas,
        steps=(),
        band_mm=BAND_MM,
        start=wish.start,
        lights=tuple(PlanLight(x / px, y / px, radius / px) for x, y, radius in seen.lights.spots),
        doubts=_doubts(seen, cuts, wish),
        gap_mm=seen.outline.gap_mm,
        is_bare_lost=not any(area.tone == len(cuts) for area in areas),
        is_dark_behind=softens_behind(seen.grid.light, within, seen.grid.shown, seen.skin, px),
        numbers=parts.numbers,
        arcs=trace(parts.numbers, _EASED * bound.bundle_mm * px, _OFF_MM * px),
    )
    return _in_bands(plan, BAND_MM)


def _in_bands(plan: ShadingPlan, band_mm: float) -> ShadingPlan:
    worked = [index for index, area in enumerate(plan.areas) if area.tone < plan.bare_tone]
    places = [Placed(area.tone, area.x, area.y) for area in (plan.areas[index] for index in worked)]
    order = ordered(places, plan.size_mm, plan.start, band_mm)
    steps = tuple(tuple(worked[one] for one in step) for step in order.steps)
    return replace(plan, steps=steps, band_mm=order.band_mm)


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


def _areas(parts: Parts, lights: Flags, px_per_mm: float) -> tuple[Area, ...]:
    """Measure the areas; their deepest place keeps clear of lights, as its number must."""
    depth = deep(np.where(lights, 0, parts.numbers).astype(np.int32))
    total = float(parts.sizes[1:].sum())
    rows, columns = np.indices(parts.numbers.shape)
    count = len(parts.sizes)
    flat = parts.numbers.ravel()
    across, down = (
        np.bincount(flat, side.ravel() + 0.5, count) / np.maximum(parts.sizes, 1) for side in (columns, rows)
    )
    order = np.lexsort((depth.ravel(), flat))
    # The last of each number is its deepest.
    deepest = order[np.searchsorted(flat[order], np.arange(count), side="right") - 1]
    deep_y, deep_x = np.divmod(deepest, parts.numbers.shape[1])
    return tuple(
        Area(
            tone=int(parts.tones[number]),
            size_mm2=float(parts.sizes[number] / px_per_mm**2),
            share=float(parts.sizes[number] / total),
            x=float(across[number] / px_per_mm),
            y=float(down[number] / px_per_mm),
            deep_x=float((deep_x[number] + 0.5) / px_per_mm),
            deep_y=float((deep_y[number] + 0.5) / px_per_mm),
            depth_mm=float(depth.ravel()[deepest[number]] / px_per_mm),
        )
        for number in range(1, count)
    )
