"""By what pieces, stencils, clients and batches are found: every word and figure shown or written of them."""

import datetime as dt
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from archgen.catalogue import Catalogue
from archgen.languages.house import say, say_in, to_say
from archgen.pieces.materials import NeedleUse
from archgen.pieces.missing import Missing
from archgen.pieces.overview import PieceOverview
from archgen.pieces.photos import PhotoOverview
from archgen.pieces.versions import VersionOverview
from archgen.plain_text import words_of
from archgen.records.model import Client, InkBatch, PieceRecord, Reference, SittingKind
from archgen.records.vocabulary.batch_numbers import number_keys
from archgen.searching.lines import SearchField, SearchLine, day_word, hours_word, length_word, make_lines, size_words
from archgen.searching.needles import needle_words
from archgen.tracing.book import BatchBook, BatchEntry, BatchKind, BatchUse
from archgen.units import date_words, hours_words, length_words
from archgen.wording.batches import kinds_words, product_words
from archgen.wording.pieces import (
    SITTING_WORDS,
    STAGE_WORDS,
    finished_words,
    place_of,
    portfolio_words,
    release_words,
    size_on_skin,
    version_number,
    version_size,
)

# What Markdown writes beside words.
_MARKS = re.compile(r"^\s*(?:[-+*]|#+|>)\s+|[*`]|(?<!\w)_|_(?!\w)")


def piece_lines(overview: PieceOverview, catalogue: Catalogue, book: BatchBook) -> tuple[SearchLine, ...]:
    """List by what a piece is found."""
    piece, record = overview.piece, overview.record
    found = [SearchLine(SearchField.TITLE, overview.title)]
    if record:
        found += _record_lines(overview, record, catalogue, book)
    found += make_lines(SearchField.NOTE, _sentences(piece.notes), say("Notes"))
    found += make_lines(SearchField.NOTE, _sentences(piece.story), say("Story"))
    found += make_lines(SearchField.NOTE, (piece.folder_name or piece.id,), say("Folder"))
    found += make_lines(SearchField.NOTE, _files(overview), say("File"))
    found += make_lines(SearchField.NOTE, (one.text for one in piece.as_written), "As written")
    return tuple(found)


def _sentences(markdown: str | None) -> Iterator[str]:
    """Give each paragraph and each item of a list, without the signs of Markdown."""
    for part in re.split(r"\n\s*(?:\n|(?=[-*+] ))", markdown or ""):
        yield _MARKS.sub("", part)


def _files(overview: PieceOverview) -> Iterator[str]:
    yield from (photo.photo.file for photo in overview.photos.shown)
    yield from (version.stencil.file for version in overview.versions)
    yield from (one.reference.file for one in overview.references if one.reference.file)


def _record_lines(
    overview: PieceOverview, record: PieceRecord, catalogue: Catalogue, book: BatchBook
) -> Iterator[SearchLine]:
    units = catalogue.config.archive.units
    yield from _place_lines(overview, record, units)
    yield from make_lines(SearchField.SUBJECT, (", ".join(record.subjects),))
    yield from make_lines(SearchField.STYLE, (", ".join(record.styles),))
    if record.client:
        yield _client_code(catalogue.people.code_of(record.client), record.client)
        if client := catalogue.client(record.client):
            yield from make_lines(SearchField.NAME, (client.name,), say("Client"))
            yield from make_lines(SearchField.NOTE, (client.note, client.notes), say("Client"))
    if size := size_on_skin(overview, units):
        yield SearchLine(SearchField.SIZE, size, size_words(overview.size.width_mm, overview.size.height_mm))
    if day := overview.finished_on:
        yield SearchLine(SearchField.DAY, finished_words(overview) or date_words(day), (day_word(day),))
    if record.hours is not None:
        yield SearchLine(SearchField.TIME, hours_words(record.hours), (hours_word(record.hours),))
    yield from _visit_lines(record)
    yield from (_needle_line(use) for use in overview.needles)
    yield from _number_lines(book.uses_by_piece.get(overview.id, ()), book)
    for ink in overview.inks:
        yield from make_lines(SearchField.INK, (_joined(ink.ink.maker, ink.ink.name, ink.ink.use),))
        yield from make_lines(SearchField.NOTE, (ink.bottle.note if ink.bottle else None,), say("Ink"))
    yield from _state_lines(overview, record, catalogue)
    for version in overview.versions:
        yield _version_line(version, units)
    yield from (_reference_line(reference) for reference in record.reference)
    yield from (_photo_line(photo) for photo in overview.photos.shown)


