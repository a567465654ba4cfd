"""What would have to go when a person asks to be forgotten, what may have to be kept, and what is online. Only a plan.

What must be kept and for how long is decided by law and by the health authority of the place, not here: which batches
went into whose skin is what a recall is traced by.
"""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import msgspec

from archgen.catalogue import Catalogue
from archgen.doubles.paths import piece_of
from archgen.holdings.going import Going
from archgen.holdings.mentions import where_named
from archgen.holdings.person import ClientRecords, values_of_others, values_of_person
from archgen.holdings.raw import is_there, raw_statements, tables_with
from archgen.holdings.shared_pictures import SharedPicture, naming_file, shared_pictures
from archgen.languages.house import say
from archgen.leaks.search import LeakSearch
from archgen.publication.decision import decide_all, waiting_for_copies
from archgen.records.model import Likeness, Piece, PieceRecord
from archgen.records.registers import CLIENTS, TOLD
from archgen.toml.statements import Way
from archgen.values.frozen import Value
from archgen.writing.record_text import RemoveKey, SetKey


class Keeping(Value, frozen=True):
    """What may have to be kept.

    Attributes:
        until: By the years that are set, from the last day worked; None where none are set or no day is known.
    """

    path: str
    what: str
    until: dt.date | None


class RemovalPlan(Value, frozen=True):
    """The plan.

    Attributes:
        online: Titles of pieces that the portfolio may show.
        by_hand: What names them and only a hand can change.
        years: How long things are kept, as set; None: not set.
    """

    going: tuple[Going, ...]
    keeping: tuple[Keeping, ...]
    online: tuple[str, ...]
    by_hand: tuple[str, ...]
    years: int | None


def plan_removal(person: ClientRecords, catalogue: Catalogue) -> RemovalPlan:
    """List what would go, what may have to stay, and what is to be taken down; only reads."""
    # Without its pictures nobody knows whether a piece is shown; it may be, as far as the records say.
    decided = decide_all(catalogue)
    online = {piece_of(path) for path in waiting_for_copies(catalogue, decided)}
    online |= {piece for piece, publication in decided.items() if publication.shown}
    years = catalogue.config.keep.years
    known = [(piece, piece.record) for piece in person.pieces if piece.record]
    keeping = tuple(keep for piece, record in known for keep in _kept(piece, record, years))
    going = [going for piece, record in known for going in _of_piece(piece, record, catalogue.config.root)]
    going += [
        Going(piece.toml, say("taken out of your portfolio (publish = false)"), (piece.line("publish") or 1,),
              edits=((piece.toml, SetKey(("publish",), False)),))
        for piece, _ in known
        if piece.id in online
    ]  # fmt: skip
    going += (*_of_designs(person), *_of_registers(person, catalogue))
    others = LeakSearch(values_of_others(catalogue, person))
    going = [_with_care(one, person, others, keeping) for one in going]
    shared = shared_pictures(person, catalogue, [one.path for one in going if one.is_file])
    going = [_also_of_others(one, shared) for one in going] + [
        Going(
            one.copy,
            say("the same picture, filed for somebody else too"),
            is_file=True,
            edits=one.edits,
            care=one.words,
        )
        for one in shared
    ]
    known_ways, other_ways = _sorted_out(catalogue.config.root, going)
    named = where_named(catalogue, LeakSearch(values_of_person(catalogue, person)), known_ways)
    shown = tuple(piece.title for piece in person.pieces if piece.id in online)
    told = tuple(_perhaps_of_others(one, others) for one in named.going)
    return RemovalPlan((*known_ways, *told), keeping, shown, (*other_ways, *named.by_hand), years)


def _perhaps_of_others(one: Going, others: LeakSearch) -> Going:
    """Say where a sentence names somebody else too: it may be about them alone."""
    care = say("It names somebody else too, or alone: read it.") if others.in_text(one.shown) else ""
    return msgspec.structs.replace(one, care=care)


def _sorted_out(root: Path, going: list[Going]) -> tuple[tuple[Going, ...], tuple[str, ...]]:
    """Part what can be taken out by us from lines that are written in a way only a hand can change."""
    read = {path: raw_statements(root, path) for path in {path for one in going for path, _ in one.edits}}
    odd = [
        one
        for one in going
        if any(isinstance(edit, RemoveKey) and not is_there(read[path], edit.way) for path, edit in one.edits)
    ]
    return tuple(one for one in going if one not in odd), tuple(f"{one.where}: {one.what}" for one in odd)


_WHOSE: Way = ("client",)


