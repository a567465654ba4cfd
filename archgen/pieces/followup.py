"""Say what is to be done after a piece: the healed photo, the touch-up, the photo release; knows records, not pages.

All day counts are settings whose defaults are studio practice, not medical advice.
"""

import datetime as dt
from collections.abc import Iterable
from enum import Enum

from archgen.config import Config, Limits
from archgen.publication.releases import is_withdrawn
from archgen.records.model import Healing, Piece, PieceRecord, ReleaseStatus, SittingKind, Stage
from archgen.units import add_days, days_between
from archgen.values.frozen import Value

# Four weeks are enough to find a date with a client; common practice, no source.
CLOSING_DAYS = 28
SOON_DAYS = 28
# What a note under [[healing]] says about the photo of the healed piece, and how long it is then not asked about
# again; common practice, no source.
ASKED_FOR_PHOTO = "asked for a healed photo"
NO_HEALED_PHOTO = "no healed photo will come"
ASK_AGAIN_DAYS = 14


class DueKind(Enum):
    """What is to be done."""

    HEALED_PHOTO = "healed-photo"
    TOUCH_UP = "touch-up"
    RELEASE = "release"


class DueState(Enum):
    """How urgent it is; most urgent first."""

    CLOSING = "closing"
    OPEN = "open"
    SOON = "soon"
    LATER = "later"
    PAST = "past"

    @property
    def rank(self) -> int:
        """Give 0 for the most urgent."""
        return list(DueState).index(self)


class Due(Value, frozen=True):
    """One thing to be done.

    Attributes:
        opens: The first day for it.
        closes: The last day for it; None when there is none.
        since: The day a touch-up was found wanted, or the last day of a release; None when there is none.
        is_wanted: Whether the record says so, rather than only the calendar.
    """

    kind: DueKind
    piece_id: str
    client: str | None
    opens: dt.date
    closes: dt.date | None
    state: DueState
    is_wanted: bool = False
    since: dt.date | None = None

    @property
    def is_now(self) -> bool:
        """Say whether it can be done now; what was promised can be done late."""
        return self.state in (DueState.CLOSING, DueState.OPEN) or (self.is_wanted and self.state is DueState.PAST)


class Look(Value, frozen=True):
    """What was seen afterwards, how many days after the work, and the touch-up that answered a wish for one."""

    seen: Healing
    days_after: int | None
    answered_on: dt.date | None


class TouchUp(Value, frozen=True):
    """How it stands with the touch-up.

    Attributes:
        opens: The first usual day for one; None, like the last, when the end of the work is not known.
        state: How urgent those days are.
        wanted_since: The day one was last found wanted and not given since.
        done_on: The day of the last one, when none is wanted since.
    """

    opens: dt.date | None
    closes: dt.date | None
    state: DueState | None
    wanted_since: dt.date | None
    done_on: dt.date | None


class FollowUp(Value, frozen=True):
    """What comes after a piece: the looks by day, the touch-up, and what is to be done."""

    looks: tuple[Look, ...] = ()
    touch_up: TouchUp | None = None
    due: tuple[Due, ...] = ()


def follow_up(piece: Piece, config: Config, today: dt.date) -> FollowUp:
    """Work out what comes after a piece; nothing for a broken one."""
    record = piece.record
    if record is None:
        return FollowUp()
    touch_up = _touch_up(record, config.limits, today)
    found = (
        _healed_photo(piece.id, record, config.limits, today),
        _touch_up_due(piece.id, record, touch_up),
        _release(piece, record, today, required=config.portfolio.require_release),
    )
    return FollowUp(_looks(record), touch_up, tuple(item for item in found if item))


def due(follow_ups: Iterable[FollowUp]) -> tuple[Due, ...]:
    """List everything to be done, the most urgent first."""
    return tuple(sorted((item for one in follow_ups for item in one.due), key=_order))


def due_now(items: Iterable[Due]) -> int:
    """Count what is to be done now."""
    return sum(item.is_now for item in items)


def _order(item: Due) -> tuple[int, bool, int, str, str]:
    day = (item.closes or item.opens).toordinal()
    # What is long past is asked for from the latest back: older clients are harder to reach.
    return (
        item.state.rank,
        not item.is_wanted,
        -day if item.state is DueState.PAST else day,
        item.piece_id,
        item.kind.value,
    )


