"""What would have to go when a person asks to be forgotten, what may have to be kept, and what is online. Only a plan.

What must be kept and for how long is decided by law and by the health authority of the place, not here: which batches
went into whose skin is what a recall is traced by.
"""

import datetime as dt
from collections.abc import Iterator

from archgen.catalogue import Catalogue
from archgen.doubles.paths import piece_of
from archgen.holdings.person import ClientRecords
from archgen.publication.decision import decide_all, waiting_for_copies
from archgen.records.model import Piece, PieceRecord
from archgen.records.registers import CLIENTS, TOLD
from archgen.values.frozen import Value
from archgen.wording.counts import count_words


class Going(Value, frozen=True):
    """A file that would go, or lines in one; `lines` is empty for the whole file."""

    path: str
    what: str
    lines: tuple[int, ...] = ()


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
        years: How long things are kept, as set; None: not set.
    """

    going: tuple[Going, ...]
    keeping: tuple[Keeping, ...]
    online: tuple[str, ...]
    years: int | None


def plan_removal(person: ClientRecords, catalogue: Catalogue) -> RemovalPlan:
    """List what would go, what may have to stay, and what is to be taken down."""
    # Without its pictures nobody knows whether a piece is shown; it may be, as far as the records say.
    online = {piece_of(path) for path in waiting_for_copies(catalogue, decide_all(catalogue))}
    years = catalogue.config.keep.years
    known = [(piece, piece.record) for piece in person.pieces if piece.record]
    going = [going for piece, record in known for going in _of_piece(piece, record)]
    if person.client:
        going.append(Going(CLIENTS, f"the table of {person.code}: name, contact, notes"))
    if person.told:
        going.append(Going(TOLD, f"that they were told of {count_words(len(person.told), 'recall')}"))
    keeping = tuple(keep for piece, record in known for keep in _kept(piece, record, years))
    shown = tuple(piece.title for piece in person.pieces if piece.id in online)
    return RemovalPlan(tuple(going), keeping, shown, years)


def _of_piece(piece: Piece, record: PieceRecord) -> Iterator[Going]:
    for path in piece.photos:
        yield Going(path, "photo of them")
    if record.release.file and record.release.file not in piece.missing:
        yield Going(f"{piece.folder}/{record.release.file}", "their release")
    if "client" in piece.lines:
        yield Going(piece.toml, "whose piece it is", (piece.lines["client"],))
    notes = [(f"sitting.{at}", one.note) for at, one in enumerate(record.sitting)]
    notes += [(f"healing.{at}", one.note) for at, one in enumerate(record.healing)]
    for table, note in notes:
        if note and (line := piece.lines.get(f"{table}.note")):
            yield Going(piece.toml, f"a note on a {table.partition('.')[0]}", (line,))
    if piece.notes:
        yield Going(f"{piece.folder}/notes.md", "your notes, which may speak of them")


def _kept(piece: Piece, record: PieceRecord, years: int | None) -> Iterator[Keeping]:
    last = record.last_worked_on
    until = _years_later(last, years) if last and years is not None else None
    if record.ink or record.needle:
        yield Keeping(piece.toml, "which inks and needles went into whose skin, for a recall", until)
    if record.release.file and record.release.file not in piece.missing:
        yield Keeping(f"{piece.folder}/{record.release.file}", "what they signed", until)
    if record.price.charged is not None:
        yield Keeping(piece.toml, "what was charged, for the tax office", until)


def _years_later(day: dt.date, years: int) -> dt.date:
    try:
        return day.replace(year=day.year + years)
    except ValueError:  # 29 February
        return day.replace(year=day.year + years, day=28)
