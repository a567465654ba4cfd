"""Group measured points of lines or gaps that fall below a limit into runs, and judge each; knows pixels only."""

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from archgen.stencils.links import Links
from archgen.stencils.ridges import Floats, Ints, Ridge
from archgen.values.frozen import Value

Flags = NDArray[np.bool_]
_NO_POINTS: Ints = np.zeros(0, np.int64)

# Shorter than this share of the limit, or than four pixels, is the rim of a crossing, not a line.
_SHORTEST_SHARE = 0.5
_SHORTEST_PX = 4.0
# A stroke that runs out, or a wedge between lines that meet: its narrow end has less than this share of its wide
# end, and its width follows its length.
_TAPER_SHARE = 0.6
_TAPER_FIT = 0.75
_END_SHARE = 0.2


class Run(Value, frozen=True):
    """A stretch below the limit: the place and width that stand for it, its length, all in pixels; its points."""

    x: float
    y: float
    width: float
    length: float
    points: Ints


class Runs(Value, frozen=True):
    """The runs below a limit, and how many tapering ends were left out."""

    found: tuple[Run, ...]
    tapers: int


def below(ridge: Ridge, links: Links, limit_px: float, known_px: float) -> Runs:
    """Find the runs narrower than the limit.

    Widths are known to `known_px` only: a line that comes and goes across the limit by no more is one line, and thin
    when its middle width is.
    """
    judged = list(_judged(ridge, links, limit_px, known_px))
    return Runs(tuple(run for run, _ in judged if run is not None), sum(taper for _, taper in judged))


def any_below(ridge: Ridge, links: Links, limit_px: float, known_px: float) -> bool:
    """Say whether there is a run narrower than the limit; ends with the first."""
    return any(run is not None for run, _ in _judged(ridge, links, limit_px, known_px))


def _judged(ridge: Ridge, links: Links, limit_px: float, known_px: float) -> Iterator[tuple[Run | None, bool]]:
    low, near = ridge.width < limit_px, ridge.width < limit_px + known_px
    if not low.any():
        return
    chosen = np.flatnonzero(near)
    touches = links.sums((~low).astype(np.float32))[chosen] > 0
    shortest = max(_SHORTEST_SHARE * limit_px, _SHORTEST_PX)
    x, y, width, is_low = ridge.x[chosen], ridge.y[chosen], ridge.width[chosen], low[chosen]
    for line in links.among(near).groups():
        members = line[is_low[line]]
        if len(members) < _SHORTEST_PX:
            continue
        is_thin = _median(width[line]) < limit_px
        if not is_thin and width[members].min() >= limit_px - known_px:
            continue
        run, tapers = _judge(x[members], y[members], width[members], touches[members], shortest)
        yield (replace(run, points=chosen[members]) if run else None), tapers


def _judge(x: Floats, y: Floats, width: Floats, touches: Flags, shortest: float) -> tuple[Run | None, bool]:
    """Take a neck by its narrowest, a line that is thin to its end by its middle width; leave tapers out."""
    along = _positions(x, y)
    first, last = float(np.minimum.reduce(along)), float(np.maximum.reduce(along))
    length = last - first + 1
    if length < shortest:
        return None, False
    head, tail = along < first + _END_SHARE * length, along > last - _END_SHARE * length
    # An end is open when the line goes on there, above the limit.
    open_ends = int(np.logical_or.reduce(touches[head])) + int(np.logical_or.reduce(touches[tail]))
    if open_ends == 1 and _tapers(width, along, head, tail):
        return None, True
    wanted = float(width.min()) if open_ends > 1 else _median(width)
    place = int(np.abs(width - wanted).argmin())
    return Run(float(x[place]), float(y[place]), wanted, length, _NO_POINTS), False


def _positions(x: Floats, y: Floats) -> NDArray[np.float64]:
    """Give each point's place along the run's main direction."""
    # In place of the usual calls for the mean, axes and middle: of a few points these take most of the time.
    across, down = x.astype(np.float64), y.astype(np.float64)
    across -= np.add.reduce(across) / len(across)
    down -= np.add.reduce(down) / len(down)
    angle = 0.5 * math.atan2(2 * (across @ down), across @ across - down @ down)
    along: NDArray[np.float64] = across * math.cos(angle) + down * math.sin(angle)
    return along


def _median(values: Floats) -> float:
    ordered = np.sort(values)
    return float((ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / np.float32(2))


def _tapers(width: Floats, along: NDArray[np.float64], head: Flags, tail: Flags) -> bool:
    ends = sorted([_mean(width[head]), _mean(width[tail])])
    if ends[0] > _TAPER_SHARE * ends[1]:
        return False
    wide = width - np.float64(_mean(width))
    spread = float(wide @ wide)
    # Pearson's correlation; the places along the run have the mean zero.
    return spread > 0 and abs(float(along @ wide)) > _TAPER_FIT * math.sqrt(float(along @ along) * spread)


def _mean(values: Floats) -> float:
    return float(np.add.reduce(values)) / len(values)
