"""List what is to be done after a piece: the healed photo, the touch-up, the photo release; knows records, not pages.

All day counts are settings whose defaults are studio practice, not medical advice.
"""

import datetime as dt
from dataclasses import dataclass
from enum import Enum

from archgen.catalogue import Catalogue
from archgen.records.model import Piece, PieceRecord, ReleaseStatus, SittingKind, Stage
from archgen.units import add_days, date_words

# Four weeks are enough to find a date with a client; common practice, no source.
CLOSING_DAYS = 28
SOON_DAYS = 28


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


@dataclass(frozen=True, slots=True)
class Due:
    """One thing to be done.

    Attributes:
        opens: The first day for it.
        closes: The last day for it; None when there is none.
        is_wanted: Whether the record says so, rather than only the calendar.
        words: What it is about, in a sentence.
    """

    kind: DueKind
    piece: Piece
    client: str | None
    opens: dt.date
    closes: dt.date | None
    state: DueState
    is_wanted: bool
    words: str

    @property
    def is_now(self) -> bool:
        """Say whether it can be done now; what was promised can be done late."""
        return self.state in (DueState.CLOSING, DueState.OPEN) or (self.is_wanted and self.state is DueState.PAST)


def due(catalogue: Catalogue) -> tuple[Due, ...]:
    """List everything to be done, the most urgent first."""
    found = [
        item
        for piece in catalogue.pieces
        if piece.record
        for item in (
            _healed_photo(piece, piece.record, catalogue),
            _touch_up(piece, piece.record, catalogue),
            _release(piece, piece.record, catalogue),
        )
        if item
    ]
    return tuple(sorted(found, key=_order))


def _order(item: Due) -> tuple[int, bool, int, str, str]:
    day = (item.closes or item.opens).toordinal()
    # What is long past is asked for from the latest back: older clients are harder to reach.
    return (
        item.state.rank,
        not item.is_wanted,
        -day if item.state is DueState.PAST else day,
        item.piece.id,
        item.kind.value,
    )


def state_on(today: dt.date, opens: dt.date, closes: dt.date | None) -> DueState:
    """Say how urgent a span of days is on a day."""
    if opens > today:
        return DueState.SOON if (opens - today).days <= SOON_DAYS else DueState.LATER
    if closes is None:
        return DueState.OPEN
    if closes < today:
        return DueState.PAST
    return DueState.CLOSING if (closes - today).days <= CLOSING_DAYS else DueState.OPEN


def _healed_photo(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Due | None:
    finished, limits = record.finished_on, catalogue.config.limits
    if finished is None or any(photo.stage is Stage.HEALED for photo in record.photo):
        return None
    opens = add_days(finished, limits.healed_after_days)
    closes = add_days(finished, max(limits.touch_up_until_days, limits.healed_after_days))
    state = state_on(catalogue.built_on, opens, closes)
    words = "There is no photo of the healed piece."
    return Due(DueKind.HEALED_PHOTO, piece, record.client, opens, closes, state, False, words)


def _touch_up(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Due | None:
    finished, limits = record.finished_on, catalogue.config.limits
    done = max((sitting.date for sitting in record.sitting if sitting.kind is SittingKind.TOUCH_UP), default=None)
    seen = max(record.healing, key=lambda seen: seen.date, default=None)
    wanted = max((seen.date for seen in record.healing if seen.touch_up), default=None)
    is_wanted = wanted is not None and (done is None or done < wanted)
    if finished is None or (done is not None and not is_wanted):
        return None
    opens, closes = add_days(finished, limits.touch_up_from_days), add_days(finished, limits.touch_up_until_days)
    state = state_on(catalogue.built_on, opens, closes)
    if is_wanted and wanted:
        words = f"A touch-up is wanted since {date_words(wanted)}."
    elif state is DueState.PAST or (seen is not None and seen.date >= opens):
        # Nobody asked for one, and either it is too late or somebody looked.
        return None
    else:
        words = "Nobody has looked yet whether a touch-up is wanted."
    return Due(DueKind.TOUCH_UP, piece, record.client, opens, closes, state, is_wanted, words)


def _release(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Due | None:
    release, today = record.release, catalogue.built_on
    if not record.publish:
        return None
    if release.status is ReleaseStatus.NOT_ASKED and catalogue.config.portfolio.require_release:
        opens, words = record.finished_on or today, "The client has not been asked for a photo release."
    elif release.status is ReleaseStatus.GRANTED and release.expires:
        opens, words = (
            add_days(release.expires, -CLOSING_DAYS),
            f"The photo release ends on {date_words(release.expires)}.",
        )
        if release.expires < today:
            words = f"The photo release ended on {date_words(release.expires)}."
        elif opens > add_days(today, SOON_DAYS):
            return None
    else:
        return None
    return Due(DueKind.RELEASE, piece, record.client, opens, None, state_on(today, opens, None), True, words)
