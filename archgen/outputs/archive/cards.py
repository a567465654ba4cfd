"""The home page's list: every piece as a card, with all it is narrowed and sorted by."""

from collections.abc import Iterator

from archgen.findings import Severity
from archgen.languages.house import say, say_count, within
from archgen.outputs.archive.context import Context, thumbnail
from archgen.outputs.archive.lists import NOT_RECORDED, Card, CardList, ListEntry, Order, card_list, month_of
from archgen.outputs.reprints.stencil_reprint import print_path
from archgen.outputs.site_pages import PagePicture, picture
from archgen.pieces.missing import Missing
from archgen.pieces.overview import PieceOverview
from archgen.pieces.versions import VersionOverview
from archgen.records.model import PieceRecord, Placement
from archgen.units import hours_words
from archgen.wording.pieces import (
    Mark,
    photo_alt,
    place_of,
    placement_words,
    portfolio_words,
    references_mark,
    release_mark,
    size_on_skin,
)
from archgen.wording.ready_prints import short_print_words


def _orders() -> dict[str, Order]:
    return {
        "newest": Order("newest", say("Newest first"), say("newest first")),
        "oldest": Order("oldest", say("Oldest first"), say("oldest first")),
        "title": Order("title", say("By title"), say("by title")),
        "largest": Order("largest", say("Largest first"), say("largest first")),
        "longest": Order("longest", say("Most hours first"), say("most hours first")),
    }


def piece_list(context: Context) -> CardList[PieceOverview]:
    """Make the list of all pieces, newest first, broken ones last."""
    entries = [_piece_entry(context, overview) for overview in context.overviews.values()]
    groups = (
        ("placement", say("Placement")),
        ("style", say("Style")),
        ("needle", say("Needles")),
        ("state", say("State")),
        ("client", say("Client")),
    )
    return card_list(entries, groups, tuple(_orders().values()))


def _piece_entry(context: Context, overview: PieceOverview) -> ListEntry[PieceOverview]:
    record = overview.record
    card = piece_card(context, overview)
    if record is None:
        return ListEntry(
            card, overview, {"state": (say("broken record"),)}, dict.fromkeys(_orders(), (True, overview.id))
        )
    day = overview.finished_on
    traits: dict[str, tuple[str, ...]] = {
        "placement": (region_words(record),),
        "style": record.styles,
        "needle": tuple(sorted(_groupings(overview))),
        "state": tuple(_states(context, overview)),
        "client": (context.catalogue.people.code_of(record.client) if record.client else say(NOT_RECORDED),),
    }
    sorted_by = {
        "newest": (False, day is None, -day.toordinal() if day else 0, overview.id),
        "oldest": (False, day is None, day.toordinal() if day else 0, overview.id),
        "title": (False, record.title.lower(), overview.id),
        "largest": (False, -(card.longest_mm or 0), overview.id),
        "longest": (False, -(record.hours or 0), overview.id),
    }
    return ListEntry(card, overview, traits, sorted_by, month_of(day))


def piece_card(context: Context, overview: PieceOverview) -> Card:
    """Make the card of one piece."""
    href, piece = context.piece_pages[overview.id], overview.piece
    if record := overview.record:
        shown, drawing = _card_picture(overview)
        size = size_on_skin(overview, context.units)
        time = hours_words(record.hours) if record.hours is not None else None
        placement = place_of(piece)
        lines = (
            placement or say("Placement not recorded"),
            " · ".join(x for x in (size, time) if x) or say("Size not recorded"),
        )
        needles = ", ".join(use.needle.code for use in overview.needles)
        marks = (
            references_mark(overview.publication),
            release_mark(record.release, context.catalogue.built_on, overview.piece.written_release),
        )
        to_print = print_link(overview, overview.applied, context.units)
        return Card(
            href, record.title, shown, drawing, overview.longest_mm, lines, needles or None, marks, to_print=to_print
        )
    problems = len(context.catalogue.findings_of(overview.piece))
    lines = (
        say("The record cannot be read."),
        say_count("{number} problem to put right", "{number} problems to put right", problems),
    )
    mark = Mark("check-stop", say("Open it to see what to do"), asks=True)
    return Card(href, overview.id, thumbnail(overview, wanted_px=600), False, None, lines, None, (mark,), broken=True)


def print_link(overview: PieceOverview, version: VersionOverview | None, units: str) -> tuple[str, str] | None:
    """Give the print of a version that is asked for most, from the site's folder, and its words; None without one."""
    ready = next((one for one in overview.prints if one.name and version and one.stencil == version.stencil), None)
    return (f"../{print_path(ready)}", short_print_words(ready, units)) if ready else None


def _card_picture(overview: PieceOverview) -> tuple[PagePicture | None, bool]:
    if cover := overview.photos.cover:
        return thumbnail(overview, photo_alt(overview.title, cover.photo), wanted_px=600), False
    described = [version for version in overview.versions if version.is_described]
    version = overview.applied or (described[-1] if described else None)
    facts = version.facts if version else None
    return (
        (picture(facts.screen, say("Stencil of {title}", title=overview.title), wanted_px=600), True)
        if facts
        else (None, False)
    )


def region_words(record: PieceRecord) -> str:
    """Write the place without its side, as one narrows by it."""
    return within(placement_words(Placement(region=record.placement.region)) or say(NOT_RECORDED))


def _groupings(overview: PieceOverview) -> set[str]:
    """Find how the needles of a piece stand, those not understood as they are written."""
    readings = [reading for use in overview.needles for reading in use.readings]
    return {reading.grouping.value if reading.grouping else reading.text for reading in readings}


def _states(context: Context, overview: PieceOverview) -> Iterator[str]:
    yield within(portfolio_words(overview.publication, is_there=context.catalogue.is_in_portfolio(overview.id)))
    severities = {finding.severity for finding in context.catalogue.findings_of(overview.piece)}
    if Severity.ERROR in severities:
        yield say("something to put right")
    if Severity.WARNING in severities:
        yield say("something to ask")
    if overview.finished_on is None:
        yield say("no date")
    if overview.lacks(Missing.HEALED_PHOTO):
        yield say("no healed photo")
    if overview.follow_up.touch_up and overview.follow_up.touch_up.wanted_since:
        yield say("touch-up wanted")
    if any(use.bottle and use.bottle.recalled for use in overview.inks):
        yield say("ink under recall")