def state_on(today: dt.date, opens: dt.date, closes: dt.date | None) -> DueState:
    """Say how urgent a span of days is on a day."""
    if opens > today:
        return DueState.SOON if add_days(opens, -SOON_DAYS) <= today else DueState.LATER
    if closes is None:
        return DueState.OPEN
    if closes < today:
        return DueState.PAST
    return DueState.CLOSING if add_days(closes, -CLOSING_DAYS) <= today else DueState.OPEN


def _touch_up_days(record: PieceRecord) -> list[dt.date]:
    return sorted(sitting.date for sitting in record.sitting if sitting.date and sitting.kind is SittingKind.TOUCH_UP)


def _looks(record: PieceRecord) -> tuple[Look, ...]:
    days = _touch_up_days(record)
    return tuple(
        Look(
            seen,
            days_between(record.finished_on, seen.date),
            next((day for day in days if seen.touch_up and seen.date and day >= seen.date), None),
        )
        for seen in sorted(record.healing, key=lambda seen: seen.date or dt.date.max)
    )


def _touch_up(record: PieceRecord, limits: Limits, today: dt.date) -> TouchUp:
    done = max(_touch_up_days(record), default=None)
    # A wish without its day counts from the end of the work.
    since = record.finished_on or today
    wanted = max((seen.date or since for seen in record.healing if seen.touch_up), default=None)
    if wanted and done and done >= wanted:
        wanted = None
    finished = record.finished_on
    opens = add_days(finished, limits.touch_up_from_days) if finished else None
    closes = add_days(finished, limits.touch_up_until_days) if finished else None
    state = state_on(today, opens, closes) if opens else None
    return TouchUp(opens, closes, state, wanted, None if wanted else done)


def _touch_up_due(piece_id: str, record: PieceRecord, touch_up: TouchUp) -> Due | None:
    since, opens, closes, state = touch_up.wanted_since, touch_up.opens, touch_up.closes, touch_up.state
    if since and opens is None:  # the usual days are not known, the wish is
        opens, state = since, DueState.OPEN
    if opens is None or state is None or touch_up.done_on:
        return None
    if since is None and (state is DueState.PAST or any(seen.date and seen.date >= opens for seen in record.healing)):
        # Nobody asked for one, and either it is too late or somebody looked.
        return None
    return Due(DueKind.TOUCH_UP, piece_id, record.client, opens, closes, state, since is not None, since)


def _healed_photo(piece_id: str, record: PieceRecord, limits: Limits, today: dt.date) -> Due | None:
    finished = record.finished_on
    if finished is None or any(photo.stage is Stage.HEALED for photo in record.photo) or _is_settled(record, today):
        return None
    opens = add_days(finished, limits.healed_after_days)
    closes = add_days(finished, max(limits.touch_up_until_days, limits.healed_after_days))
    return Due(DueKind.HEALED_PHOTO, piece_id, record.client, opens, closes, state_on(today, opens, closes))


def _is_settled(record: PieceRecord, today: dt.date) -> bool:
    """Say whether no healed photo will come, or one was asked for just now."""
    notes = {
        (seen.note or "").casefold(): seen.date
        for seen in sorted(record.healing, key=lambda seen: seen.date or dt.date.min)
    }
    asked = notes.get(ASKED_FOR_PHOTO)
    return NO_HEALED_PHOTO in notes or (asked is not None and today < add_days(asked, ASK_AGAIN_DAYS))


def _release(piece: Piece, record: PieceRecord, today: dt.date, *, required: bool) -> Due | None:
    release, ends = record.release, record.release.expires
    # An answer that is not understood is asked about by a finding.
    if not record.publish or is_withdrawn(release) or piece.written_release:
        return None
    if release.status is ReleaseStatus.NOT_ASKED and required:
        opens, ends = record.finished_on or today, None
    elif release.status is ReleaseStatus.GRANTED and ends and add_days(ends, -CLOSING_DAYS - SOON_DAYS) <= today:
        opens = add_days(ends, -CLOSING_DAYS)
    else:
        return None
    return Due(DueKind.RELEASE, piece.id, record.client, opens, None, state_on(today, opens, None), True, ends)
