"""Simplify a reference to what gray wash can hold: few even tones, nothing finer than ink spreads; pixels only."""

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from archgen.errors import UsageError
from archgen.images.filters import blurred, carried_out, guided
from archgen.languages.house import say
from archgen.values.frozen import Value

Floats = NDArray[np.float32]
Flags = NDArray[np.bool_]
TONES = (2, 8)
# Differences below a tenth of the scale are smoothed away, larger ones are edges and stay.
_EDGE = 0.1
_ROUNDS = 2
OUTSIDE = -1
_CROSS = ((0, 1, 0), (1, 1, 1), (0, 1, 0))
# Dots of a highlight: two pixels wide, so many apart.
_DOT_PX, _DOT_GRAY = 10, 120
# Fine slanting lines over what isn't the drawing.
_HATCH_PX, _HATCH_GRAY = 24, 190


class WashTone(Value, frozen=True):
    """One tone: its name, its gray (0 black, 255 paper), the share of the drawing it covers.

    `dotted` tells light that is kept clean between washes from skin that stays bare; `hatched` is what lies outside the
    drawing, which has no share.
    """

    name: str
    gray: int
    share: float
    dotted: bool = False
    hatched: bool = False


class Simplified(Value, frozen=True):
    """A picture in few tones (mode L), the tones from light to dark, and which of them each pixel has.

    Attributes:
        tones: The background last, where there is some.
        labels: Numbers of `tones`; -1 outside the drawing.
    """

    picture: Image.Image
    tones: tuple[WashTone, ...]
    labels: NDArray[np.int64]


class WashLimits(Value, frozen=True):
    """What gray wash can hold, in pixels: how far ink spreads, and areas; smaller ones go to their neighbours.

    `highlight_px` is the largest area of light within washes that is called a highlight.
    """

    spread_px: float
    least_px: float = 0.0
    highlight_px: float = 0.0


def inside(ink: Flags, reach_px: float) -> Flags:
    """Give what a drawing encloses, where its lines leave gaps up to twice the reach."""
    size = 2 * max(round(reach_px), 1) + 1
    padded = np.pad(ink, size).view(np.uint8)
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size))
    _, free = cv2.connectedComponents(1 - np.asarray(cv2.dilate(padded, disc), np.uint8), connectivity=4)
    full = np.asarray(free != free[0, 0]).astype(np.uint8)
    return np.asarray(cv2.erode(full, disc) > 0)[size:-size, size:-size]


def simplify(gray: Image.Image, limits: WashLimits, tones: int = 5, within: Flags | None = None) -> Simplified:
    """Smooth at the scale of ink spread, keeping edges, and share what lies within out among so many tones.

    The lightest tone is bare skin, the others are washes; no area is smaller than the limits say. What lies outside
    changes nothing.

    Raises:
        UsageError: The number of tones is outside 2 to 8.
    """
    if not TONES[0] <= tones <= TONES[1]:
        raise UsageError(
            say(
                "{tones} tones cannot be told apart or are none at all. Use {least} to {most}.",
                tones=tones,
                least=TONES[0],
                most=TONES[1],
            )
        )
    values: Floats = np.asarray(gray.convert("L"), dtype=np.float32) / np.float32(255)
    within = np.ones(values.shape, bool) if within is None or not within.any() else within
    values = carried_out(values, within)
    for _ in range(_ROUNDS):
        values = guided(values, max(round(limits.spread_px), 1), _EDGE)
    levels = _levels(values[within], tones)
    labels = len(levels) - 1 - _shares(values, levels, max(limits.spread_px / 2, 0.5))
    labels = _merged(np.where(within, labels, OUTSIDE), limits.least_px)
    steps = np.round(levels[::-1] * 255).astype(np.uint8)
    steps[0] = 255
    light = _highlights(labels, limits.highlight_px)
    kinds = [(say("bare skin"), 255, (labels == 0) & ~light, False), (say("highlight"), 255, light, True)]
    names = [*(say("wash {number}", number=number) for number in range(1, len(levels) - 1)), say("black")]
    kinds += [(name, int(steps[n]), labels == n, False) for n, name in enumerate(names, 1) if n < len(levels)]
    return _simplified([kind for kind in kinds if kind[2].any()], labels)


