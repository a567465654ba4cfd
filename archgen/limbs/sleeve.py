"""All pieces of one client on their arms and legs, each limb unrolled, sizes to one scale; what is not recorded, said.

A piece is held at its width by the girth at its own middle: so it covers as many degrees at its top as at its bottom.
"""

from collections.abc import Iterable, Mapping, Sequence
from enum import Enum

from archgen.limbs.profile import From, GirthMark, Profile, is_of_limb, make_profile
from archgen.limbs.spots import LimbKind, LimbSpot, spot_of
from archgen.pieces.overview import PieceOverview
from archgen.records.model import PieceRecord, Side
from archgen.values.frozen import Value

FULL = 360.0


class NotDrawn(Enum):
    """Why a piece is on no limb."""

    NO_LIMB = "not on an arm or leg"
    NO_PLACE = "its place is not recorded"
    NO_SIDE = "left or right is not recorded"
    NO_SIZE = "its size is not recorded"


class LimbDrawing(Value, frozen=True):
    """A stencil's picture, cut to its marks: its blob, height by width, whether it must be turned to read right."""

    blob: str
    ratio: float
    turned: bool


class LimbPiece(Value, frozen=True):
    """A piece on a limb.

    Attributes:
        number: Counted through all pieces of the client, the oldest first.
        middles_mm: Lowest and highest its middle may lie, from the top of the limb.
        at_mm, facing: Where it is drawn; the record says no more than `middles_mm` and the spot's facings.
        span_deg: How far it goes round where it is drawn.
        drawing: The picture of its stencil.
    """

    number: int
    id: str
    title: str
    width_mm: float
    height_mm: float
    spot: LimbSpot
    middles_mm: tuple[float, float]
    at_mm: float
    facing: float
    span_deg: float
    drawing: LimbDrawing | None

    @property
    def extent_mm(self) -> tuple[float, float]:
        """Give from where to where it is drawn along the limb."""
        return self.at_mm - self.height_mm / 2, self.at_mm + self.height_mm / 2


class NotOnLimb(Value, frozen=True):
    """A piece that is not drawn on a limb, and why."""

    number: int
    id: str
    title: str
    reason: NotDrawn


class UnrolledLimb(Value, frozen=True):
    """An arm or leg.

    Attributes:
        seam: Where it is cut open to lie flat, in degrees.
        odd_girths: Recorded girths that no limb has, which were not used, by piece.
    """

    side: Side
    profile: Profile
    pieces: tuple[LimbPiece, ...]
    seam: int
    odd_girths: tuple[tuple[str, float], ...] = ()

    @property
    def kind(self) -> LimbKind:
        """Say whether it is an arm or a leg."""
        return self.profile.kind


def span_at(profile: Profile, piece: LimbPiece, at_mm: float) -> float:
    """Give how far round a piece goes, in degrees, with its middle at a height."""
    return FULL * piece.width_mm / profile.girth(at_mm)


def turn_room(profile: Profile, piece: LimbPiece, at_mm: float) -> float:
    """Give how far its middle may be turned to either side there and still face the way its place says."""
    if piece.spot.spread >= FULL / 2:  # any way
        return FULL / 2
    return max(piece.spot.spread - span_at(profile, piece, at_mm) / 2, 0.0)


def reach(profile: Profile, piece: LimbPiece) -> float:
    """Give how far to either side of the way it faces a piece may reach, at the height where that is furthest."""
    heights = profile.breaks(*piece.middles_mm)
    return max(span_at(profile, piece, at) / 2 + turn_room(profile, piece, at) for at in heights)


class Sleeve(Value, frozen=True):
    """A client's limbs; `left_out` are the pieces that are on none of them."""

    limbs: tuple[UnrolledLimb, ...]
    left_out: tuple[NotOnLimb, ...]


class AskedMeasures(Value, frozen=True):
    """What was measured and said beside the records: girths by limb and height (0 to 2), lengths by limb and part."""

    girths: Mapping[LimbKind, tuple[tuple[float, float], ...]] = {}
    lengths: Mapping[LimbKind, tuple[float | None, float | None]] = {}


class _Laid(Value, frozen=True):
    """A piece with its place and size, before it is on a limb."""

    number: int
    overview: PieceOverview
    record: PieceRecord
    spot: LimbSpot
    along: float


