"""Order pieces so that the rows of a theme close, and say how wide a picture stands; knows shapes, not templates."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from archgen.publication.public_catalogue import PublicPiece

_WIDE = 1.1  # wider than high by a tenth: such a picture needs a row of its own


@dataclass(frozen=True, slots=True)
class Layout:
    """How a theme lays out its wall of works: the width of a picture in the window, for the browser to choose by.

    Attributes:
        first_is_large: Whether the first picture stands apart from the rows.
    """

    first_is_large: bool
    tall: str
    wide: str
    first: str | None
    photo: str


LAYOUTS = {
    "plate": Layout(
        first_is_large=False,
        tall="(min-width: 60rem) 34vw, 100vw",
        wide="(min-width: 60rem) 60vw, 100vw",
        first=None,
        photo="(min-width: 60rem) 44vw, 100vw",
    ),
    "wall": Layout(
        first_is_large=True,
        tall="(min-width: 60rem) 25vw, 50vw",
        wide="(min-width: 60rem) 50vw, 100vw",
        first="(min-width: 60rem) 50vw, 100vw",
        photo="(min-width: 60rem) 37vw, 100vw",
    ),
}


def close_rows(pieces: Sequence[PublicPiece], *, first_is_large: bool) -> list[PublicPiece]:
    """Order pieces so that uprights stand in pairs and no row stays open before a wide one; else newest first."""
    ordered = list(pieces[:1]) if first_is_large else []
    pending: PublicPiece | None = None
    waiting: list[PublicPiece] = []
    for piece in pieces[len(ordered) :]:
        if is_wide(piece):
            (waiting if pending else ordered).append(piece)
        elif pending is None:
            pending = piece
        else:
            ordered += [pending, piece, *waiting]
            pending, waiting = None, []
    return [*ordered, *waiting, *([pending] if pending else [])]


def is_wide(piece: PublicPiece) -> bool:
    """Say whether the cover of a piece is wider than high."""
    copy = piece.photos[0].copies[0]
    return copy.width > copy.height * _WIDE


def number_alone(pieces: Sequence[PublicPiece], *, first_is_large: bool) -> int:
    """Give the number of the upright that has no neighbour; 0 when there is none. It is always the last."""
    uprights = sum(not is_wide(piece) for piece in pieces[first_is_large:])
    return len(pieces) if uprights % 2 else 0


# In rows of four columns the first picture takes two columns of two rows; a wide one two columns, an upright one.
_ROW, _NOTICE = 4, 2


def _columns(pieces: Iterable[PublicPiece]) -> int:
    return sum(2 if is_wide(piece) else 1 for piece in pieces)


def notice_place(pieces: Sequence[PublicPiece]) -> int:
    """Give the number of the card that begins the first row below the large picture; 0 when there is none."""
    below = (number for number in range(2, len(pieces) + 1) if _columns(pieces[1 : number - 1]) >= _ROW)
    return next(below, 0)


def is_open(pieces: Sequence[PublicPiece], *, with_notice: bool = False) -> bool:
    """Say whether the last row of four is half empty; an upright without a neighbour is drawn over two columns."""
    columns = _columns(pieces[1:]) + (_NOTICE if with_notice else 0)
    return len(pieces) == 1 or (columns + columns % 2) % _ROW != 0
