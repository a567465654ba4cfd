"""Short words for people: placement, needles, days, marks. Views are made of them."""

import datetime as dt
from collections.abc import Iterable
from typing import TYPE_CHECKING

from archgen.languages.house import say, say_all, say_count, say_in, to_say
from archgen.publication.decision import Publication
from archgen.publication.gate import Answer, RightKind
from archgen.publication.reference_rights import SourceNode
from archgen.publication.releases import has_ended, has_not_begun, is_withdrawn
from archgen.publication.rights import Ruling
from archgen.records.model import Photo, Piece, Placement, Release, ReleaseStatus, SittingKind, Stage, Stencil
from archgen.records.vocabulary import placements
from archgen.units import date_words, hours_words, size_words
from archgen.values.frozen import Value

if TYPE_CHECKING:
    from archgen.pieces.overview import PieceOverview
    from archgen.pieces.photos import PhotoOverview
    from archgen.pieces.versions import VersionOverview

STAGE_WORDS = {
    Stage.IN_PROGRESS: to_say("In progress"),
    Stage.FRESH: to_say("Fresh"),
    Stage.HEALED: to_say("Healed"),
    None: to_say("Stage not recorded"),
}
STAGES_WITHIN = {
    Stage.IN_PROGRESS: "in progress",
    Stage.FRESH: "fresh",
    Stage.HEALED: "healed",
}
SITTING_WORDS = {SittingKind.SITTING: to_say("Sitting"), SittingKind.TOUCH_UP: to_say("Touch-up")}
RELEASE_WORDS = {
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
    stage = f", {stage_within(photo.stage)}" if photo.stage else ""
    return photo.alt or f"{title}{stage}"


def stage_within(stage: Stage) -> str:
    """Write a stage within a sentence: "healed"."""
    return say_in("stage", STAGES_WITHIN[stage])


def day_words(day: dt.date | None) -> str | None:
    """Write a date, None when there is none."""
    return date_words(day) if day else None


def day_or_written(day: dt.date | None, written: str | None) -> str:
    """Write a date, else how it was written where it is not understood."""
    return date_words(day) if day else as_written_words(written) or say("Date not recorded")


def time_or_written(hours: float | None, written: str | None) -> str | None:
    """Write a time, else how it was written where it is not understood."""
    return hours_words(hours) if hours is not None else as_written_words(written)


def as_written_words(written: str | None) -> str | None:
    """Write a value that is not understood: "“wrist”, as written"; None where there is none."""
    if not written:
        return None
    return say("“{written}”, as written", written=unquoted(written))


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
        side = say_in("side", placement.side.value) if placement.side else side
    elif piece.place_as_written and placements.find_placement(piece.place_as_written).detail:
        # "inner calf" says more than the list's place for both sides of the calf.
        place = f"{place}, {as_written_words(piece.place_as_written)}"
    return (
        ", ".join(
            words for words in (place, say("Side {side}", side=side) if side and place is None else side) if words
        )
        or None
    )


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
        by_height = record.size.height is None
        return (
            say("{size}, height by the stencil", size=words)
            if by_height
            else say("{size}, width by the stencil", size=words)
        )
    written = [as_written_words(overview.piece.written(f"size.{side}")) for side in ("width", "height")]
    return ", ".join(part for part in (words, *written) if part) or None


def finished_words(overview: "PieceOverview") -> str | None:
    """Say when a piece was finished; the day of a photo is marked so."""
    if overview.record and overview.record.finished_on:
        return date_words(overview.record.finished_on)
    written = as_written_words(overview.piece.written("finished"))
    day = overview.proposed.finished
    return written or (say("{day}, from the photo", day=date_words(day)) if day else None)


def stage_words(photo: "PhotoOverview") -> str:
    """Say what a photo shows: "Fresh", "Healed, from the photo"."""
    words = say(STAGE_WORDS[photo.stage])
    return say("{stage}, from the photo", stage=words) if photo.is_stage_from_photo else words


def version_number(stencil: Stencil) -> str:
    """Write "Version 2"."""
    return (
        say("Version {version}", version=stencil.version) if stencil.version is not None else say("No version recorded")
    )


def version_size(version: "VersionOverview", units: str) -> str:
    """Write the printed size of a version's marks."""
    height = version.height_mm and round(version.height_mm)
    return size_words(version.stencil.width, height, units) or say("Width not recorded")


def visits_words(visits: tuple[int, int]) -> str:
    """Write "2 sittings, 1 touch-up"."""
    sittings, touch_ups = visits
    more = f", {say_count('{number} touch-up', '{number} touch-ups', touch_ups)}" if touch_ups else ""
    return say_count("{number} sitting", "{number} sittings", sittings) + more


def release_words(release: Release, today: dt.date, written: str | None = None) -> str:
    """Say how it stands with the client's photo release: "granted", "ended 3 May 2026".

    Args:
        release: The release.
        today: The day of the build.
        written: Its status as written, when that is not understood.
    """
    if written:
        return say("not understood ({written}, as written)", written=written)
    if is_withdrawn(release):
        return (
            say("withdrawn {day}", day=date_words(release.withdrawn))
            if release.withdrawn
            else say("withdrawn; date not recorded")
        )
    if release.status is ReleaseStatus.GRANTED and release.expires and has_ended(release, today):
        return say("ended {day}", day=date_words(release.expires))
    if release.status is ReleaseStatus.GRANTED and release.date and has_not_begun(release, today):
        return say("granted from {day}", day=date_words(release.date))
    return say_in("release", RELEASE_WORDS[release.status])


def release_mark(release: Release, today: dt.date, written: str | None = None) -> Mark:
    """Give the state of the client's photo release."""
    if is_withdrawn(release) and not written:
        return Mark("release-withdrawn", say("Release {how}", how=release_words(release, today)))
    is_open = has_ended(release, today) or has_not_begun(release, today)
    asks = bool(written) or release.status is ReleaseStatus.NOT_ASKED
    asks = asks or (is_open and release.status is ReleaseStatus.GRANTED)
    shape = "release-notasked" if asks else f"release-{release.status.value}"
    return Mark(shape, say("Release {how}", how=release_words(release, today, written)), asks)


def references_mark(publication: Publication) -> Mark:
    """Give the state of all references a piece rests on together: the worst of them."""
    rights = [right for right in publication.references if right.counts]
    rights += [right for _, right in publication.undescribed]
    if not rights:
        return Mark("rights-recorded", say("No references"))
    missing = sum(not right.is_recorded for right in rights)
    if missing:
        return Mark(
            "rights-missing",
            say("Right missing")
            if missing == 1
            else say_count("{number} right missing", "{number} rights missing", missing),
            asks=True,
        )
    worst = max((right.show_piece for right in rights), key=lambda ruling: ruling.answer.rank)
    if worst.answer is Answer.NO:
        return Mark("rights-refused", say("Reference not allowed"))
    waiting = sum(right.show_piece.answer is Answer.HOLD for right in rights)
    if waiting:
        return Mark(
            "rights-hold",
            say_count("{number} reference: ask first", "{number} references: ask first", waiting),
            asks=True,
        )
    if all(right.kind is RightKind.OWN for right in rights):
        return Mark("rights-recorded", say("Own drawing"))
    return Mark("rights-recorded", say("References recorded"))


def ruling_mark(ruling: Ruling) -> Mark:
    """Give the answer to one use of one reference."""
    return answer_mark(ruling.answer)


def answer_mark(answer: Answer) -> Mark:
    """Give an answer as a mark."""
    return {
        Answer.YES: Mark("rights-recorded", say("Yes")),
        Answer.HOLD: Mark("rights-hold", say("Ask first"), asks=True),
        Answer.NO: Mark("rights-refused", say("No")),
    }[answer]


def sources_words(nodes: Iterable[SourceNode]) -> str:
    """Write what a picture was made from: "a.jpg (CC BY 4.0) and b.jpg (own work, from c.jpg (in copyright))"."""
    return say_all([_source_words(node) for node in nodes])


def _source_words(node: SourceNode) -> str:
    name = node.name.rpartition("/")[2] or node.name
    if not node.sources:
        return f"{name} ({node.right})"
    return say("{name} ({right}, from {sources})", name=name, right=node.right, sources=sources_words(node.sources))


def portfolio_words(publication: Publication, *, is_there: bool | None = None) -> str:
    """Say in a few words whether the piece is in the portfolio; `is_there` is what its folder says."""
    if publication.shown and is_there is False:
        return say("Allowed, but the portfolio wasn't renewed")
    if is_there and not publication.shown:
        return say("Still in the portfolio")
    return _portfolio(publication)[0]


def portfolio_cell(publication: Publication) -> str:
    """Say the same where "Portfolio" stands above it."""
    return _portfolio(publication)[1]


def _portfolio(publication: Publication) -> tuple[str, str]:
    if publication.shown:
        return say("In the portfolio"), say("Shown")
    if publication.wanted:
        return say("Kept out of the portfolio"), say("Wanted, not shown")
    return say("Not meant for the portfolio"), say("Kept private")


def late_mark() -> Mark:
    """Give the mark of what was used after its date."""
    return Mark("check-ask", say("Past its date when used"), asks=True)
