"""The order areas are worked in: dark to light, and within a tone so that the hand doesn't wipe the stencil away.

Dark to light and bottom up are common practice, no source.
"""

from collections.abc import Iterator, Sequence
from enum import Enum

from archgen.values.frozen import Value

# The widest first; narrower ones for small pieces, whose steps would be few.
BANDS_MM = (20.0, 10.0, 5.0)
MOST_STEPS = 25
_WIDER = 1.25
# Areas whose centres are no farther apart than this share of a band are worked one after the other.
_SIDE_BY_SIDE = 0.1


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


def ordered(areas: Sequence[Placed], size_mm: tuple[float, float], start: Start, band: float = BANDS_MM[0]) -> Ordered:
    """Gather areas of one tone in bands from the start on, wider ones only where the steps would be too many.

    A band begins at the first area that is left, and doesn't end between two that lie side by side: two wings.
    """
    heights = [_from_start(area, size_mm, start) for area in areas]
    tones = sorted({area.tone for area in areas})
    inside = {
        tone: sorted((h, index) for index, h in enumerate(heights) if areas[index].tone == tone) for tone in tones
    }
    while True:
        steps = [step for tone in tones for step in _banded(inside[tone], band)]
        if len(steps) <= max(MOST_STEPS, len(tones)):
            return Ordered(tuple(steps), band)
        band *= _WIDER


def _banded(placed: Sequence[tuple[float, int]], band: float) -> Iterator[tuple[int, ...]]:
    """Part areas of one tone, each its height and index, the first first."""
    step: list[tuple[float, int]] = []
    for height, index in placed:
        if step and height - step[0][0] > band and height - step[-1][0] > _SIDE_BY_SIDE * band:
            yield tuple(one for _, one in step)
            step = []
        step.append((height, index))
    if step:
        yield tuple(one for _, one in step)


def _from_start(area: Placed, size_mm: tuple[float, float], start: Start) -> float:
    return {Start.BOTTOM: size_mm[1] - area.y, Start.LEFT: area.x, Start.RIGHT: size_mm[0] - area.x}[start]
