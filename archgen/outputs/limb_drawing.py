"""A limb laid flat as plain numbers in mm, which the page and the sheet draw alike; words go through the same view."""

from archgen.languages.house import say, say_in
from archgen.limbs import flat
from archgen.limbs.free_skin import free_skin
from archgen.limbs.profile import GirthMark
from archgen.limbs.sleeve import LimbPiece, UnrolledLimb
from archgen.limbs.spots import JOINTS, QUARTERS
from archgen.pieces.overview import PieceOverview
from archgen.values.frozen import Value
from archgen.wording.pieces import finished_words, place_of, size_on_skin
from archgen.wording.planning.sleeves import FreeWords, basis_words, free_words, girth_words, limb_name, wrap_words

# Where along a part the names of its quarters may stand, the best first, and how much room one takes, in mm of skin.
_SHARES = (0.03, 0.1, 0.82, 0.3, 0.7, 0.5)
# A girth's words take this much of the half of its line on which they stand.
_WORDS_SHARE = 0.7
_NAME_MM, _DISC_MM = 50.0, 10.0


class DrawnShape(Value, frozen=True):
    """Corners in mm."""

    points: tuple[tuple[float, float], ...]


class DrawnWords(Value, frozen=True):
    """Words at a place in mm."""

    x: float
    y: float
    words: str


class DrawnQuarter(Value, frozen=True):
    """Where the name of a quarter stands, how wide the quarter is there, and how much of it is free."""

    x: float
    y: float
    width: float
    words: str
    free: str


class DrawnPiece(Value, frozen=True):
    """A piece on a limb.

    Attributes:
        bands: All that it may cover.
        shapes: Where it is drawn; two where the seam runs through it, and then without its drawing.
        x, y: Its middle.
        width, height: Of its stencil's drawing, as large as it has room in the piece.
        drawing: Blob of that, cut to the marks; empty for none.
        turned: Whether the drawing must be turned to read right.
        lean: How far it leans, clockwise in degrees.
    """

    number: int
    id: str
    bands: tuple[DrawnShape, ...]
    shapes: tuple[DrawnShape, ...]
    x: float
    y: float
    width: float
    height: float
    drawing: str
    turned: bool
    lean: float


class DrawnLimb(Value, frozen=True):
    """A limb; x counts from its middle, y from its top."""

    name: str
    words: str
    width: float
    height: float
    outline: DrawnShape
    quarters: tuple[DrawnShape, ...]
    facings: tuple[DrawnQuarter, ...]
    joints: tuple[DrawnWords, ...]
    girths: tuple[DrawnWords, ...]
    pieces: tuple[DrawnPiece, ...]
    is_loose: bool
    basis: tuple[str, ...]
    free: tuple[FreeWords, ...]


class SleeveRow(Value, frozen=True):
    """A piece in the list: number, what it is and where."""

    number: int
    id: str
    title: str
    lines: tuple[str, ...]


def draw_limb(limb: UnrolledLimb, units: str) -> DrawnLimb:
    """Lay a limb flat."""
    outline = flat.outline(limb)
    profile = limb.profile
    free = free_words(limb, free_skin(limb), units)
    titles = ", ".join(f"{piece.number} {piece.title}" for piece in limb.pieces)
    return DrawnLimb(
        name=limb_name(limb),
        words=say("{limb} laid flat, with the pieces {titles}", limb=limb_name(limb), titles=titles),
        width=round(2 * max(x for x, _ in outline), 1),
        height=round(profile.length_mm, 1),
        outline=_shape(outline),
        quarters=tuple(map(_shape, flat.quarter_lines(limb))),
        facings=tuple(_facings(limb, free)),
        joints=tuple(
            DrawnWords(_round(-profile.girth(at) / 2), _round(at), say_in("limb", joint))
            for at, joint in zip(profile.ends, JOINTS[limb.kind], strict=True)
        ),
        girths=tuple(_girth(limb, mark, units) for mark in profile.marks),
        pieces=tuple(_piece(limb, piece) for piece in limb.pieces),
        is_loose=any(piece.spot.is_loose for piece in limb.pieces),
        basis=tuple(basis_words(limb, units)),
        free=free,
    )


