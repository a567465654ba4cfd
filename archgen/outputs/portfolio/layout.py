"""Order pieces so that the rows of a theme close, and say how wide a picture stands; knows shapes, not templates."""

from collections.abc import Iterable, Sequence

from archgen.publication.public_catalogue import PublicPiece
from archgen.values.frozen import Value


class Layout(Value, frozen=True):
    """How a theme lays out its wall of works: [layout] of its theme.toml.

    Attributes:
        first_is_large: Whether the first picture stands apart: in rows it takes two columns of two rows.
        columns: Of a row; an upright takes one, a wide picture two.
        notice_columns: What the notice takes.
        wide_from: How many times wider than high a picture is that needs two columns.
    """

    first_is_large: bool
    columns: int
    notice_columns: int
    wide_from: float

    def is_wide(self, piece: PublicPiece) -> bool:
        """Say whether the cover of a piece needs two columns."""
        copy = piece.photos[0].copies[0]
        return copy.width > copy.height * self.wide_from

    def close_rows(self, pieces: Sequence[PublicPiece]) -> list[PublicPiece]:
        """Order pieces so that uprights stand in pairs and no row stays open before a wide one; else as they come."""
        if self.columns == 1:
            return list(pieces)
        ordered = list(pieces[:1]) if self.first_is_large else []
        pending: PublicPiece | None = None
        waiting: list[PublicPiece] = []
        for piece in pieces[len(ordered) :]:
            if self.is_wide(piece):
                (waiting if pending else ordered).append(piece)
            elif pending is None:
                pending = piece
            else:
                ordered += [pending, piece, *waiting]
                pending, waiting = None, []
        return [*ordered, *waiting, *([pending] if pending else [])]

    def number_alone(self, pieces: Sequence[PublicPiece]) -> int:
        """Give the number of the upright that has no neighbour; 0 when there is none. It is always the last."""
        uprights = sum(not self.is_wide(piece) for piece in pieces[self.first_is_large :])
        return len(pieces) if uprights % 2 else 0

    def notice_place(self, pieces: Sequence[PublicPiece]) -> int:
        """Give the number of the card that begins the first row below the large picture; 0 when there is none."""
        numbers = range(2, len(pieces) + 1)
        return next((number for number in numbers if self._taken(pieces[1 : number - 1]) >= self.columns), 0)

    def is_open(self, pieces: Sequence[PublicPiece], *, with_notice: bool = False) -> bool:
        """Say whether the last row is half empty; an upright without a neighbour is drawn over two columns."""
        taken = self._taken(pieces[1:]) + (self.notice_columns if with_notice else 0)
        return len(pieces) == 1 or (taken + taken % 2) % self.columns != 0

    def _taken(self, pieces: Iterable[PublicPiece]) -> int:
        return sum(2 if self.is_wide(piece) else 1 for piece in pieces)


class Sizes(Value, frozen=True):
    """How wide pictures stand in the window, for the browser to choose a copy by: [sizes] of theme.toml.

    Each is written as the attribute `sizes` of an image (HTML Standard, 4.8.4.2.1).

    Attributes:
        first: Of the first picture; None when it stands like the others.
        photo: Of the photos on a piece's page.
    """

    tall: str
    wide: str
    photo: str
    first: str | None = None
