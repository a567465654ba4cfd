"""What the photos' own data tell where a record is silent: the day of the work, and what each photo shows.

Only proposals: used on private pages, marked as such, until the record says otherwise. Nothing here lets a photo be
shown: that is decided by the record alone (`publication.decision`). The spans are common practice, no source.
"""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import msgspec

from archgen.catalogue import Catalogue
from archgen.records.model import Photo, Piece, PieceRecord, Stage
from archgen.values.frozen import Value

# A photo of the day after is still of the fresh piece; of one day, the last half hour is after the work.
_FRESH_DAYS = 1
_AFTER_WORK = dt.timedelta(minutes=30)
# Clocks that were never set begin at 1970, 1980 or 2000.
_FIRST_YEAR = 2001


@dataclass(frozen=True, slots=True)
class FromPhotos:
    """What photos propose.

    Attributes:
        finished: The day of the work; None where the record has one, or no photo has a day.
        stages: What photos show whose record does not say, by their file's name in the piece.
    """

    finished: dt.date | None = None
    stages: Mapping[str, Stage] = field(default_factory=dict)

    def filled(self, record: PieceRecord) -> PieceRecord:
        """Give the record with the proposals in it, for what is worked out from days and stages."""
        if self.finished is None and not self.stages:
            return record
        photos = tuple(
            msgspec.structs.replace(photo, stage=photo.stage or self.stages.get(photo.file)) for photo in record.photo
        )
        return msgspec.structs.replace(record, finished=record.finished or self.finished, photo=photos)


class _Dated(Value, frozen=True):
    """One photo with its day; the moment only where the camera told it."""

    photo: Photo
    day: dt.date
    moment: dt.datetime | None


def all_photos(piece: Piece) -> tuple[Photo, ...]:
    """Give the photos of the record, then those only found in the folder."""
    named = piece.record.photo if piece.record else ()
    known = {photo.file for photo in named}
    found = (path.removeprefix(f"{piece.folder}/") for path in piece.photos)
    return named + tuple(Photo(file=file) for file in found if file not in known)


def from_photos(piece: Piece, catalogue: Catalogue) -> FromPhotos:
    """Work out what the photos of a piece propose."""
    record = piece.record or PieceRecord(title=piece.id)
    dated = _dated(piece, catalogue)
    finished = record.finished_on or _day_of_work(dated)
    if finished is None:
        return FromPhotos()
    not_understood = {photo.file for number, photo in enumerate(record.photo) if piece.written(f"photo.{number}.stage")}
    healed_after = catalogue.config.limits.healed_after_days
    stages = {
        one.photo.file: stage
        for one in dated
        if one.photo.stage is None and one.photo.file not in not_understood
        if (stage := _stage(one, dated, finished, record, healed_after))
    }
    return FromPhotos(None if record.finished_on else finished, stages)


def _dated(piece: Piece, catalogue: Catalogue) -> tuple[_Dated, ...]:
    found = []
    for photo in all_photos(piece):
        facts = catalogue.picture(piece, photo.file)
        moment = facts.taken if facts else None
        day = photo.taken or (moment.date() if moment else None)
        if day and day.year >= _FIRST_YEAR and day <= catalogue.built_on:
            found.append(_Dated(photo, day, moment if moment and moment.date() == day else None))
    return tuple(found)


def _day_of_work(dated: Iterable[_Dated]) -> dt.date | None:
    """Give the day of a photo recorded as fresh, else the first day of all that aren't of the healed piece."""
    fresh = [one.day for one in dated if one.photo.stage is Stage.FRESH]
    others = [one.day for one in dated if one.photo.stage is not Stage.HEALED]
    return min(fresh or others, default=None)


def _stage(
    one: _Dated, dated: Iterable[_Dated], finished: dt.date, record: PieceRecord, healed_after: int
) -> Stage | None:
    """Say what a photo shows by its day; None where that can be several things, as between fresh and healed."""
    days = (one.day - finished).days
    if days < 0:
        return Stage.IN_PROGRESS
    if days == 0 and one.moment:
        last = max(other.moment for other in dated if other.day == one.day and other.moment)
        return Stage.FRESH if last - one.moment <= _AFTER_WORK else Stage.IN_PROGRESS
    if days <= _FRESH_DAYS:
        return Stage.FRESH
    # Work that was done again heals again.
    worked = max((day for day in (finished, record.last_worked_on) if day and day <= one.day), default=finished)
    return Stage.HEALED if (one.day - worked).days >= healed_after else None
