"""From the light inside a drawing to areas of few tones, the way that comes out most like it at the hand's scale.

Cuts come from the light as it is or as it is evened out, and edges follow either: what suits clouds loses stripes.
Which way is best is tried on every second pixel first.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum

import cv2
import numpy as np
import numpy.typing as npt

from archgen.images.filters import Flags, Floats
from archgen.shading.bounds import Bound
from archgen.shading.cells import OUTSIDE, DrawnCell, cells_of
from archgen.shading.cleaning import Parts, Tones, cleaned, find_parts
from archgen.shading.cuts import tone_numbers
from archgen.shading.joining import capped, split

Cuts = tuple[float, ...]
# By so much the likeness on every second pixel may be off.
_COARSE = 0.006
# Each step away from the way that is steadiest, for a picture saved again, must be worth so much likeness.
_WORTH = 0.0008
_ROUNDS = 3
# An area's own tone counts as this much nearer than it is, so that no grain in the picture changes it.
_STAYS = 0.4
# Of structural similarity: Wang and others, IEEE TIP 13 (2004), for light from 0 to 100.
_C1, _C2 = 1.0, 9.0
# The window grows with the bundle: 1.5 pixels at ten to a millimetre and 1.08 mm.
_WINDOW = 1.5 / 5.4
# Every second pixel is enough where a bundle has so many.
_LEAST_PX = 8.0


@dataclass(frozen=True, slots=True)
class Canvas:
    """What tones are made on: light without lines and small lights, the same evened, the numbers of cells."""

    light: Floats
    even: Floats
    cells: npt.NDArray[np.int32]
    bound: Bound
    px_per_mm: float

    @property
    def within(self) -> Flags:
        """Say for each pixel whether it lies inside the drawing."""
        return np.asarray(self.cells != OUTSIDE)

    @property
    def coarser(self) -> "Canvas":
        """Give every second pixel, or all where they are few to a bundle."""
        if self.px_per_mm * self.bound.bundle_mm < _LEAST_PX:
            return self
        cells = np.ascontiguousarray(self.cells[::2, ::2])
        return Canvas(self.light[::2, ::2], self.even[::2, ::2], cells, self.bound, self.px_per_mm / 2)


class Edges(Enum):
    """What edges between tones follow, as it stands in a record: light that is evened out, or the light as it is."""

    EVEN = "even"
    SHARP = "sharp"


@dataclass(frozen=True, slots=True)
class ToneWay:
    """One way of making tones: where they are cut, what edges follow, and how many steps it is off the steadiest."""

    cuts: Cuts
    edges: Edges = Edges.EVEN
    steps_off: int = 0


@dataclass(frozen=True, slots=True)
class Toned:
    """Areas, the mean light of each tone, and how like the light they are, 0 to 1."""

    way: ToneWay
    levels: tuple[float, ...]
    parts: Parts
    likeness: float

    @property
    def worth(self) -> float:
        """Give what speaks for this way: its likeness, less where it is not steady."""
        return self.likeness - _WORTH * self.way.steps_off


def best_ways(canvas: Canvas, ways: Iterable[ToneWay], most: int) -> list[Toned]:
    """Try every way, and give the one that does best, then another that does nearly as well."""
    cells = cells_of(canvas.cells)
    tried = sorted((toned(canvas, way, most, cells) for way in dict.fromkeys(ways)), key=lambda one: -one.worth)
    return [one for one in tried[:2] if one.worth > tried[0].worth - _COARSE]


def toned(canvas: Canvas, way: ToneWay, most: int, cells: Sequence[DrawnCell] = ()) -> Toned:
    """Make areas of tones that the bundle can shade."""
    cells = cells or cells_of(canvas.cells)
    base = canvas.even if way.edges is Edges.EVEN else canvas.light
    tones = np.where(canvas.within, tone_numbers(canvas.even, way.cuts), OUTSIDE).astype(np.int32)
    levels = _levels(base, tones, way.cuts)
    means = np.array(levels)
    bound = canvas.bound.in_px(canvas.px_per_mm)
    clean = _of_own_light(cleaned(tones, base, means, bound), canvas.light, means)
    parts = capped(split(clean, cells, bound), means, most)
    return Toned(way, levels, parts, _likeness(canvas, parts))


def _levels(light: Floats, tones: Tones, cuts: Cuts) -> tuple[float, ...]:
    """Give the mean lightness of each tone; of one without a pixel the middle between its cuts."""
    edges = (0.0, *cuts, 100.0)
    return tuple(
        float(light[tones == tone].mean()) if (tones == tone).any() else (edges[tone] + edges[tone + 1]) / 2
        for tone in range(len(cuts) + 1)
    )


def _of_own_light(tones: Tones, light: Floats, levels: npt.NDArray[np.float64]) -> Tones:
    """Give each area the tone that its own light is nearest to, since by merging it may have become another."""
    for _ in range(_ROUNDS):
        parts = find_parts(tones)
        off = np.abs(_means(parts, light)[:, None] - levels)
        off[np.arange(len(off)), parts.tones] *= _STAYS
        nearest = off.argmin(axis=1).astype(np.int32)
        nearest[0] = OUTSIDE
        if np.array_equal(nearest, parts.tones):
            break
        tones = nearest[parts.numbers]
    return tones


def _means(parts: Parts, light: Floats) -> npt.NDArray[np.float64]:
    sums = np.bincount(parts.numbers.ravel(), light.ravel(), len(parts.sizes))
    return np.asarray(sums / np.maximum(parts.sizes, 1))


def _likeness(canvas: Canvas, parts: Parts) -> float:
    """Give the structural similarity of areas and light where both are as soft as half the bundle."""
    tones = parts.tones[parts.numbers]
    means = [canvas.light[tones == tone].mean() if (tones == tone).any() else 0.0 for tone in range(tones.max() + 1)]
    made = np.where(canvas.within, np.array([*means, 0.0], np.float32)[tones], canvas.light)
    soft = canvas.bound.bundle_mm / 2 * canvas.px_per_mm
    one, two = (cv2.GaussianBlur(picture, (0, 0), soft) for picture in (canvas.light, made))
    window = _WINDOW * soft
    mean_one, mean_two, square_one, square_two, both = (
        cv2.GaussianBlur(picture, (0, 0), window) for picture in (one, two, one * one, two * two, one * two)
    )
    alike = (2 * mean_one * mean_two + _C1) * (2 * (both - mean_one * mean_two) + _C2)
    apart = (mean_one**2 + mean_two**2 + _C1) * (square_one - mean_one**2 + square_two - mean_two**2 + _C2)
    return float((alike / apart)[canvas.within].mean())
