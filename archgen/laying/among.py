"""Find among many drawings those whose lines a photo shows.

Surroundings that look alike give rough places of each drawing; the likeliest are pulled in along the lines and weighed.
"""

from __future__ import annotations

import struct
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from archgen.laying.evidence import LaidEvidence, LineField, pieces_apart, speaks_for, weigh
from archgen.laying.line_map import LineMap
from archgen.laying.pose import Doubles, Pose
from archgen.laying.refine import SKIN, Nearest, nearest_lines, refine, sample
from archgen.laying.surroundings import Surroundings, spread, surroundings, without_specks

# Raise with every change of what is kept of a drawing.
VERSION = 1
# How far round a point is looked, as a share of the drawing's long side; the sizes a drawing has in photos.
_REACH = 0.2
_SIZES = tuple(0.2 * 1.3**step for step in range(7))
# Points whose surroundings are described, one in each cell of so many pixels: of a drawing, of a photo.
_OF_DRAWING, _OF_PHOTO = (100, 24), (450, 12)
# Points of a drawing: kept for weighing, for pulling in, for pulling in a little, for weighing roughly.
_KEPT, _FULL, _FEW, _ROUGH = 1500, 300, 120, (80, 30)
_SPECK_OF_DRAWING, _SPECK_OF_PHOTO = 6, 14
# Poses of a drawing that are weighed roughly; drawings that are pulled in a little, all the way; from how many places.
_WEIGHED, _NEARER, _PULLED_IN, _PLACES = 40, 100, 24, 2
_A_LITTLE = SKIN[:2]
_LEAST_INSIDE, _LEAST_POINTS = 0.6, 40
_AT_ONCE = 2_000
_LEARNED, _KEPT_AXES = 5_000, 32
_NOWHERE = -1e6
_HEAD = struct.Struct("<If")


@dataclass(frozen=True, slots=True, eq=False)
class KnownDrawing:
    """What is kept of a drawing: points of its lines, how long its lines are in pixels, surroundings of some points."""

    lines: LineMap
    length: float
    around: Surroundings

    @property
    def is_enough(self) -> bool:
        """Say whether there is enough of it to be found."""
        return len(self.lines.points) >= _LEAST_POINTS and len(self.around.points) > 1

    def to_bytes(self) -> bytes:
        """Pack."""
        lines = self.lines.to_bytes()
        return _HEAD.pack(len(lines), self.length) + lines + self.around.to_bytes()

    @staticmethod
    def from_bytes(data: bytes) -> KnownDrawing:
        """Unpack.

        Raises:
            ValueError: The bytes are not those of `to_bytes`.
        """
        try:
            size, length = _HEAD.unpack_from(data)
        except struct.error as error:
            raise ValueError("These are not the bytes of a known drawing.") from error
        start, end = _HEAD.size, _HEAD.size + size
        return KnownDrawing(LineMap.from_bytes(data[start:end]), length, Surroundings.from_bytes(data[end:]))


@dataclass(frozen=True, slots=True, eq=False)
class DrawingFound:
    """A drawing that a photo may show: its number, where it lies in the photo's line map, what speaks for it."""

    number: int
    pose: Pose
    evidence: LaidEvidence


def know(lines: LineMap) -> KnownDrawing:
    """Describe a drawing once."""
    clean = without_specks(lines, _SPECK_OF_DRAWING)
    clean = clean if len(clean.points) else lines
    reach = _REACH * _long_side(clean)
    around = surroundings(clean, spread(clean, *_OF_DRAWING), (reach,), both_ways=False)
    return KnownDrawing(sample(clean, _KEPT), float(len(clean.points)), around)


def photo_points(photo: LineMap) -> LineMap:
    """Choose points of a photo's lines that are weighed as a drawing's are."""
    return sample(without_specks(photo, _SPECK_OF_PHOTO), _KEPT)


def photo_field(photo: LineMap) -> LineField:
    """Give the lines of a photo without its specks, as drawings are weighed on them."""
    return LineField(without_specks(photo, _SPECK_OF_PHOTO))


