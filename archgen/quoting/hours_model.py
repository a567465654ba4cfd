"""Hours foretold from size, style, placement and years, with an interval that four of five pieces lie in.

Logarithms of hours are a line over logarithms of areas, moved up or down by style, by placement and by the years that
have passed. How far they move it is itself learned (ridges on a grid of strengths, averaged by how well each explains
the pieces), so a style seen twice moves little. Few wrong records do no harm: what lies far off counts less (weights of
Student's t with four degrees of freedom), and what lies farther than four usual misses is set apart and named.
The interval rests on how far each piece lay from what the others say of it (leave-one-out in closed form), blended with
Student's t where there are few. That it holds rests on simulation (tests/bench/bench_hours.py), not on a theorem.
Priors and limits are from measurements on simulated archives.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.typing import NDArray

from archgen.values.frozen import Value

Floats = NDArray[np.float64]

# Fewer pieces say too little for an interval.
FEWEST = 12
# More of them change nothing but the time it takes.
_MOST = 600
COVERED = 0.8
# How far a style, a placement and a year may move the hours, beside the chance between two like pieces.
_STYLE, _PLACE, _YEAR = (0.15, 0.4, 0.8, 1.5, 2.5), (0.1, 0.35, 0.8, 1.5), (0.02, 0.15, 0.5)
_USUAL = (0.8, 0.5, 0.15)
# Hours grow by this power of the area where the pieces don't say otherwise; how much that counts.
_SLOPE, _SLOPE_WEIGHT = 0.67, 4.0
# Two like pieces differ by about a third; that counts like three pieces.
_SPREAD, _SPREAD_COUNT = 0.09, 3.0
_TAIL = 4.0
_FAR = 3.5
_ROUNDS = 8
# Records are rounded: nobody works to the minute.
_LEAST_MISS = 0.05
_MOST_YEARS = 20


class Worked(Value, frozen=True):
    """What the hours of a piece are foretold from, and the hours where they are known.

    Attributes:
        area_mm2: Width times height.
        styles: Each counts its part.
        years: How long ago.
        hours: Without touch-ups; 0 for a piece still to be done.
    """

    area_mm2: float
    styles: tuple[str, ...]
    place: str | None
    years: float = 0.0
    hours: float = 0.0


class Foretold(Value, frozen=True):
    """Hours, and between which four of five like pieces lie."""

    hours: float
    least: float
    most: float


@dataclass
class HoursModel:
    """Learned from pieces; build it by `learn`.

    Attributes:
        pieces: What it learned from, in the order given, the latest only where there are very many.
        apart: Which of them were set apart, by their place in `pieces`.
    """

    pieces: Sequence[Worked]
    apart: frozenset[int]
    _columns: "_Columns"
    _fit: "_Fit"

    def foretell(self, piece: Worked) -> Foretold:
        """Foretell the hours of a piece."""
        row = self._columns.rows([piece])
        mean, error = self._fit.mean(row)[0], self._fit.error(row)[0]
        half = self._reach * np.sqrt(1.0 + error)
        middle = mean + self._columns.middle
        return Foretold(*(float(np.exp(value)) for value in (middle, middle - half, middle + half)))

    @cached_property
    def _reach(self) -> float:
        """Give how far from the middle the interval reaches, before what is not known of the middle itself."""
        scores = np.sort(np.abs(self._fit.scores))
        count = len(scores)
        place = min(COVERED * (count + 1), count) - 1
        measured = max(float(np.interp(place, np.arange(count), scores)), _LEAST_MISS)
        by_theory = student_quantile((1 + COVERED) / 2, count + 2) * self._fit.sigma
        share = count / (count + 20)
        return float(measured**share * by_theory ** (1 - share))


def learn(pieces: Sequence[Worked]) -> HoursModel:
    """Learn from pieces with hours above zero, the oldest first.

    Raises:
        ValueError: There are fewer than `FEWEST`.
    """
    if len(pieces) < FEWEST:
        raise ValueError(f"{len(pieces)} pieces are too few: {FEWEST} are needed")
    pieces = pieces[-_MOST:]
    columns = _Columns.of(pieces)
    rows, hours = columns.rows(pieces), np.log([piece.hours for piece in pieces]) - columns.middle
    fit = _fitted(columns, rows, hours)
    misses = np.abs(fit.scores)
    far = misses > _FAR * max(float(np.median(misses)) / 0.6745, 1e-6)
    stay = len(pieces) - int(far.sum())
    if not far.any() or stay < max(6, 0.8 * len(pieces)):
        return HoursModel(pieces, frozenset(), columns, fit)
    fit = _fitted(columns, rows[~far], hours[~far])
    return HoursModel(pieces, frozenset(int(at) for at in np.nonzero(far)[0]), columns, fit)


@dataclass(frozen=True)
class _Columns:
    """How a piece becomes numbers: 1, size, a share for each style and placement, one for those never seen, years."""

    styles: tuple[str, ...]
    places: tuple[str, ...]
    years: int
    size: float
    middle: float

    @classmethod
    def of(cls, pieces: Sequence[Worked]) -> "_Columns":
        return cls(
            tuple(sorted({style for piece in pieces for style in piece.styles})),
            tuple(sorted({piece.place for piece in pieces if piece.place})),
            min(_MOST_YEARS, max(1, int(np.ceil(max(piece.years for piece in pieces))))),
            float(np.mean([np.log(piece.area_mm2) for piece in pieces])),
            float(np.median([np.log(piece.hours) for piece in pieces])),
        )

    @property
    def groups(self) -> tuple[int, int, int]:
        """Give how many columns stand for styles, for placements and for years."""
        return len(self.styles) + 1, len(self.places) + 1, self.years

    def rows(self, pieces: Sequence[Worked]) -> Floats:
        """Give a row of numbers for each piece, shape (pieces, columns)."""
        styles = {style: 2 + at for at, style in enumerate(self.styles)}
        no_style = 2 + len(self.styles)
        places = {place: no_style + 1 + at for at, place in enumerate(self.places)}
        no_place = no_style + 1 + len(self.places)
        rows = np.zeros((len(pieces), 2 + sum(self.groups)))
        rows[:, 0] = 1.0
        for row, piece in zip(rows, pieces, strict=True):
            row[1] = np.log(piece.area_mm2) - self.size
            for style in piece.styles or ("",):
                row[styles.get(style, no_style)] += 1.0 / max(len(piece.styles), 1)
            row[places.get(piece.place or "", no_place)] = 1.0
            row[-self.years :] = np.clip(piece.years - np.arange(self.years), 0.0, 1.0)
        return rows


@dataclass(frozen=True)
class _Fit:
    """A fit for every strength of the grid, shape (strengths, ...), and how much each counts.

    Attributes:
        scores: How far each piece lay from what the others say of it, in logarithms of hours, shape (pieces,).
    """

    weights: Floats
    slopes: Floats
    inverses: Floats
    sigma: float
    scores: Floats

    def mean(self, rows: Floats) -> Floats:
        return np.asarray(self.weights @ (self.slopes @ rows.T))

    def error(self, rows: Floats) -> Floats:
        """Give the variance of the mean over that of the chance between like pieces."""
        means = self.slopes @ rows.T
        between = self.weights @ (means - self.weights @ means) ** 2
        return np.asarray(self.weights @ _leverage(self.inverses, rows) + between / self.sigma**2)


def _fitted(columns: _Columns, rows: Floats, hours: Floats) -> _Fit:
    ridges, priors = _grid(columns)
    counts = np.ones(len(hours))
    for _ in range(_ROUNDS):
        weights, slopes, inverses, sigma = _ridge(rows, hours, counts, ridges, priors)
        misses = hours - weights @ (slopes @ rows.T)
        before, counts = counts, (_TAIL + 1) / (_TAIL + (misses / sigma) ** 2)
        if np.abs(counts - before).max() < 1e-3:
            break
    leverage = weights @ _leverage(inverses, rows)
    left = np.maximum(1.0 - counts * leverage, 1e-3)
    scores = misses / left / np.sqrt(1.0 + leverage / left)
    return _Fit(weights, slopes, inverses, sigma, scores)


def _grid(columns: _Columns) -> tuple[Floats, Floats]:
    """Give for each strength what holds every column back, shape (strengths, columns), and its logarithmic weight."""
    strengths = np.array([(style, place, year) for style in _STYLE for place in _PLACE for year in _YEAR])
    sizes = np.array(columns.groups)
    held = np.repeat(strengths**-2, sizes, axis=1)
    ridges = np.hstack([np.zeros((len(held), 1)), np.full((len(held), 1), _SLOPE_WEIGHT), held])
    usual = strengths / np.array(_USUAL)
    priors = (np.log(usual) - usual).sum(axis=1) - (sizes * np.log(strengths**2)).sum(axis=1) / 2
    return ridges, priors


def _ridge(
    rows: Floats, hours: Floats, counts: Floats, ridges: Floats, priors: Floats
) -> tuple[Floats, Floats, Floats, float]:
    """Fit every strength; give its weight, its slopes, the inverse of its matrix, and the common spread."""
    weighted = rows.T * counts
    matrices = (weighted @ rows)[None] + _diagonals(ridges)
    sides = weighted @ hours
    sides[1] += _SLOPE_WEIGHT * _SLOPE
    inverses: Floats = np.asarray(np.linalg.inv(matrices), np.float64)
    slopes: Floats = inverses @ sides
    left = counts @ hours**2 + _SLOPE_WEIGHT * _SLOPE**2 - slopes @ sides
    spreads = (left + _SPREAD_COUNT * _SPREAD) / (len(hours) + 2)
    likely = priors - ((len(hours) + 2) * np.log(spreads) + np.linalg.slogdet(matrices)[1]) / 2
    weights = np.exp(likely - likely.max())
    weights /= weights.sum()
    return np.asarray(weights), slopes, inverses, float(np.sqrt(weights @ spreads))


def _diagonals(values: Floats) -> Floats:
    return np.asarray(values[:, :, None] * np.eye(values.shape[1]))


def _leverage(inverses: Floats, rows: Floats) -> Floats:
    return np.asarray(((rows @ inverses) * rows).sum(axis=2))


def student_quantile(share: float, freedom: float) -> float:
    """Give the quantile of Student's t by its Cornish-Fisher series (Abramowitz and Stegun, 26.7.5).

    Args:
        share: Above 0.5, such as 0.9.
        freedom: Degrees of freedom, some more than 5.
    """
    x = NormalDist().inv_cdf(share)
    terms: tuple[Any, ...] = (
        x,
        (x**3 + x) / 4,
        (5 * x**5 + 16 * x**3 + 3 * x) / 96,
        (3 * x**7 + 19 * x**5 + 17 * x**3 - 15 * x) / 384,
        (79 * x**9 + 776 * x**7 + 1482 * x**5 - 1920 * x**3 - 945 * x) / 92160,
    )
    return float(sum(term / freedom**at for at, term in enumerate(terms)))
