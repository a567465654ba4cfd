"""Points on two logarithmic scales as coordinates of a drawing; knows figures, not pieces."""

import math
from collections.abc import Iterable, Sequence

from archgen.values.frozen import Value

WIDTH, HEIGHT = 720, 420
_LEFT, _RIGHT, _TOP, _BOTTOM = 64, 16, 12, 48
_STEPS = (1, 2, 5)


class Tick(Value, frozen=True):
    """A line of the scale, where it stands and what it says."""

    at: float
    words: str


class Dot(Value, frozen=True):
    """A point; `shape` counts the groups from 0."""

    x: float
    y: float
    shape: int


class Scatter(Value, frozen=True):
    """A drawing in a box of `WIDTH` by `HEIGHT`; y counts downward."""

    across: tuple[Tick, ...]
    up: tuple[Tick, ...]
    dots: tuple[Dot, ...]
    width: int = WIDTH
    height: int = HEIGHT
    left: int = _LEFT
    right: int = WIDTH - _RIGHT
    top: int = _TOP
    bottom: int = HEIGHT - _BOTTOM


def scatter(points: Sequence[tuple[float, float, int]]) -> Scatter:
    """Place points, each (across, up, group) with both figures above zero."""
    x_from, x_to = _ends(x for x, _, _ in points)
    y_from, y_to = _ends(y for _, y, _ in points)

    def across(value: float) -> float:
        return round(_LEFT + _share(value, x_from, x_to) * (WIDTH - _LEFT - _RIGHT), 1)

    def up(value: float) -> float:
        return round(HEIGHT - _BOTTOM - _share(value, y_from, y_to) * (HEIGHT - _TOP - _BOTTOM), 1)

    return Scatter(
        across=tuple(Tick(across(tick), f"{tick:g}") for tick in _ticks(x_from, x_to)),
        up=tuple(Tick(up(tick), f"{tick:g}") for tick in _ticks(y_from, y_to)),
        dots=tuple(Dot(across(x), up(y), group) for x, y, group in points),
    )


def _ends(values: Iterable[float]) -> tuple[float, float]:
    """Give the steps of 1, 2, 5, 10 ... below the least and above the most."""
    known = list(values)
    steps = _ticks(min(known) / 10, max(known) * 10)
    return max(step for step in steps if step <= min(known)), min(step for step in steps if step >= max(known))


def _ticks(least: float, most: float) -> list[float]:
    decades = range(math.floor(math.log10(least)), math.ceil(math.log10(most)) + 1)
    steps = [step * 10.0**decade for decade in decades for step in _STEPS]
    return [step for step in steps if least <= step * (1 + 1e-9) and step <= most * (1 + 1e-9)]


def _share(value: float, least: float, most: float) -> float:
    return (math.log(value) - math.log(least)) / (math.log(most) - math.log(least)) if most > least else 0.5