def _simplified(kinds: Sequence[tuple[str, int, Flags, bool]], labels: NDArray[np.int64]) -> Simplified:
    picture, numbers = np.full(labels.shape, 255, np.uint8), np.full(labels.shape, OUTSIDE)
    total = max(int((labels != OUTSIDE).sum()), 1)
    tones = []
    for number, (name, gray, where, dotted) in enumerate(kinds):
        picture[where], numbers[where] = gray, number
        tones.append(WashTone(name, gray, float(where.sum()) / total, dotted))
        if dotted:
            rows, columns = np.indices(labels.shape)
            picture[where & (rows % _DOT_PX < 2) & (columns % _DOT_PX < 2)] = _DOT_GRAY
    outside = labels == OUTSIDE
    if outside.any():
        rows, columns = np.indices(labels.shape)
        picture[outside & ((rows + columns) % _HATCH_PX == 0)] = _HATCH_GRAY
        tones.append(WashTone("background", 255, 0.0, hatched=True))
    return Simplified(Image.fromarray(picture), tuple(tones), numbers)


def _merged(labels: NDArray[np.int64], least_px: float) -> NDArray[np.int64]:
    """Give every area that is too small to the neighbour it has the longest border with, the smallest first."""
    while True:
        small = []
        for value in np.unique(labels):
            count, parts, stats, _ = cv2.connectedComponentsWithStats(
                (labels == value).astype(np.uint8), connectivity=4
            )
            few = [n for n in range(1, count) if stats[n, cv2.CC_STAT_AREA] < least_px]
            small += [(int(stats[n, cv2.CC_STAT_AREA]), stats[n, :4], parts, n) for n in few]
        small.sort(key=lambda one: one[0])
        changed = sum(_give_away(labels, box, parts, number) for _, box, parts, number in small)
        if not changed:
            return labels


def _give_away(labels: NDArray[np.int64], box: NDArray[np.int32], parts: NDArray[np.int32], number: int) -> bool:
    left, top, wide, tall = (int(side) for side in box)
    near = np.s_[max(top - 1, 0) : top + tall + 1, max(left - 1, 0) : left + wide + 1]
    part, around = parts[near] == number, labels[near]
    own = int(around[part][0])
    rim = cv2.dilate(part.astype(np.uint8), np.array(_CROSS, np.uint8)) > part
    beside = around[rim]
    tones = beside[(beside != own) & (beside != OUTSIDE)]
    beside = tones if tones.size else beside[beside != own]
    if not beside.size:
        return False
    values, counts = np.unique(beside, return_counts=True)
    around[part] = values[counts.argmax()]
    return True


def _highlights(labels: NDArray[np.int64], most_px: float) -> Flags:
    """Find light that lies within washes: small, and touching nothing but them."""
    found = np.zeros(labels.shape, bool)
    count, parts, stats, _ = cv2.connectedComponentsWithStats((labels == 0).astype(np.uint8), connectivity=4)
    outside = cv2.dilate(np.pad(labels == OUTSIDE, 1, constant_values=True).astype(np.uint8), np.ones((3, 3), np.uint8))
    touching = set(np.unique(parts[outside[1:-1, 1:-1] > 0]).tolist())
    for number in range(1, count):
        if stats[number, cv2.CC_STAT_AREA] <= most_px and number not in touching:
            found |= parts == number
    return found


def _levels(values: Floats, tones: int) -> Floats:
    """Find the tones with the least total error (Lloyd's rule on the histogram), dark to light.

    The root of the counts: else a plain background takes all tones for itself.
    """
    counts = np.sqrt(np.histogram(values, 256, (0, 1))[0])
    centres = (np.arange(256) + 0.5) / 256
    full = np.cumsum(counts)
    starts = np.searchsorted(full, full[-1] * (np.arange(tones) + 0.5) / tones)
    levels = np.unique(centres[np.minimum(starts, 255)])
    for _ in range(40):
        nearest = np.abs(centres[:, None] - levels).argmin(axis=1)
        weight = np.bincount(nearest, counts, len(levels))
        moved = np.bincount(nearest, counts * centres, len(levels)) / np.maximum(weight, 1)
        levels = np.where(weight > 0, moved, levels)
    return np.sort(levels).astype(np.float32)


def _shares(values: Floats, levels: Floats, spread_px: float) -> NDArray[np.int64]:
    """Give each pixel the tone that most of its surroundings have: islands finer than the spread are gone."""
    nearest = np.abs(values[..., None] - levels).argmin(axis=-1)
    votes = [blurred((nearest == index).astype(np.float32), spread_px, reach=4.0) for index in range(len(levels))]
    most: NDArray[np.int64] = np.stack(votes).argmax(axis=0)
    return most