def sleeve_row(overview: PieceOverview, number: int, limb: UnrolledLimb | None, units: str) -> SleeveRow:
    """Say what a piece is, where, how large, and how far round its limb."""
    piece = next((one for one in limb.pieces if one.id == overview.id), None) if limb else None
    lines = (
        place_of(overview.piece) or say("Place not recorded"),
        size_on_skin(overview, units) or say("Size not recorded"),
        wrap_words(limb, piece, units) if limb and piece else "",
        finished_words(overview) or "",
    )
    return SleeveRow(number, overview.id, overview.title, tuple(line for line in lines if line))


def _girth(limb: UnrolledLimb, mark: GirthMark, units: str) -> DrawnWords:
    """Say a girth at the right end of its line, or at the left where a piece is in the way."""
    half = mark.girth_mm / 2
    is_taken = any(
        piece.extent_mm[0] < mark.at_mm < piece.extent_mm[1]
        and flat.across(limb, piece.facing, mark.at_mm) + piece.width_mm / 2 > half * (1 - _WORDS_SHARE)
        for piece in limb.pieces
    )
    return DrawnWords(_round(-half if is_taken else half), _round(mark.at_mm), girth_words(mark, units))


def _piece(limb: UnrolledLimb, piece: LimbPiece) -> DrawnPiece:
    shapes = flat.piece_shapes(limb, piece)
    drawing = piece.drawing if len(shapes) == 1 else None
    width = min(piece.width_mm, piece.height_mm / drawing.ratio) if drawing else piece.width_mm
    return DrawnPiece(
        number=piece.number,
        id=piece.id,
        bands=tuple(map(_shape, flat.band_shapes(limb, piece))) if piece.spot.is_loose else (),
        shapes=tuple(map(_shape, shapes)),
        x=_round(flat.across(limb, piece.facing, piece.at_mm)),
        y=_round(piece.at_mm),
        width=_round(width),
        height=_round(width * drawing.ratio if drawing else piece.height_mm),
        drawing=drawing.blob if drawing else "",
        turned=bool(drawing and drawing.turned),
        lean=_round(flat.lean(limb, piece)),
    )


def _facings(limb: UnrolledLimb, free: tuple[FreeWords, ...]) -> list[DrawnQuarter]:
    found = []
    for part, said in enumerate(free):
        for facing, (word, area) in zip(QUARTERS, said.quarters, strict=True):
            at = _clear_height(limb, part, facing)
            if at is None:
                continue
            width = limb.profile.girth(at) / len(QUARTERS)
            found.append(DrawnQuarter(_round(flat.across(limb, facing, at)), _round(at), _round(width), word, area))
    return found


def _clear_height(limb: UnrolledLimb, part: int, facing: int) -> float | None:
    """Find a height for a name on which no piece is drawn, best without a girth near the top of the part."""
    top, bottom = limb.profile.ends[part], limb.profile.ends[part + 1]

    def is_on_girth(at: float) -> bool:
        return any(at < mark.at_mm < at + _NAME_MM for mark in limb.profile.marks)

    def is_on_piece(at: float) -> bool:
        below = at + _NAME_MM
        return any(
            piece.extent_mm[0] - _DISC_MM < below
            and at < piece.extent_mm[1]
            and abs((piece.facing - facing + 180) % 360 - 180) < piece.span_deg / 2 + 30
            for piece in limb.pieces
        )

    heights = [top + share * (bottom - top) for share in _SHARES]
    return min((at for at in heights if not is_on_piece(at)), key=is_on_girth, default=None)


def _shape(points: flat.Shape) -> DrawnShape:
    return DrawnShape(tuple((_round(x), _round(y)) for x, y in points))


def _round(length_mm: float) -> float:
    return round(length_mm, 1)
