"""Short words for people: placement, needles, days, marks. Views are made of them."""

import datetime as dt
from collections.abc import Iterable
from typing import TYPE_CHECKING

from archgen.publication.decision import Publication
from archgen.publication.gate import Answer, RightKind
from archgen.publication.reference_rights import SourceNode
from archgen.publication.releases import has_ended, has_not_begun, is_withdrawn
from archgen.publication.rights import Ruling
from archgen.records.model import Photo, Piece, Placement, Release, ReleaseStatus, SittingKind, Stage, Stencil
from archgen.records.vocabulary import placements
from archgen.units import date_words, hours_words, size_words
from archgen.values.frozen import Value
from archgen.wording.counts import count_words

if TYPE_CHECKING:
    from archgen.pieces.overview import PieceOverview
    from archgen.pieces.photos import PhotoOverview
    from archgen.pieces.versions import VersionOverview

STAGE_WORDS = {
    Stage.IN_PROGRESS: "In progress",
    Stage.FRESH: "Fresh",
    Stage.HEALED: "Healed",
    None: "Stage not recorded",
}
SITTING_WORDS = {SittingKind.SITTING: "Sitting", SittingKind.TOUCH_UP: "Touch-up"}
_RELEASE_WORDS = {
    ReleaseStatus.GRANTED: "granted",
    ReleaseStatus.NOT_ASKED: "not asked",
    ReleaseStatus.REFUSED: "refused",
    ReleaseStatus.WITHDRAWN: "withdrawn",
}


class Mark(Value, frozen=True):
    """A state: a shape of the theme, words beside it, and whether it asks something of the artist."""

    shape: str
    words: str
    asks: bool = False


def placement_words(placement: Placement) -> str | None:
    """Write "Outer forearm, left"; None when no place is recorded."""
    return placements.placement_words(placement.region, placement.side)


def photo_alt(title: str, photo: Photo) -> str:
    """Give the words for those who do not see a photo."""
    stage = f", {STAGE_WORDS[photo.stage].lower()}" if photo.stage else ""
    return photo.alt or f"{title}{stage}"


def day_words(day: dt.date | None) -> str | None:
    """Write a date, None when there is none."""
    return date_words(day) if day else None


def day_or_written(day: dt.date | None, written: str | None) -> str:
    """Write a date, else how it was written where it is not understood."""
    return date_words(day) if day else as_written_words(written) or "Date not recorded"


def time_or_written(hours: float | None, written: str | None) -> str | None:
    """Write a time, else how it was written where it is not understood."""
    return hours_words(hours) if hours is not None else as_written_words(written)


def as_written_words(written: str | None) -> str | None:
    """Write a value that is not understood: "“wrist”, as written"; None where there is none."""
    if not written:
        return None
    return f"“{unquoted(written)}”, as written"


def unquoted(written: str) -> str:
    """Give a value as it stands in a record without the quotes round it."""
    return written[1:-1] if len(written) > 1 and written[0] == written[-1] == '"' else written


def place_of(piece: Piece) -> str | None:
    """Say where a piece is, as it was written where that is not understood; None when no place is recorded."""
    if piece.record is None:
        return None
    placement = piece.record.placement
    place, side = placement_words(placement), as_written_words(piece.written("placement.side"))
    if place is None:
        place = as_written_words(piece.written("placement.region"))
        side = placement.side.value if placement.side else side
    elif piece.place_as_written and placements.find_placement(piece.place_as_written).detail:
        # "inner calf" says more than the list's place for both sides of the calf.
        place = f"{place}, {as_written_words(piece.place_as_written)}"
    return ", ".join(words for words in (place, f"Side {side}" if side and place is None else side) if words) or None


def size_on_skin(overview: "PieceOverview", units: str) -> str | None:
    """Say how large a piece is: "90 × 120 mm, height by the stencil"; None when no size is recorded."""
    size, record = overview.size, overview.record
    # A side that follows from another is known to the millimetre at best.
    sides = [
        side and round(side, 0 if size.is_by_stencil and units == "mm" else 4)
        for side in (size.width_mm, size.height_mm)
    ]
    words = size_words(sides[0], sides[1], units)
    if words and size.is_by_stencil and record:
        return f"{words}, {'height' if record.size.height is None else 'width'} by the stencil"
    written = [as_written_words(overview.piece.written(f"size.{side}")) for side in ("width", "height")]
    return ", ".join(part for part in (words, *written) if part) or None


