"""Weigh how much speaks for a drawing lying where it was laid, so that simple and rich drawings can be compared.

A short line fits somewhere in every photo, and a dense drawing meets some line everywhere. So each piece of line counts
by how unlikely it is to meet a line there by chance: the logarithm of the likelihood ratio (Neyman and Pearson), which
grows with how much was met. Seen from the drawing, and from the photo's lines round it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import cv2
import numpy as np
import numpy.typing as npt

from archgen.laying.line_map import LineMap
from archgen.laying.pose import Doubles, Pose
from archgen.values.frozen import Value

Floats = npt.NDArray[np.float32]

# Directions are told apart in sheets, each a bit wider than its share.
SHEETS = 8
_WIDER = 1.2
# How far a line may lie off, in pixels; which of them follows from the drawing's size in the photo, as a share.
_TOLERANCES = (3.0, 4.0, 5.5, 7.5, 10.0)
_OFF_SHARE = 0.016
# Chance is counted over so many tolerances round a place; pieces of line so many apart count as separate.
_AROUND, _APART = 4.0, 2.2
# The photo's lines so many tolerances from the drawing are asked whether they are the drawing's.
_BESIDE = 3.2
_LEAST, _MOST = 0.02, 0.98
_LEAST_PIECES = 12


class LaidEvidence(Value, frozen=True):
    """What speaks for it, in nats, by the drawing's lines and by the photo's; shares met, expected and explained."""

    drawn: float
    photographed: float
    met: float
    chance: float
    explained: float
    inside: float

    @property
    def total(self) -> float:
        """Give one number for the order of several."""
        return self.drawn + self.photographed

    def settles(self, other: float) -> bool:
        """Say whether it may be said that this drawing is shown, when so much in all speaks for the best other one."""
        return self.total >= _SURE_TOTAL and self.total >= _SURE_LEAD * max(other, 0.0)


# On the pictures these were set on no wrong drawing came near; tests/bench/bench_like.py has others.
_SURE_TOTAL, _SURE_LEAD = 180.0, 2.0


@dataclass(frozen=True)
class LineField:
    """The lines of a photo as they are met: for each tolerance, where a line of a direction lies near, and chance."""

    lines: LineMap

    @cached_property
    def distances(self) -> Floats:
        """Give for each sheet how far the nearest line of its direction is."""
        rows = np.round(self.lines.points[:, 1]).astype(int).clip(0, self.lines.height - 1)
        columns = np.round(self.lines.points[:, 0]).astype(int).clip(0, self.lines.width - 1)
        sheets = []
        for sheet in range(SHEETS):
            apart = np.abs(np.mod(self.lines.angles - sheet * np.pi / SHEETS + np.pi / 2, np.pi) - np.pi / 2)
            mine = apart <= np.pi / SHEETS * _WIDER
            empty = np.full((self.lines.height, self.lines.width), 255, np.uint8)
            empty[rows[mine], columns[mine]] = 0
            sheets.append(cv2.distanceTransform(empty, cv2.DIST_L2, 3))
        return np.stack(sheets)

    @cached_property
    def near(self) -> npt.NDArray[np.bool_]:
        """Say for each tolerance, sheet, row and column whether a line lies near."""
        return np.stack([self.distances <= tolerance for tolerance in _TOLERANCES])

    @cached_property
    def chance(self) -> Floats:
        """Give for each tolerance, row and column the share of directions that meet a line thereabouts."""
        fields = []
        for near, tolerance in zip(self.near, _TOLERANCES, strict=True):
            side = int(_AROUND * tolerance) | 1
            fields.append(cv2.blur(near.mean(axis=0, dtype=np.float32), (side, side)))
        return np.stack(fields).clip(_LEAST, 0.95)

    def met(
        self, places: Doubles, angles: Doubles, sizes: Doubles
    ) -> tuple[npt.NDArray[np.bool_], npt.NDArray[np.bool_], Floats]:
        """Say which places lie inside, which of them meet a line of their angle, and by what chance.

        Shapes: places (poses, points, 2), angles (poses, points), sizes (poses,) in pixels.
        """
        levels = levels_of(sizes)[:, None]
        at = places.astype(np.int64)
        x, y = at[..., 0], at[..., 1]
        inside = (x >= 0) & (y >= 0) & (x < self.lines.width) & (y < self.lines.height)
        x, y = x.clip(0, self.lines.width - 1), y.clip(0, self.lines.height - 1)
        return inside, self.near[levels, sheets_of(angles), y, x] & inside, self.chance[levels, y, x]

    def nearness(self, places: Doubles, angles: Doubles, sizes: Doubles) -> Doubles:
        """Say for each pose how near lines of its angles are, less how near lines across and aslant are."""
        at = places.astype(np.int64)
        x, y = at[..., 0], at[..., 1]
        inside = (x >= 0) & (y >= 0) & (x < self.lines.width) & (y < self.lines.height)
        x, y = x.clip(0, self.lines.width - 1), y.clip(0, self.lines.height - 1)
        off, own = np.maximum(_NEAR_SHARE * sizes, _TOLERANCES[1])[:, None], sheets_of(angles)

        def near(turned: int) -> Doubles:
            apart = self.distances[np.mod(own + turned, SHEETS), y, x] / off
            return np.asarray((1 / (1 + apart**2) ** 2 * inside).mean(axis=1), np.float64)

        across = 0.5 * near(SHEETS // 2) + 0.25 * near(SHEETS // 4) + 0.25 * near(-SHEETS // 4)
        return near(0) - across


_NEAR_SHARE = 0.02


def levels_of(sizes: Doubles) -> npt.NDArray[np.intp]:
    """Choose a tolerance for drawings of sizes in pixels."""
    off = np.log(np.maximum(sizes * _OFF_SHARE, 1.0))[:, None] - np.log(_TOLERANCES)
    return np.asarray(np.argmin(np.abs(off), axis=1))


def sheets_of(angles: Doubles) -> npt.NDArray[np.int64]:
    """Give the sheets of directions."""
    return np.mod(np.round(angles * SHEETS / np.pi).astype(np.int64), SHEETS)


def tolerances_of(sizes: Doubles) -> Doubles:
    """Give how far lines may lie off, in pixels, for drawings of sizes in pixels."""
    return np.array(_TOLERANCES)[levels_of(sizes)]


def speaks_for(met: npt.NDArray[np.bool_], chance: Floats, counted: npt.NDArray[np.bool_]) -> Doubles:
    """Sum the logarithms of likelihood ratios over the points of each pose; those not counted say nothing."""
    count = np.maximum(counted.sum(axis=1), 1)
    share = ((met & counted).sum(axis=1) / count).clip(_LEAST, 0.97)
    right = np.maximum(share[:, None], chance + 1e-3).clip(0, _MOST)
    each = np.where(met, np.log(right / chance), np.log((1 - right) / (1 - chance)))
    return np.asarray((each * counted).sum(axis=1), np.float64)


def pieces_apart(sizes: Doubles) -> Doubles:
    """Give how far pieces of line lie apart in the photo that count as separate, for drawings of sizes in pixels."""
    return _APART * tolerances_of(sizes)


def weigh(points: LineMap, onto: LineField, pose: Pose) -> LaidEvidence | None:
    """Weigh a pose of a drawing's sampled points; None when too little of it lies in the photo."""
    places, angles = pose.places(points.points), pose.directions(points.points, points.angles)
    size = np.array([np.ptp(places, axis=0).max()])
    tolerance = float(tolerances_of(size)[0])
    cells = (places // (_APART * tolerance)).astype(np.int64)
    keys = np.stack([cells[:, 0], cells[:, 1], sheets_of(angles) // 2], axis=1)
    _, first = np.unique(keys, axis=0, return_index=True)
    inside, met, chance = onto.met(places[None, first], angles[None, first], size)
    if inside.sum() < _LEAST_PIECES:
        return None
    explained, photographed = _explained(places, onto.lines, tolerance)
    return LaidEvidence(
        drawn=float(speaks_for(met, chance, inside)[0]),
        photographed=photographed,
        met=float(met.sum() / inside.sum()),
        chance=float(chance[inside].mean()),
        explained=explained,
        inside=float(inside.mean()),
    )


def _explained(places: Doubles, theirs: LineMap, tolerance: float) -> tuple[float, float]:
    """Give the share of the photo's lines near the drawing that are under it, and what that says against chance."""
    free = np.full((theirs.height, theirs.width), 255, np.uint8)
    at = np.round(places).astype(int)
    at = at[(at >= 0).all(1) & (at[:, 0] < theirs.width) & (at[:, 1] < theirs.height)]
    free[at[:, 1], at[:, 0]] = 0
    away = cv2.distanceTransform(free, cv2.DIST_L2, 3)
    own = np.round(theirs.points).astype(int)
    off = away[own[:, 1].clip(0, theirs.height - 1), own[:, 0].clip(0, theirs.width - 1)]
    beside = off <= _BESIDE * tolerance
    strengths = theirs.strengths[beside]
    share = float(strengths[off[beside] <= tolerance].sum() / max(float(strengths.sum()), 1e-6))
    by_chance = (away <= tolerance).sum() / max(int((away <= _BESIDE * tolerance).sum()), 1)
    seen, chance = np.clip([share, by_chance], _LEAST, _MOST)
    gained = seen * np.log(seen / chance) + (1 - seen) * np.log((1 - seen) / (1 - chance))
    return share, float(np.sign(seen - chance) * gained * beside.sum() / (_APART * tolerance))
