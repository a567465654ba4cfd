"""A limb as it lies flat: cut open along its seam, each height unrolled by itself, in mm from the top and its middle.

So sizes round and along the limb are true at every height; lines far from the middle lean where the limb grows thinner.
"""

import math

from archgen.limbs.sleeve import FULL, LimbPiece, UnrolledLimb, reach
from archgen.limbs.spots import QUARTERS
from archgen.records.model import Side

Point = tuple[float, float]
Shape = tuple[Point, ...]


def across(limb: UnrolledLimb, turn: float, at_mm: float) -> float:
    """Give how far right of the middle a direction lies at a height, as seen from outside."""
    return _sideways(limb, turn) / FULL * limb.profile.girth(at_mm)


def _sideways(limb: UnrolledLimb, turn: float) -> float:
    """Give the degrees right of the middle: -180 to 180, the seam at both ends."""
    # From outside, the body's side of a right limb lies right of its front, of a left one left.
    way = 1 if limb.side is Side.RIGHT else -1
    return way * ((turn - limb.seam) % FULL - FULL / 2)


def outline(limb: UnrolledLimb) -> Shape:
    """Give the edge of the whole limb."""
    return _strip(limb, (-FULL / 2, FULL / 2), (0.0, limb.profile.length_mm))


def quarter_lines(limb: UnrolledLimb) -> tuple[Shape, ...]:
    """Give the lines between quarters, without the seam."""
    edges = [_sideways(limb, quarter + FULL / 8) for quarter in QUARTERS if (quarter + FULL / 8 - limb.seam) % FULL]
    heights = limb.profile.breaks(0.0, limb.profile.length_mm)
    return tuple(tuple((edge / FULL * limb.profile.girth(at), at) for at in heights) for edge in sorted(edges))


def shapes(limb: UnrolledLimb, turns: tuple[float, float], heights: tuple[float, float]) -> tuple[Shape, ...]:
    """Give what lies between two directions and two heights: in two parts where the seam runs through it."""
    span = min(turns[1] - turns[0], FULL)
    if span >= FULL:
        return (_strip(limb, (-FULL / 2, FULL / 2), heights),)
    middle = _sideways(limb, (turns[0] + turns[1]) / 2)
    found = []
    for shift in (-FULL, 0.0, FULL):
        low = max(middle + shift - span / 2, -FULL / 2)
        high = min(middle + shift + span / 2, FULL / 2)
        if high - low > 1e-9:
            found.append(_strip(limb, (low, high), heights))
    return tuple(found)


def piece_shapes(limb: UnrolledLimb, piece: LimbPiece) -> tuple[Shape, ...]:
    """Give the rectangle of a piece where it is drawn."""
    half = piece.span_deg / 2
    return shapes(limb, (piece.facing - half, piece.facing + half), piece.extent_mm)


def lean(limb: UnrolledLimb, piece: LimbPiece) -> float:
    """Give how far a piece that is straight on the limb leans when that lies flat: degrees, clockwise."""
    top, bottom = (across(limb, piece.facing, at) for at in piece.extent_mm)
    return math.degrees(math.atan2(top - bottom, piece.height_mm))


def band_shapes(limb: UnrolledLimb, piece: LimbPiece) -> tuple[Shape, ...]:
    """Give all that a piece may cover: somewhere here."""
    half, (low, high) = reach(limb.profile, piece), piece.middles_mm
    heights = low - piece.height_mm / 2, high + piece.height_mm / 2
    return tuple(shape for way in piece.spot.facing for shape in shapes(limb, (way - half, way + half), heights))


def _strip(limb: UnrolledLimb, sideways: tuple[float, float], heights: tuple[float, float]) -> Shape:
    down = limb.profile.breaks(*heights)
    left, right = sideways
    return (
        *((left / FULL * limb.profile.girth(at), at) for at in down),
        *((right / FULL * limb.profile.girth(at), at) for at in reversed(down)),
    )
