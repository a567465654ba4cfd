"""A needle drawn as the row of dots it is: where its points stand, seen from the tip."""

import math

from archgen.records.vocabulary.needle_forms.reading import NeedleReading
from archgen.records.vocabulary.needle_forms.words import Grouping
from archgen.records.vocabulary.needles import read_needles

_WIDTH, _HEIGHT = 56.0, 36.0
_STEP = 6.0
_MOST = 60


def needle_dots(code: str) -> tuple[tuple[float, float], ...]:
    """Give the middles of the dots in a field of 56 by 36; none where the words are not understood."""
    readings = read_needles(code)
    reading = readings[0] if readings else None
    if reading is None or reading.grouping is None or not reading.count or reading.count > _MOST:
        return ()
    return tuple((round(x, 1), round(y, 1)) for x, y in _fitted(_points(reading, reading.count)))


def _points(reading: NeedleReading, count: int) -> list[tuple[float, float]]:
    match reading.grouping:
        case Grouping.FLAT:
            return _row(count, 0.0)
        case Grouping.MAGNUM | Grouping.STACKED_MAGNUM:
            return _two_rows(count)
        case Grouping.CURVED_MAGNUM:
            return [(x, y + _bend(x, count)) for x, y in _two_rows(count)]
        case Grouping.HOLLOW_LINER:
            return _ring(count, 0.0)
    return _round(count)


def _row(count: int, y: float) -> list[tuple[float, float]]:
    return [((number - (count - 1) / 2) * _STEP, y) for number in range(count)]


def _two_rows(count: int) -> list[tuple[float, float]]:
    return _row((count + 1) // 2, -_STEP / 2) + _row(count // 2, _STEP / 2)


def _bend(x: float, count: int) -> float:
    half = max(count / 4 * _STEP, 1.0)
    return 5.0 * (x / half) ** 2 - 2.0


def _round(count: int) -> list[tuple[float, float]]:
    """Fill rings from the outside in, as round groups are soldered."""
    if count <= 5:
        return [(0.0, 0.0)] if count == 1 else _ring(count, -math.pi / 2)
    outer = min(count - 1, max(6, round(count * 0.62)) if count > 9 else count - 1 if count <= 7 else count - 2)
    return _ring(outer, -math.pi / 2) + _round(count - outer)


def _ring(count: int, start: float) -> list[tuple[float, float]]:
    radius = _STEP / (2 * math.sin(math.pi / count)) if count > 1 else 0.0
    turn = 2 * math.pi / count
    return [(radius * math.cos(start + turn * k), radius * math.sin(start + turn * k)) for k in range(count)]


def _fitted(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    reach = max(max(abs(x) / (_WIDTH / 2 - 4), abs(y) / (_HEIGHT / 2 - 4)) for x, y in points)
    scale = 1 / reach if reach > 1 else 1.0
    return [(_WIDTH / 2 + x * scale, _HEIGHT / 2 + y * scale) for x, y in points]
