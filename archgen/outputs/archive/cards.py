"""The home page's list: every piece as a card, with all it is found, narrowed and sorted by."""

from collections.abc import Iterator

from archgen.findings import Severity
from archgen.outputs.archive.context import Context, photo_alt
from archgen.outputs.archive.lists import NOT_RECORDED, Card, CardList, ListEntry, Order, card_list, fold, texts_of
from archgen.outputs.site_pages import PagePicture, picture
from archgen.records.model import Piece, PieceRecord, Placement, Stage
from archgen.records.vocabulary.needles import read_needles
from archgen.units import hours_words, size_words
from archgen.wording.pieces import (
    Mark,
    count_words,
    placement_words,
    portfolio_words,
    references_mark,
    release_mark,
)

_ORDERS = {
    "newest": Order("newest", "Newest first", "newest first"),
    "oldest": Order("oldest", "Oldest first", "oldest first"),
    "title": Order("title", "By title", "by title"),
    "largest": Order("largest", "Largest first", "largest first"),
    "longest": Order("longest", "Most hours first", "most hours first"),
}


def piece_list(context: Context) -> CardList:
    """Make the list of all pieces, newest first, broken ones last."""
    entries = [_piece_entry(context, piece) for piece in context.catalogue.pieces]
    groups = (
        ("placement", "Placement"),
        ("size", "Size, longest side"),
        ("style", "Style"),
        ("needle", "Needles"),
        ("year", "Year"),
        ("state", "State"),
        ("client", "Client"),
    )
    return card_list(entries, groups, tuple(_ORDERS.values()))


def _piece_entry(context: Context, piece: Piece) -> ListEntry:
    record = piece.record
    card = piece_card(context, piece)
    if record is None:
        words = fold((piece.id, piece.notes or "", piece.story or ""))
        return ListEntry(card, words, {"state": ("broken record",)}, dict.fromkeys(_ORDERS, (True, piece.id)))
    day = record.finished_on
    traits: dict[str, tuple[str, ...]] = {
        "placement": (region_words(record),),
        "size": (size_class(card.longest_mm),),
        "style": record.styles,
        "needle": tuple(sorted(_groupings(record))),
        "year": (str(day.year) if day else NOT_RECORDED,),
        "state": tuple(_states(context, piece, record)),
        "client": (record.client or NOT_RECORDED,),
    }
    sorted_by = {
        "newest": (False, day is None, -day.toordinal() if day else 0, piece.id),
        "oldest": (False, day is None, day.toordinal() if day else 0, piece.id),
        "title": (False, record.title.lower(), piece.id),
        "largest": (False, -(card.longest_mm or 0), piece.id),
        "longest": (False, -(record.hours or 0), piece.id),
    }
    return ListEntry(card, fold(_piece_texts(context, piece, record)), traits, sorted_by)


def piece_card(context: Context, piece: Piece) -> Card:
    """Make the card of one piece."""
    href = context.piece_pages[piece.id]
    if record := piece.record:
        shown, drawing = _card_picture(context, piece, record)
        size = size_words(record.size.width, record.size.height, context.units)
        time = hours_words(record.hours) if record.hours is not None else None
        placement = placement_words(record.placement)
        lines = (placement or "Placement not recorded", " · ".join(x for x in (size, time) if x) or "Size not recorded")
        needles = ", ".join(needle.code for needle in record.needle)
        publication = context.publications[piece.id]
        marks = (references_mark(publication.references), release_mark(record.release, context.catalogue.built_on))
        longest = max((side for side in (record.size.width, record.size.height) if side), default=None)
        return Card(href, record.title, shown, drawing, longest, lines, needles or None, marks)
    problems = len(context.catalogue.findings_of(piece))
    lines = ("The record cannot be read.", f"{count_words(problems, 'problem')} to mend")
    mark = Mark("check-stop", "Open it to see what to do", asks=True)
    return Card(href, piece.id, context.thumbnail(piece, wanted_px=600), False, None, lines, None, (mark,), broken=True)


def _card_picture(context: Context, piece: Piece, record: PieceRecord) -> tuple[PagePicture | None, bool]:
    photo = context.cover(piece)
    if photo:
        return context.thumbnail(piece, photo_alt(piece, photo), wanted_px=600), False
    stencil = record.applied_stencil or (record.stencil[-1] if record.stencil else None)
    facts = context.facts(piece, stencil.file) if stencil else None
    return (picture(facts.screen, f"Stencil of {piece.title}", wanted_px=600), True) if facts else (None, False)


def region_words(record: PieceRecord) -> str:
    """Write the place without its side, as one narrows by it."""
    return (placement_words(Placement(region=record.placement.region)) or NOT_RECORDED).lower()


def size_class(longest_mm: float | None) -> str:
    """Sort a longest side into one of four classes."""
    if longest_mm is None:
        return NOT_RECORDED
    for limit, words in ((50, "under 50 mm"), (100, "50 to 100 mm"), (200, "100 to 200 mm")):
        if longest_mm < limit:
            return words
    return "200 mm and over"


def _groupings(record: PieceRecord) -> set[str]:
    """Find how the needles of a piece stand, those not understood as they are written."""
    readings = [reading for needle in record.needle for reading in read_needles(needle.code)]
    return {reading.grouping.value if reading.grouping else reading.text for reading in readings}


def _states(context: Context, piece: Piece, record: PieceRecord) -> Iterator[str]:
    yield portfolio_words(context.publications[piece.id]).lower()
    severities = {finding.severity for finding in context.catalogue.findings_of(piece)}
    if Severity.ERROR in severities:
        yield "something to mend"
    if Severity.WARNING in severities:
        yield "something to ask"
    if not any(photo.stage is Stage.HEALED for photo in record.photo):
        yield "no healed photo"
    if record.healing and record.healing[-1].touch_up:
        yield "touch-up wanted"
    if any(ink.batch and _is_recalled(context, ink.batch) for ink in record.ink):
        yield "ink under recall"


def _is_recalled(context: Context, batch: str) -> bool:
    known = context.catalogue.bottle(batch)
    return known is not None and known.recalled is not None


def _piece_texts(context: Context, piece: Piece, record: PieceRecord) -> Iterator[str]:
    yield from texts_of(record)
    yield from (text for text in (piece.id, piece.notes, piece.story, placement_words(record.placement)) if text)
    yield from (reading.words() for needle in record.needle for reading in read_needles(needle.code))
    for ink in record.ink:
        if ink.batch and (known := context.catalogue.bottle(ink.batch)):
            yield from (text for text in (known.name, known.maker, known.note) if text)
    if record.client and (client := context.catalogue.clients.get(record.client)):
        yield from (text for text in (client.name, client.note, client.notes) if text)
