"""The order areas are worked in: dark to light, and within a tone so that the hand doesn't wipe the stencil away.

Dark to light and bottom up are common practice, no source.
"""

from collections.abc import Sequence
from enum import Enum

from archgen.values.frozen import Value

BAND_MM, NARROW_MM = 20.0, 10.0
MOST_STEPS = 25
_WIDER = 1.25


class Start(Enum):
    """Where a tone is begun: at the bottom, or at the side away from the artist's hand."""

    BOTTOM = "bottom"
    LEFT = "left"
    RIGHT = "right"


class Placed(Value, frozen=True):
    """What the order needs of an area: tone (0 the darkest) and centre in mm from the upper left."""

    tone: int
    x: float
    y: float


class Ordered(Value, frozen=True):
    """The steps, each the indexes of its areas; how wide the bands are."""

    steps: tuple[tuple[int, ...], ...]
    band_mm: float


def ordered(areas: Sequence[Placed], size_mm: tuple[float, float], start: Start, band: float = BAND_MM) -> Ordered:
    """Gather areas of one tone in bands from the start on, wider ones only where the steps would be too many."""
    while True:
        keys = [(area.tone, int(_from_start(area, size_mm, start) / band)) for area in areas]
        steps = sorted(set(keys))
        tones = len({tone for tone, _ in keys})
        if len(steps) <= max(MOST_STEPS, tones):
            members = (tuple(index for index, key in enumerate(keys) if key == step) for step in steps)
            return Ordered(tuple(members), band)
        band *= _WIDER


def _from_start(area: Placed, size_mm: tuple[float, float], start: Start) -> float:
    return {Start.BOTTOM: size_mm[1] - area.y, Start.LEFT: area.x, Start.RIGHT: size_mm[0] - area.x}[start]
