"""Simplify a reference to what gray wash can hold: few even tones, nothing finer than ink spreads; pixels only."""

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from archgen.errors import UsageError
from archgen.images.filters import blurred, mean_around
from archgen.values.frozen import Value

Floats = NDArray[np.float32]
TONES = (2, 8)
# Differences below a tenth of the scale are smoothed away, larger ones are edges and stay.
_EDGE = 0.1
_ROUNDS = 2


class WashTone(Value, frozen=True):
    """One tone: its name, its gray (0 black, 255 paper), the share of the area it covers."""

    name: str
    gray: int
    share: float


class Simplified(Value, frozen=True):
    """A picture in few tones (mode L), and the tones from light to dark."""

    picture: Image.Image
    tones: tuple[WashTone, ...]


def simplify(gray: Image.Image, spread_px: float, tones: int = 5) -> Simplified:
    """Smooth at the scale of ink spread, keeping edges, and share the picture out among so many tones.

    The lightest tone is bare skin, the others are washes.

    Raises:
        UsageError: The number of tones is outside 2 to 8.
    """
    if not TONES[0] <= tones <= TONES[1]:
        raise UsageError(f"{tones} tones cannot be told apart or are none at all. Use {TONES[0]} to {TONES[1]}.")
    values: Floats = np.asarray(gray.convert("L"), dtype=np.float32) / np.float32(255)
    for _ in range(_ROUNDS):
        values = _smooth(values, max(round(spread_px), 1))
    levels = _levels(values, tones)
    labels = _shares(values, levels, max(spread_px / 2, 0.5))
    shares = np.bincount(labels.ravel(), minlength=len(levels)) / labels.size
    steps = np.round(levels * 255).astype(np.uint8)
    steps[-1] = 255
    named = [
        WashTone(_name(index, len(levels)), int(steps[-1 - index]), float(shares[-1 - index]))
        for index in range(len(levels))
    ]
    return Simplified(Image.fromarray(steps[labels]), tuple(named))


def _name(index: int, count: int) -> str:
    return "bare skin" if index == 0 else "black" if index == count - 1 else f"wash {index}"


def _smooth(values: Floats, radius: int) -> Floats:
    """Apply the self-guided filter of He, Sun and Tang (2010): even areas are averaged, edges kept."""
    side = 2 * radius + 1
    mean = mean_around(values, side)
    variance: Floats = np.maximum(mean_around(values * values, side) - mean * mean, 0)
    slope = variance / (variance + np.float32(_EDGE**2))
    offset = mean * (1 - slope)
    eased: Floats = mean_around(slope, side) * values + mean_around(offset, side)
    return eased


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
