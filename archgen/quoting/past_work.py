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
        sittings: Hours of each, touch-ups apart.
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
    sittings: tuple[float, ...]
    charged: float | None

    def worked(self, today: dt.date) -> Worked:
        """Give what hours are learned from."""
        years = max((today - self.finished).days, 0) / _DAYS_A_YEAR if self.finished else 0.0
        area = self.width_mm * self.height_mm
        return Worked(area, tuple(style.casefold() for style in self.styles), self.place, years, self.hours)


class UnclearHours(Value, frozen=True):
    """A piece with hours of a sitting that cannot be, as they are written."""

    id: str
    title: str
    written: tuple[str, ...]


class PastWork(Value, frozen=True):
    """All that the records tell.

    Attributes:
        pieces: Those with hours and both sides of their size, the oldest first; those without a day before all.
        unclear: Those whose hours cannot be, with a size or without.
        no_hours: How many others have a size but no hours.
        no_size: How many others have hours but not both sides.
        other_sittings: Hours of the sittings of all but `pieces`.
        touch_ups: Hours of every touch-up.
    """

    pieces: tuple[PastPiece, ...]
    unclear: tuple[UnclearHours, ...]
    no_hours: int
    no_size: int
    other_sittings: tuple[float, ...]
    touch_ups: tuple[float, ...]


def past_work(pieces: Iterable[Piece]) -> PastWork:
    """Gather what the records of these pieces tell of hours."""
    known: list[PastPiece] = []
    unclear: list[UnclearHours] = []
    lacking = {"hours": 0, "size": 0}
    other_sittings: list[float] = []
    touch_ups: list[float] = []
    for piece in pieces:
        record = piece.record
        if record is None:
            continue
        touch_ups += _hours(record, SittingKind.TOUCH_UP)
        sittings, has_all = _hours(record, SittingKind.SITTING), _has_all_hours(record)
        has_size = bool(record.size.width and record.size.height)
        if has_all and has_size:
            known.append(_past_piece(piece, record, sittings))
            continue
        other_sittings += sittings
        if written := _unclear(piece, record):
            unclear.append(UnclearHours(piece.id, piece.title, written))
        elif has_all:
            lacking["size"] += 1
        elif has_size:
            lacking["hours"] += 1
    known.sort(key=lambda one: (one.finished or dt.date.min, one.id))
    return PastWork(
        tuple(known), tuple(unclear), lacking["hours"], lacking["size"], tuple(other_sittings), tuple(touch_ups)
    )


def _has_all_hours(record: PieceRecord) -> bool:
    worked = [sitting for sitting in record.sitting if sitting.kind is SittingKind.SITTING]
    return bool(worked) and all(sitting.hours for sitting in worked)


def _unclear(piece: Piece, record: PieceRecord) -> tuple[str, ...]:
    """Give the hours that cannot be, as they are written: none at all, more than a day has, no number."""
    found = [
        piece.written(f"sitting.{number}.hours") if sitting.hours is None else "0"
        for number, sitting in enumerate(record.sitting)
        if sitting.kind is SittingKind.SITTING and not sitting.hours
    ]
    return tuple(text for text in found if text)


def _hours(record: PieceRecord, kind: SittingKind) -> list[float]:
    def is_told(sitting: Sitting) -> bool:
        return sitting.kind is kind and bool(sitting.hours)

    return [float(sitting.hours or 0) for sitting in record.sitting if is_told(sitting)]


def _past_piece(piece: Piece, record: PieceRecord, sittings: list[float]) -> PastPiece:
    return PastPiece(
        id=piece.id,
        title=piece.title,
        width_mm=float(record.size.width or 0),
        height_mm=float(record.size.height or 0),
        styles=record.styles,
        place=record.placement.region,
        hours=sum(sittings),
        finished=record.finished_on,
        sittings=tuple(sittings),
        charged=record.price.charged or None,
    )
