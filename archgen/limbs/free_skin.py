"""How much skin is free on a limb, as a range where positions are loose, and whether a new piece finds room.

Everything is a rectangle in degrees and millimetres along the limb. Counted as if no piece lay on another, and by
the rectangle round each.
"""

from collections.abc import Iterator, Sequence
from enum import Enum

from archgen.limbs.sleeve import FULL, LimbPiece, UnrolledLimb, reach, span_at, turn_room
from archgen.limbs.spots import QUARTERS
from archgen.values.frozen import Value

# A piece this far round lies 65° to each side of its middle, where a width looks less than half (its cosine).
GOES_ROUND_DEG = 130.0
_STEPS = 8
# How finely places for a new piece are tried.
_STEP_MM, _TURN_DEG = 5.0, 7.5


class FreeSkin(Value, frozen=True):
    """A quarter of a part of a limb, or the whole of it (facing None), in mm².

    Attributes:
        part: 0 or 1.
        least, most: What is free, by where the pieces may lie.
    """

    part: int
    facing: int | None
    skin: float
    least: float
    most: float


class Room(Enum):
    """Whether a new piece finds room."""

    SURE = "sure"
    MAYBE = "maybe"
    NONE = "none"


class RoomOnPart(Value, frozen=True):
    """A new piece on a part: how far it wraps where the part is widest and narrowest, and room by quarter."""

    part: int
    wraps_deg: tuple[float, float]
    rooms: tuple[tuple[int, Room], ...]


def free_skin(limb: UnrolledLimb) -> tuple[FreeSkin, ...]:
    """Say what is free on each part, as a whole and by quarter."""
    return tuple(_free(limb, part, facing) for part in (0, 1) for facing in (None, *QUARTERS))


def _free(limb: UnrolledLimb, part: int, facing: int | None) -> FreeSkin:
    heights = limb.profile.ends[part], limb.profile.ends[part + 1]
    middle, spread = (0.0, FULL / 2) if facing is None else (float(facing), FULL / 8)
    skin = limb.profile.area(*heights) * 2 * spread / FULL
    covered = [list(_covered(limb, piece, heights, (middle, spread))) for piece in limb.pieces]
    least, most = (max(skin - sum(map(choose, covered)), 0.0) for choose in (max, min))
    return FreeSkin(part, facing, skin, least, most)


def _covered(
    limb: UnrolledLimb, piece: LimbPiece, heights: tuple[float, float], round_it: tuple[float, float]
) -> Iterator[float]:
    """Give how much of a quarter a piece covers, at every place it may have."""
    for at in _middles(piece, sum(heights) / 2):
        first = max(at - piece.height_mm / 2, heights[0])
        last = min(at + piece.height_mm / 2, heights[1])
        span = span_at(limb.profile, piece, at)
        along = limb.profile.area(first, last) / FULL if last > first else 0.0
        shares = (_share(turn, span, *round_it) for turn in _turns(piece, turn_room(limb.profile, piece, at), round_it))
        yield from (span * share * along for share in shares)


def _middles(piece: LimbPiece, best: float) -> list[float]:
    low, high = piece.middles_mm
    return [*(low + (high - low) * step / _STEPS for step in range(_STEPS + 1)), min(max(best, low), high)]


def _turns(piece: LimbPiece, room: float, round_it: tuple[float, float]) -> Iterator[float]:
    """Give the turns at which least and most of a quarter is covered: near its middle and far from it."""
    best, spread = round_it
    if spread >= FULL / 2:
        yield float(piece.spot.facing[0])
        return
    for middle in piece.spot.facing:
        low, high = middle - room, middle + room
        yield from (low, high)
        for wanted in (best, best + FULL / 2):
            turned = low + (wanted - low) % FULL
            if turned <= high:
                yield turned