def finished_words(overview: "PieceOverview") -> str | None:
    """Say when a piece was finished; the day of a photo is marked so."""
    if overview.record and overview.record.finished_on:
        return date_words(overview.record.finished_on)
    written = as_written_words(overview.piece.written("finished"))
    day = overview.proposed.finished
    return written or (f"{date_words(day)}, from the photo" if day else None)


def stage_words(photo: "PhotoOverview") -> str:
    """Say what a photo shows: "Fresh", "Healed, from the photo"."""
    return STAGE_WORDS[photo.stage] + (", from the photo" if photo.is_stage_from_photo else "")


def version_number(stencil: Stencil) -> str:
    """Write "Version 2"."""
    return f"Version {stencil.version}" if stencil.version is not None else "No version recorded"


def version_size(version: "VersionOverview", units: str) -> str:
    """Write the printed size of a version's marks."""
    height = version.height_mm and round(version.height_mm)
    return size_words(version.stencil.width, height, units) or "Width not recorded"


def visits_words(visits: tuple[int, int]) -> str:
    """Write "2 sittings, 1 touch-up"."""
    sittings, touch_ups = visits
    more = f", {count_words(touch_ups, 'touch-up')}" if touch_ups else ""
    return count_words(sittings, "sitting") + more


def release_words(release: Release, today: dt.date, written: str | None = None) -> str:
    """Say how it stands with the client's photo release: "granted", "ended 3 May 2026".

    Args:
        release: The release.
        today: The day of the build.
        written: Its status as written, when that is not understood.
    """
    if written:
        return f"not understood ({written}, as written)"
    if is_withdrawn(release):
        return f"withdrawn {date_words(release.withdrawn)}" if release.withdrawn else "withdrawn; date not recorded"
    if release.status is ReleaseStatus.GRANTED and release.expires and has_ended(release, today):
        return f"ended {date_words(release.expires)}"
    if release.status is ReleaseStatus.GRANTED and release.date and has_not_begun(release, today):
        return f"granted from {date_words(release.date)}"
    return _RELEASE_WORDS[release.status]


def release_mark(release: Release, today: dt.date, written: str | None = None) -> Mark:
    """Give the state of the client's photo release."""
    if is_withdrawn(release) and not written:
        return Mark("release-withdrawn", f"Release {release_words(release, today)}")
    is_open = has_ended(release, today) or has_not_begun(release, today)
    asks = bool(written) or release.status is ReleaseStatus.NOT_ASKED
    asks = asks or (is_open and release.status is ReleaseStatus.GRANTED)
    shape = "release-notasked" if asks else f"release-{release.status.value}"
    return Mark(shape, f"Release {release_words(release, today, written)}", asks)


def references_mark(publication: Publication) -> Mark:
    """Give the state of all references a piece rests on together: the worst of them."""
    rights = [right for right in publication.references if right.counts]
    rights += [right for _, right in publication.undescribed]
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
    return answer_mark(ruling.answer)


def answer_mark(answer: Answer) -> Mark:
    """Give an answer as a mark."""
    return {
        Answer.YES: Mark("rights-recorded", "Yes"),
        Answer.HOLD: Mark("rights-hold", "Ask first", asks=True),
        Answer.NO: Mark("rights-refused", "No"),
    }[answer]


def sources_words(nodes: Iterable[SourceNode]) -> str:
    """Write what a picture was made from: "a.jpg (CC BY 4.0) and b.jpg (own work, from c.jpg (in copyright))"."""
    return " and ".join(
        f"{node.name.rpartition('/')[2] or node.name} ({node.right}"
        + (f", from {sources_words(node.sources)})" if node.sources else ")")
        for node in nodes
    )


def portfolio_words(publication: Publication, *, is_there: bool | None = None) -> str:
    """Say in a few words whether the piece is in the portfolio; `is_there` is what its folder says."""
    if publication.shown and is_there is False:
        return "Allowed, but the portfolio wasn't renewed"
    if is_there and not publication.shown:
        return "Still in the portfolio"
    return _portfolio(publication)[0]


def portfolio_cell(publication: Publication) -> str:
    """Say the same where "Portfolio" stands above it."""
    return _portfolio(publication)[1]


def _portfolio(publication: Publication) -> tuple[str, str]:
    if publication.shown:
        return "In the portfolio", "Shown"
    if publication.wanted:
        return "Kept out of the portfolio", "Wanted, not shown"
    return "Not meant for the portfolio", "Kept private"


# What was used after its date.
LATE = Mark("check-ask", "Past its date when used", asks=True)
