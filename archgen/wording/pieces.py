"""Short words for people: placement, needles, days, marks. Views are made of them."""

import datetime as dt
from dataclasses import dataclass

from archgen.publication.decision import Publication
from archgen.publication.rights import Answer, RightKind, Rights, Ruling
from archgen.records.model import Placement, Release, ReleaseStatus, Side, Stage
from archgen.records.vocabulary import placements
from archgen.units import date_words

STAGE_WORDS = {
    Stage.IN_PROGRESS: "In progress",
    Stage.FRESH: "Fresh",
    Stage.HEALED: "Healed",
    None: "Stage not recorded",
}


@dataclass(frozen=True, slots=True)
class Mark:
    """A state: a shape of the theme, words beside it, and whether it asks something of the artist."""

    shape: str
    words: str
    asks: bool = False


def placement_words(placement: Placement) -> str | None:
    """Write "Outer forearm, left", the middle without a side; None when no place is recorded."""
    side = placement.side if placement.side is not Side.CENTRE else None
    return placements.placement_words(placement.region, side)


def count_words(number: int, one: str, many: str | None = None) -> str:
    """Write "1 piece" or "2 pieces"."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def day_words(day: dt.date | None) -> str | None:
    """Write a date, None when there is none."""
    return date_words(day) if day else None


def release_mark(release: Release, today: dt.date) -> Mark:
    """Give the state of the client's photo release."""
    if release.status is ReleaseStatus.GRANTED and release.expires and release.expires < today:
        return Mark("release-notasked", f"Release ended {date_words(release.expires)}", asks=True)
    return {
        ReleaseStatus.GRANTED: Mark("release-granted", "Release granted"),
        ReleaseStatus.NOT_ASKED: Mark("release-notasked", "Release not asked", asks=True),
        ReleaseStatus.REFUSED: Mark("release-refused", "Release refused"),
        ReleaseStatus.WITHDRAWN: Mark("release-withdrawn", "Release withdrawn"),
    }[release.status]


def references_mark(rights: tuple[Rights, ...]) -> Mark:
    """Give the state of all references of a piece together: the worst of them."""
    if not rights:
        return Mark("rights-recorded", "No references")
    missing = sum(not right.is_recorded for right in rights)
    if missing:
        return Mark("rights-missing", "Right missing" if missing == 1 else f"{missing} rights missing", asks=True)
    worst = max((right.show_piece for right in rights), key=lambda ruling: ruling.answer.rank)
    if worst.answer is Answer.NO:
        return Mark("rights-refused", "Reference not allowed")
    waiting = sum(right.show_piece.answer is Answer.HOLD for right in rights)
    if waiting:
        return Mark("rights-hold", f"{count_words(waiting, 'reference')}: ask first", asks=True)
    if all(right.kind is RightKind.OWN for right in rights):
        return Mark("rights-recorded", "Own drawing")
    return Mark("rights-recorded", "References recorded")


def ruling_mark(ruling: Ruling) -> Mark:
    """Give the answer to one use of one reference."""
    return {
        Answer.YES: Mark("rights-recorded", "Yes"),
        Answer.HOLD: Mark("rights-hold", "Ask first", asks=True),
        Answer.NO: Mark("rights-refused", "No"),
    }[ruling.answer]


def portfolio_words(publication: Publication) -> str:
    """Say in a few words whether the piece is in the portfolio."""
    if publication.shown:
        return "In the portfolio"
    return "Kept out of the portfolio" if publication.wanted else "Not meant for the portfolio"


def late_mark(expiry: dt.date | None, used: dt.date | None) -> Mark | None:
    """Mark what was used after its date; None when it was not, or a day is not known."""
    late = expiry is not None and used is not None and expiry < used
    return Mark("check-ask", "Past its date when used", asks=True) if late else None