def _share(turn: float, span: float, middle: float, spread: float) -> float:
    """Give how much of a span round `turn` lies within `spread` of a middle."""
    if spread >= FULL / 2 or span <= 0:
        return 1.0
    covered = 0.0
    for shift in (-FULL, 0.0, FULL):
        away = (turn - middle + FULL / 2) % FULL - FULL / 2 + shift
        covered += max(min(away + span / 2, spread) - max(away - span / 2, -spread), 0.0)
    return min(covered / span, 1.0)


def wraps(limb: UnrolledLimb, part: int, width_mm: float) -> tuple[float, float]:
    """Give how many degrees a width goes round where the part is widest and where it is narrowest."""
    heights = limb.profile.breaks(limb.profile.ends[part], limb.profile.ends[part + 1])
    girths = [limb.profile.girth(at) for at in heights]
    return FULL * width_mm / max(girths), FULL * width_mm / min(girths)


def room_for(limb: UnrolledLimb, width_mm: float, height_mm: float) -> tuple[RoomOnPart, ...]:
    """Say of a new piece how far it would wrap and where it finds room."""
    return tuple(_room_on(limb, part, width_mm, height_mm) for part in (0, 1))


def _room_on(limb: UnrolledLimb, part: int, width_mm: float, height_mm: float) -> RoomOnPart:
    first, last = limb.profile.ends[part], limb.profile.ends[part + 1]
    sure = [_all_of(limb, piece) for piece in limb.pieces]
    cores = [_core_of(limb, piece) for piece in limb.pieces]
    rooms = []
    for facing in QUARTERS:
        places = list(_places(limb, (first, last), facing, (width_mm, height_mm)))
        free = any(not any(box.meets(place) for box in sure) for place in places)
        may_be = any(not any(box.meets(place) for box in cores) for place in places)
        rooms.append((facing, Room.SURE if free else Room.MAYBE if may_be else Room.NONE))
    return RoomOnPart(part, wraps(limb, part, width_mm), tuple(rooms))


class _Box(Value, frozen=True):
    """A rectangle: half of a span round each of several middles, heights; no span means nothing."""

    middles: tuple[int, ...]
    half: float
    heights: tuple[float, float]

    def meets(self, place: tuple[float, float, float, float]) -> bool:
        """Say whether it lies on a rectangle of middle, half of its span, top and bottom."""
        middle, half, top, bottom = place
        if min(bottom, self.heights[1]) <= max(top, self.heights[0]):
            return False
        return self.half > 0 and any(
            abs((middle - one + FULL / 2) % FULL - FULL / 2) < half + self.half for one in self.middles
        )


def _all_of(limb: UnrolledLimb, piece: LimbPiece) -> _Box:
    """Give all that a piece may cover."""
    low, high = piece.middles_mm
    return _Box(piece.spot.facing, reach(limb.profile, piece), (low - piece.height_mm / 2, high + piece.height_mm / 2))


def _core_of(limb: UnrolledLimb, piece: LimbPiece) -> _Box:
    """Give what a piece covers wherever it lies."""
    low, high = piece.middles_mm
    least = min(
        span_at(limb.profile, piece, at) / 2 - turn_room(limb.profile, piece, at)
        for at in limb.profile.breaks(low, high)
    )
    is_one_way = len(piece.spot.facing) == 1
    heights = (high - piece.height_mm / 2, low + piece.height_mm / 2)
    return _Box(piece.spot.facing, least if is_one_way else 0.0, heights)


def _places(
    limb: UnrolledLimb, heights: tuple[float, float], facing: int, size: tuple[float, float]
) -> Iterator[tuple[float, float, float, float]]:
    width, height = size
    at = heights[0] + height / 2
    while at <= heights[1] - height / 2:
        half = FULL / 2 * width / limb.profile.girth(at)
        if half <= FULL / 2:
            room = max(FULL / 8 - half, 0.0)
            for turn in _steps(facing - room, facing + room, _TURN_DEG):
                yield turn, half, at - height / 2, at + height / 2
        at += _STEP_MM


def _steps(first: float, last: float, step: float) -> Sequence[float]:
    count = int((last - first) // step)
    return [first + step * number for number in range(count + 1)] + [last]