def _of_piece(piece: Piece, record: PieceRecord, root: Path) -> Iterator[Going]:
    for path in piece.photos:
        yield Going(path, say("photo of them"), is_file=True, edits=naming_file(root, piece, path))
    if record.release.file and record.release.file not in piece.missing:
        path = f"{piece.folder}/{record.release.file}"
        yield Going(path, say("their release"), is_file=True, edits=naming_file(root, piece, path))
    for reference in record.reference:
        if reference.likeness is Likeness.CLIENT and reference.file and reference.file not in piece.missing:
            path = f"{piece.folder}/{reference.file}"
            yield Going(path, say("a reference that shows them"), is_file=True, edits=naming_file(root, piece, path))
    keys: list[tuple[Way, str, str | None]] = [(_WHOSE, say("whose piece it is"), None)]
    keys += [(("sitting", at, "note"), say("a note on a sitting"), one.note) for at, one in enumerate(record.sitting)]
    keys += [(("healing", at, "note"), say("a note on a healing"), one.note) for at, one in enumerate(record.healing)]
    keys += [
        (("stencil", at, "held"), say("how the stencil stayed on their skin"), one.held)
        for at, one in enumerate(record.stencil)
    ]
    keys += [(("placement", "note"), say("a note on the place"), record.placement.note)]
    keys += [(("placement", "girth"), say("a measure of their body"), None)]
    keys += [(("release", "note"), say("a note on their release"), record.release.note)]
    for way, what, shown in keys:
        if line := piece.lines.get(".".join(map(str, way))):
            yield Going(piece.toml, what, (line,), edits=((piece.toml, RemoveKey(way)),), shown=shown or "")
    if piece.notes:
        yield Going(f"{piece.folder}/notes.md", say("your notes, which may speak of them"), is_file=True)


def _of_designs(person: ClientRecords) -> Iterator[Going]:
    for design in person.designs:
        for key, what in (("holder", say("that a design is held for them")), ("note", say("a note on that design"))):
            if line := design.lines.get(key):
                yield Going(design.toml, what, (line,), edits=((design.toml, RemoveKey((key,))),))


def _of_registers(person: ClientRecords, catalogue: Catalogue) -> Iterator[Going]:
    root, code_of = catalogue.config.root, catalogue.people.code_of
    for edit in tables_with(root, CLIENTS, "code", lambda code: code_of(code) == person.code):
        yield Going(
            CLIENTS, say("the table of {code}: name, contact, notes", code=person.code), edits=((CLIENTS, edit),)
        )
    for edit in tables_with(root, TOLD, "client", lambda code: code_of(code) == person.code):
        yield Going(TOLD, say("that they were told of 1 recall"), edits=((TOLD, edit),))


def _with_care(one: Going, person: ClientRecords, others: LeakSearch, keeping: tuple[Keeping, ...]) -> Going:
    """Say why to think twice: it may have to stay, or somebody else is in it."""
    cares = [
        say("It may have to stay: {what}.", what=keep.what) for keep in keeping if keep.path == one.path and one.is_file
    ]
    is_whose = any(edit.way == _WHOSE for _, edit in one.edits)
    if is_whose and any(keep.path == one.path for keep in keeping):
        cares.append(say("Without it nobody can say in a recall whose skin its inks are in."))
    if one.path == TOLD:
        cares.append(say("It is your proof that they were told."))
    if one.is_file and others.in_text(" \n ".join((one.path.rpartition("/")[2], *_said_of(one, person)))):
        cares.append(say("Its name or what is said of it names somebody else: two people may be in it."))
    return msgspec.structs.replace(one, care=" ".join(cares)) if cares else one


def _said_of(one: Going, person: ClientRecords) -> Iterator[str]:
    for piece in person.pieces:
        if piece.record:
            yield from (photo.alt for photo in piece.record.photo if photo.alt and one.path.endswith(f"/{photo.file}"))


def _also_of_others(one: Going, shared: tuple[SharedPicture, ...]) -> Going:
    words = next((two.words for two in shared if two.path == one.path), "")
    return msgspec.structs.replace(one, care=f"{one.care} {words}".strip()) if words else one


def _kept(piece: Piece, record: PieceRecord, years: int | None) -> Iterator[Keeping]:
    last = record.last_worked_on
    until = _years_later(last, years) if last and years is not None else None
    if record.ink or record.needle:
        yield Keeping(piece.toml, say("which inks and needles went into whose skin, for a recall"), until)
    if record.release.file and record.release.file not in piece.missing:
        yield Keeping(f"{piece.folder}/{record.release.file}", say("what they signed"), until)
    if record.price.charged is not None:
        yield Keeping(piece.toml, say("what was charged, for the tax office"), until)


def _years_later(day: dt.date, years: int) -> dt.date:
    try:
        return day.replace(year=day.year + years)
    except ValueError:  # 29 February
        return day.replace(year=day.year + years, day=28)