def _place_lines(overview: PieceOverview, record: PieceRecord, units: str) -> Iterator[SearchLine]:
    if place := place_of(overview.piece):
        yield SearchLine(SearchField.PLACE, place, _place_words(record, overview.piece.place_as_written))
    yield from make_lines(SearchField.NOTE, (record.placement.note,), say("Placement"))
    if girth := record.placement.girth:
        yield SearchLine(SearchField.NOTE, length_words(float(girth), units), (length_word(girth),), say("Girth"))


def _visit_lines(record: PieceRecord) -> Iterator[SearchLine]:
    for sitting in record.sitting:
        day, heading = sitting.date, say(SITTING_WORDS[sitting.kind])
        time = hours_words(sitting.hours) if sitting.hours is not None else None
        kind = heading if sitting.kind is SittingKind.TOUCH_UP else None
        also = (*_days(day), *((hours_word(sitting.hours),) if sitting.hours is not None else ()))
        yield SearchLine(SearchField.VISIT, _joined(_written(day), kind, time, sitting.note) or heading, also)
    for look in record.healing:
        wish = say("touch-up wanted") if look.touch_up else None
        if text := _joined(_written(look.date), look.note, wish):
            yield SearchLine(SearchField.VISIT, text, _days(look.date), say("Healing"))


def _needle_line(use: NeedleUse) -> SearchLine:
    read = [reading.words() for reading in use.readings]
    also = tuple(word for reading in use.readings for word in needle_words(reading))
    return SearchLine(SearchField.NEEDLE, _joined(use.needle.code, *read, use.needle.use), also)


def _number_lines(uses: Iterable[BatchUse], book: BatchBook) -> Iterator[SearchLine]:
    """List the numbers that a trace would find in a piece."""
    for use in uses:
        if use.batch:
            recalled = any(entry.recalled for entry in book.entries_of(use.batch, kind=use.kind))
            text = _joined(use.batch, kinds_words((use.kind,)), say("recalled") if recalled else None)
            yield SearchLine(SearchField.NUMBER, text, _number_words(use.batch), say("Batch"))


def _state_lines(overview: PieceOverview, record: PieceRecord, catalogue: Catalogue) -> Iterator[SearchLine]:
    portfolio = portfolio_words(overview.publication, is_there=catalogue.is_in_portfolio(overview.id))
    release = release_words(record.release, catalogue.built_on, overview.piece.written_release)
    told = (say("Release {state}", state=release), *record.release.scope, record.release.file, record.release.note)
    yield from make_lines(SearchField.STATE, (portfolio, _joined(*told)))
    if overview.follow_up.touch_up and overview.follow_up.touch_up.wanted_since:
        yield SearchLine(SearchField.STATE, say("Touch-up wanted"), ("@touch-up-wanted",))
    if overview.lacks(Missing.HEALED_PHOTO):
        # Not among what is found by "healed photo".
        yield SearchLine(SearchField.NOTE, say("No healed photo"), ("@no-healed-photo",))
    yield from make_lines(SearchField.NOTE, (record.rights_override.reason if record.rights_override else None,))
    yield from make_lines(SearchField.NOTE, (_joined(record.values.note, record.values.reference),), say("Tones"))


def _version_line(version: VersionOverview, units: str) -> SearchLine:
    stencil = version.stencil
    skin = say("on the skin") if version.is_applied else None
    told = (version_number(stencil), version_size(version, units), skin, stencil.held, stencil.note)
    return SearchLine(SearchField.STENCIL, _joined(*told), _sides(version))


def _reference_line(reference: Reference) -> SearchLine:
    whose = (
        reference.creator,
        reference.license,
        reference.source,
        reference.ai_system,
        reference.file,
        reference.note,
    )
    rests_on = (reference.permission, reference.rights_url, reference.ai_terms, reference.digital_source)
    return SearchLine(SearchField.REFERENCE, _joined(*whose, *rests_on, *reference.made_from) or say("Not described"))