def lay_out(pieces: Sequence[PieceOverview], told: AskedMeasures | None = None) -> Sleeve:
    """Lay a client's pieces, the oldest first, on their limbs."""
    laid: dict[tuple[LimbKind, Side], list[_Laid]] = {}
    left_out = []
    for number, overview in enumerate(pieces, 1):
        found = _spot_or_reason(overview)
        if isinstance(found, NotDrawn):
            left_out.append(NotOnLimb(number, overview.id, overview.title, found))
        elif overview.record and overview.record.placement.side:
            limb = laid.setdefault((found.kind, overview.record.placement.side), [])
            limb.append(_Laid(number, overview, overview.record, found, 0.0))
    limbs = tuple(
        _limb(kind, side, _shared(laid[kind, side]), told or AskedMeasures())
        for kind, side in sorted(laid, key=lambda one: (list(LimbKind).index(one[0]), one[1].value))
    )
    return Sleeve(limbs, tuple(left_out))


def shares_a_limb(pieces: Iterable[PieceOverview]) -> bool:
    """Say whether several pieces of a client would be drawn on one limb, without laying them out."""
    seen: set[tuple[LimbKind, Side]] = set()
    for overview in pieces:
        found = _spot_or_reason(overview)
        if isinstance(found, LimbSpot) and overview.record and overview.record.placement.side:
            limb = found.kind, overview.record.placement.side
            if limb in seen:
                return True
            seen.add(limb)
    return False


def _spot_or_reason(overview: PieceOverview) -> LimbSpot | NotDrawn:
    record = overview.record
    if record is None or record.placement.region is None:
        return NotDrawn.NO_PLACE
    spot = spot_of(overview.piece)
    if spot is None:
        return NotDrawn.NO_LIMB
    if record.placement.side not in {Side.LEFT, Side.RIGHT}:
        return NotDrawn.NO_SIDE
    return spot if overview.size.width_mm and overview.size.height_mm else NotDrawn.NO_SIZE


def _shared(laid: Sequence[_Laid]) -> list[_Laid]:
    """Give each a height of its own where several have the same words: one below the other, in the order made."""
    of_spot: dict[tuple[object, ...], list[_Laid]] = {}
    for one in laid:
        of_spot.setdefault((one.spot.along, one.spot.facing), []).append(one)
    found = []
    for same in of_spot.values():
        for place, one in enumerate(same):
            first, last = one.spot.along
            along = first + (place + 0.5) / len(same) * (last - first)
            found.append(_Laid(one.number, one.overview, one.record, one.spot, along))
    return sorted(found, key=lambda one: one.number)


def _limb(kind: LimbKind, side: Side, laid: Sequence[_Laid], told: AskedMeasures) -> UnrolledLimb:
    odd: list[tuple[str, float]] = []
    known: list[GirthMark] = []
    for one in laid:
        girth = one.record.placement.girth
        if girth is not None and is_of_limb(kind, one.along, girth):
            known.append(GirthMark(one.along, float(girth), From.MEASURED))
        elif girth is not None:
            odd.append((one.overview.title, float(girth)))
    known += [GirthMark(along, girth, From.TOLD) for along, girth in told.girths.get(kind, ())]
    profile = make_profile(kind, known, told.lengths.get(kind, (None, None)))
    pieces = tuple(_on_limb(one, profile) for one in laid)
    return UnrolledLimb(side, profile, pieces, _seam(pieces), tuple(odd))


def _on_limb(one: _Laid, profile: Profile) -> LimbPiece:
    size = one.overview.size
    width, height = float(size.width_mm or 0), float(size.height_mm or 0)
    first, last = (profile.height(along) for along in one.spot.along)
    room = max((last - first - height) / 2, 0.0)
    middle = (first + last) / 2
    middles = (middle - room, middle + room)
    at = min(max(profile.height(one.along), middles[0]), middles[1])
    return LimbPiece(
        number=one.number,
        id=one.overview.id,
        title=one.overview.title,
        width_mm=width,
        height_mm=height,
        spot=one.spot,
        middles_mm=middles,
        at_mm=at,
        facing=float(one.spot.facing[0]),
        span_deg=FULL * width / profile.girth(at),
        drawing=_drawing(one.overview),
    )


def _drawing(overview: PieceOverview) -> LimbDrawing | None:
    applied = overview.applied
    copy = applied.facts.print_copy if applied and applied.facts else None
    return LimbDrawing(copy.blob, copy.height / copy.width, applied.stencil.mirrored) if copy and applied else None


def _seam(pieces: Iterable[LimbPiece]) -> int:
    """Choose where to cut: between two quarters where the least is cut through, best behind on the body's side."""
    known = list(pieces)

    def cut_mm(seam: int) -> float:
        return sum(one.height_mm for one in known if abs((one.facing - seam + 180) % FULL - 180) < one.span_deg / 2)

    return min((135, 45, 225, 315), key=cut_mm)
