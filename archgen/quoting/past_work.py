"""What the artist's own pieces tell of hours and prices: from records alone, touch-ups apart."""

import datetime as dt
from collections.abc import Iterable

from archgen.quoting.hours_model import Worked
from archgen.records.model import Piece, PieceRecord, Sitting, SittingKind
from archgen.values.frozen import Value

_DAYS_A_YEAR = 365.25


class PastPiece(Value, frozen=True):
    """A piece whose hours and size are known.

    Attributes:
        finished: None where no day is recorded.
        longest_sitting: In hours; None for a piece of one sitting.
        charged: What was charged, touch-ups and all, in the archive's currency.
    """

    id: str
    title: str
    width_mm: float
    height_mm: float
    styles: tuple[str, ...]
    place: str | None
    hours: float
    finished: dt.date | None
    longest_sitting: float | None
    charged: float | None

    def worked(self, today: dt.date) -> Worked:
        """Give what hours are learned from."""
        years = max((today - self.finished).days, 0) / _DAYS_A_YEAR if self.finished else 0.0
        area = self.width_mm * self.height_mm
        return Worked(area, tuple(style.casefold() for style in self.styles), self.place, years, self.hours)


class PastWork(Value, frozen=True):
    """All that the records tell.

    Attributes:
        pieces: Those with hours and both sides of their size, the oldest first; those without a day before all.
        no_hours: How many others have a size but no hours.
        no_size: How many others have hours but not both sides.
        sittings: Hours of every sitting.
        touch_ups: Hours of every touch-up.
    """

    pieces: tuple[PastPiece, ...]
    no_hours: int
    no_size: int
    sittings: tuple[float, ...]
    touch_ups: tuple[float, ...]


def past_work(pieces: Iterable[Piece]) -> PastWork:
    """Gather what the records of these pieces tell of hours."""
    known: list[PastPiece] = []
    lacking = {"hours": 0, "size": 0}
    sittings: list[float] = []
    touch_ups: list[float] = []
    for piece in pieces:
        record = piece.record
        if record is None:
            continue
        sittings += _hours(record, SittingKind.SITTING)
        touch_ups += _hours(record, SittingKind.TOUCH_UP)
        hours, sides = _worked_hours(record), (record.size.width, record.size.height)
        if hours and sides[0] and sides[1]:
            known.append(_past_piece(piece, record, hours))
        elif hours:
            lacking["size"] += 1
        elif sides[0] and sides[1]:
            lacking["hours"] += 1
    known.sort(key=lambda one: (one.finished or dt.date.min, one.id))
    return PastWork(tuple(known), lacking["hours"], lacking["size"], tuple(sittings), tuple(touch_ups))


def _worked_hours(record: PieceRecord) -> float | None:
    """Add up the hours of all sittings but touch-ups; None when one of them is not recorded."""
    worked = [sitting for sitting in record.sitting if sitting.kind is SittingKind.SITTING]
    if not worked or any(not sitting.hours for sitting in worked):
        return None
    return sum(_hours(record, SittingKind.SITTING))


def _hours(record: PieceRecord, kind: SittingKind) -> list[float]:
    def is_told(sitting: Sitting) -> bool:
        return sitting.kind is kind and bool(sitting.hours)

    return [float(sitting.hours or 0) for sitting in record.sitting if is_told(sitting)]


def _past_piece(piece: Piece, record: PieceRecord, hours: float) -> PastPiece:
    each = _hours(record, SittingKind.SITTING)
    return PastPiece(
        id=piece.id,
        title=piece.title,
        width_mm=float(record.size.width or 0),
        height_mm=float(record.size.height or 0),
        styles=record.styles,
        place=record.placement.region,
        hours=hours,
        finished=record.finished_on,
        longest_sitting=max(each) if len(each) > 1 else None,
        charged=record.price.charged or None,
    )