def _photo_line(photo: PhotoOverview) -> SearchLine:
    told = (say(STAGE_WORDS[photo.stage]), _written(photo.taken), photo.photo.alt, photo.kept_out)
    return SearchLine(SearchField.PHOTO, _joined(*told), _days(photo.taken))


def stencil_lines(version: VersionOverview, units: str) -> tuple[SearchLine, ...]:
    """List by what a stencil is found beside what its piece is found by."""
    stencil = version.stencil
    number = (f"^{stencil.version}",) if stencil.version is not None else ()
    skin = say("on the skin") if version.is_applied else say("not used")
    hand = "stored mirrored" if stencil.mirrored else None
    found = [
        SearchLine(SearchField.VERSION, _joined(version_number(stencil), skin, hand), (*number, "stencil")),
        SearchLine(SearchField.SIZE, version_size(version, units), _sides(version)),
        *make_lines(SearchField.STENCIL, (stencil.held,), say_in("stencil", "Held")),
        *make_lines(SearchField.STENCIL, (stencil.note,), say("Note")),
        *make_lines(SearchField.NOTE, (stencil.file,), say("File")),
    ]
    return tuple(found)


def client_lines(code: str, client: Client | None, titles: Iterable[str]) -> tuple[SearchLine, ...]:
    """List by what a client is found."""
    found = [replace(_client_code(code, code), field=SearchField.TITLE, heading=say("Client"))]
    if client:
        found += make_lines(SearchField.TITLE, (client.name,), say("Name"))
        found += make_lines(SearchField.NAME, (client.contact,), say("Contact"))
        found += make_lines(SearchField.STATE, (client.note, client.notes), say("Note"))
    found += make_lines(SearchField.NOTE, (" · ".join(titles),), say("Pieces"))
    return tuple(found)


def batch_lines(number: str, bottle: InkBatch | None, book: BatchBook) -> tuple[SearchLine, ...]:
    """List by what a batch is found."""
    entries, uses = book.entries_of(number), book.uses_of(number)
    both: tuple[BatchEntry | BatchUse, ...] = (*entries, *uses)
    kinds = dict.fromkeys(one.kind for one in both)
    also = tuple(word for text in book.spellings(number) for word in _number_words(text))
    found = [SearchLine(SearchField.TITLE, _joined(number, kinds_words(tuple(kinds))), also, say("Batch"))]
    names = dict.fromkeys(product_words(one.maker, one.name) for one in both)
    # A box is called like its needles, whose pieces are looked for more often.
    found += make_lines(SearchField.NAME if BatchKind.INK in kinds else SearchField.STATE, names, say("Name"))
    for entry in entries:
        dated = (
            (SearchField.TITLE, to_say("Recalled {day}"), entry.recalled),
            (SearchField.NOTE, to_say("Expires {day}"), entry.expiry),
            (SearchField.NOTE, to_say("Opened {day}"), entry.opened),
        )
        for field, words, day in dated:
            if day:
                text = say(words, day=date_words(day))
                found.append(SearchLine(field, text, (day_word(day),), say("Register")))
    found += make_lines(SearchField.NOTE, (bottle.note if bottle else None,), say("Note"))
    found += make_lines(SearchField.NOTE, dict.fromkeys(use.piece.title for use in uses), say("Used in"))
    return tuple(found)


def _client_code(code: str, written: str) -> SearchLine:
    keys = {f"#{key}" for text in (code, written) for key in number_keys(text)}
    return SearchLine(SearchField.CLIENT, code, tuple(sorted(keys)))


def _number_words(number: str) -> tuple[str, ...]:
    return tuple(sorted(f"#{key}" for key in number_keys(number)))


def _place_words(record: PieceRecord, as_written: str | None) -> tuple[str, ...]:
    region = (f"@{record.placement.region}",) if record.placement.region else ()
    side = (f"@{record.placement.side.value}",) if record.placement.side else ()
    return (*region, *side, *words_of(as_written or "").split())


def _sides(version: VersionOverview) -> tuple[str, ...]:
    return size_words(version.stencil.width, version.height_mm)


def _days(day: dt.date | None) -> tuple[str, ...]:
    return (day_word(day),) if day else ()


def _written(day: dt.date | None) -> str | None:
    return date_words(day) if day else None


def _joined(*texts: str | None) -> str:
    return " · ".join(dict.fromkeys(text for text in texts if text))
