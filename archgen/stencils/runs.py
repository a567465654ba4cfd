"""Group measured points of lines or gaps that fall below a limit into runs, and judge each; knows pixels only."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from archgen.stencils.links import Links
from archgen.stencils.ridges import Ridge

# Shorter than this share of the limit, or than four pixels, is the rim of a crossing, not a line.
_SHORTEST_SHARE = 0.5
_SHORTEST_PX = 4.0
# A stroke that runs out, or a wedge between lines that meet: its narrow end has less than this share of its wide
# end, and its width follows its length.
_TAPER_SHARE = 0.6
_TAPER_FIT = 0.75
_END_SHARE = 0.2


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch below the limit: the place and width that stand for it, its length, all in pixels."""

    x: float
    y: float
    width: float
    length: float


@dataclass(frozen=True, slots=True)
class Runs:
    """The runs below a limit, and how many tapering ends were left out."""

    found: tuple[Run, ...]
    tapers: int


def below(ridge: Ridge, links: Links, limit_px: float) -> Runs:
    """Find the runs narrower than the limit."""
    low = ridge.width < limit_px
    chosen = np.flatnonzero(low)
    if not chosen.size:
        return Runs((), 0)
    touches = links.sums((~low).astype(np.float32))[chosen] > 0
    found, tapers = [], 0
    shortest = max(_SHORTEST_SHARE * limit_px, _SHORTEST_PX)
    for members in links.among(low).groups():
        if len(members) < _SHORTEST_PX:
            continue
        run, taper = _judge(ridge.take(chosen[members]), touches[members], shortest)
        tapers += taper
        if run is not None:
            found.append(run)
    return Runs(tuple(found), tapers)


def _judge(part: Ridge, touches: NDArray[np.bool_], shortest: float) -> tuple[Run | None, bool]:
    """Take a neck by its narrowest, a line that is thin to its end by its middle width; leave tapers out."""
    along = _positions(part)
    length = float(along.max() - along.min()) + 1
    if length < shortest:
        return None, False
    head, tail = along < along.min() + _END_SHARE * length, along > along.max() - _END_SHARE * length
    # An end is open when the line goes on there, above the limit.
    open_ends = int(touches[head].any()) + int(touches[tail].any())
    if open_ends == 1 and _tapers(part, along, head, tail):
        return None, True
    wanted = float(part.width.min() if open_ends > 1 else np.median(part.width))
    place = int(np.abs(part.width - wanted).argmin())
    return Run(float(part.x[place]), float(part.y[place]), wanted, length), False


def _positions(part: Ridge) -> NDArray[np.float64]:
    """Give each point's place along the run's main direction."""
    points = np.stack([part.x, part.y], axis=1).astype(np.float64)
    points -= points.mean(axis=0)
    _, axes = np.linalg.eigh(points.T @ points)
    along: NDArray[np.float64] = points @ axes[:, -1]
    return along


def _tapers(part: Ridge, along: NDArray[np.float64], head: NDArray[np.bool_], tail: NDArray[np.bool_]) -> bool:
    ends = sorted([float(part.width[head].mean()), float(part.width[tail].mean())])
    if ends[0] > _TAPER_SHARE * ends[1] or float(np.std(part.width)) < 1e-6:
        return False
    return abs(float(np.corrcoef(along, part.width)[0, 1])) > _TAPER_FIT