def find_among(
    onto: LineField, drawings: Sequence[KnownDrawing], count: Callable[[int, int], None]
) -> list[DrawingFound]:
    """Give the drawings whose lines a photo may show, what most speaks for first; one place each.

    `count` is told how much is done, and of how much.
    """
    lines = onto.lines
    if len(lines.points) < _FULL or not drawings:
        return []
    nearest = nearest_lines(lines)
    steps = len(drawings) + _PULLED_IN
    rough: list[_Rough] = []
    for one in _rough_places(onto, drawings):
        rough.append(one)
        count(len(rough), steps)
    nearer = [_pulled(one, drawings[one.number], onto, nearest) for one in _likeliest(rough)]
    nearer.sort(key=lambda one: -one[0])
    found: list[DrawingFound] = []
    for done, (_, number, poses) in enumerate(nearer[:_PULLED_IN], len(rough)):
        count(done, steps)
        points = sample(drawings[number].lines, _FULL)
        for pose in (refine(points, nearest, start, SKIN) for start in poses[:_PLACES]):
            evidence = weigh(drawings[number].lines, onto, pose)
            if evidence is not None and evidence.inside >= _LEAST_INSIDE:
                found.append(DrawingFound(number, pose, evidence))
    return sorted(found, key=lambda one: -one.evidence.total)


def _pulled(rough: _Rough, drawing: KnownDrawing, onto: LineField, nearest: Nearest) -> tuple[float, int, list[Pose]]:
    """Pull rough places in a little, and weigh them by the drawing's lines alone."""
    points = sample(drawing.lines, _FEW)
    poses = [refine(points, nearest, pose, _A_LITTLE) for pose in rough.poses]
    spoken = [_spoken(points, drawing, onto, pose) for pose in poses]
    order = np.argsort(-np.array(spoken), kind="stable")
    return spoken[order[0]], rough.number, [poses[one] for one in order]


def _long_side(lines: LineMap) -> float:
    return float(np.ptp(lines.points, axis=0).max()) if len(lines.points) else 1.0


@dataclass(frozen=True, slots=True, eq=False)
class _Rough:
    """Where a drawing may lie, roughly; the best place by each score, and those scores."""

    number: int
    scores: tuple[float, float, float]
    poses: list[Pose]


def _likeliest(rough: Sequence[_Rough]) -> list[_Rough]:
    """Choose drawings by each score in turn: none of them alone has all that are right."""
    orders = np.argsort(-np.array([one.scores for one in rough]), axis=0, kind="stable")
    return [rough[one] for one in dict.fromkeys(orders.ravel().tolist())][:_NEARER]


def _spoken(points: LineMap, drawing: KnownDrawing, onto: LineField, pose: Pose) -> float:
    places, angles = pose.places(points.points)[None], pose.directions(points.points, points.angles)[None]
    size = np.array([pose.scale * _long_side(drawing.lines)])
    inside, met, chance = onto.met(places, angles, size)
    if inside.mean() < _LEAST_INSIDE:
        return _NOWHERE
    pieces = drawing.length * pose.scale / float(pieces_apart(size)[0])
    return float(speaks_for(met, chance, inside)[0]) * pieces / len(points.points)


def _rough_places(onto: LineField, drawings: Sequence[KnownDrawing]) -> Iterator[_Rough]:
    """Give for each drawing its best rough places."""
    lines = onto.lines
    reaches = [_REACH * size * max(lines.width, lines.height) for size in _SIZES]
    there = surroundings(lines, spread(lines, *_OF_PHOTO), reaches, both_ways=True)
    codes = np.concatenate([one.around.codes for one in drawings])
    # What most tells drawings apart, in fewer numbers.
    axes = np.linalg.svd(codes[:: max(1, len(codes) // _LEARNED)], full_matrices=False)[2][:_KEPT_AXES].T
    theirs, ours = there.codes @ axes, codes @ axes
    ends = np.cumsum([0, *(len(one.around.points) for one in drawings)])
    best, alike = np.zeros(len(codes), np.intp), np.zeros(len(codes), np.float32)
    for start in range(0, len(codes), _AT_ONCE):
        block = ours[start : start + _AT_ONCE] @ theirs.T
        found = block.argmax(axis=1)
        best[start : start + _AT_ONCE], alike[start : start + _AT_ONCE] = found, block[np.arange(len(found)), found]
    for number, drawing in enumerate(drawings):
        mine = slice(ends[number], ends[number + 1])
        scores, poses = _best_places(drawing, there, best[mine], alike[mine], onto)
        yield _Rough(number, scores, poses)


def _best_places(
    drawing: KnownDrawing,
    there: Surroundings,
    best: npt.NDArray[np.intp],
    alike: npt.NDArray[np.float32],
    onto: LineField,
) -> tuple[tuple[float, float, float], list[Pose]]:
    """Weigh the poses that take each described point to the photo's point that is most like it."""
    around, few = drawing.around, spread(drawing.lines, *_ROUGH)
    middle, long = drawing.lines.points.mean(axis=0).astype(np.float64), _long_side(drawing.lines)
    scales = (there.reaches[best] / around.reaches).astype(np.float64)
    turns = (there.angles[best] - around.angles).astype(np.float64)
    matrices = _turned(scales, turns)
    shifts = there.points[best] + np.einsum("kij,kj->ki", matrices, middle - around.points)
    votes = _votes(scales, turns, shifts / (long * scales[:, None]), alike)
    order = np.argsort(-votes.sum(axis=1), kind="stable")[:_WEIGHED]
    share = votes[order[0]] / votes[order[0]].sum()
    agreed = np.einsum("k,kij->ij", share, matrices), share @ shifts
    matrices = np.concatenate([matrices[order], agreed[0][None]])
    shifts = np.concatenate([shifts[order], agreed[1][None]])
    scales = np.sqrt(np.abs(np.linalg.det(matrices)))
    places = np.einsum("kij,nj->kni", matrices, few.points - middle) + shifts[:, None]
    angles = few.angles.astype(np.float64) + np.arctan2(matrices[:, 1, 0], matrices[:, 0, 0])[:, None]
    inside, met, chance = onto.met(places, angles, scales * long)
    pieces = drawing.length * scales / pieces_apart(scales * long)
    spoken = speaks_for(met, chance, inside) * pieces / len(few.points)
    near = onto.nearness(places, angles, scales * long) * np.sqrt(pieces)
    for score in (spoken, near):
        score[inside.mean(axis=1) < _LEAST_INSIDE] = _NOWHERE
    chosen = dict.fromkeys((int(spoken.argmax()), int(near.argmax()), len(matrices) - 1))
    poses = [Pose(matrices[one], shifts[one], middle, np.zeros((2, 3)), drawing.lines.diagonal / 2) for one in chosen]
    return (float(spoken.max()), float(near.max()), float(votes[order[0]].sum())), poses


def _turned(scales: Doubles, turns: Doubles) -> Doubles:
    cosine, sine = scales * np.cos(turns), scales * np.sin(turns)
    return np.stack([np.stack([cosine, -sine], axis=-1), np.stack([sine, cosine], axis=-1)], axis=-2)


def _votes(scales: Doubles, turns: Doubles, places: Doubles, alike: npt.NDArray[np.float32]) -> Doubles:
    """Say how much each pose is borne out by each other one that puts the drawing thereabouts."""
    sizes = np.log(scales[:, None] / scales)
    ways = np.mod(turns[:, None] - turns + np.pi, 2 * np.pi) - np.pi
    apart = np.hypot(*(places[:, None] - places).transpose(2, 0, 1))
    alone = np.exp(-((sizes / 0.25) ** 2) - (ways / 0.25) ** 2 - (apart / 0.1) ** 2)
    return np.asarray(alone * np.clip(alike - 0.5, 0.01, 1) ** 2)
