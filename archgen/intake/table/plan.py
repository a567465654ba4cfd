"""What a table becomes: new pieces, rows that are filed already, rows that wait for an answer; nothing is written."""

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from archgen.errors import UsageError
from archgen.intake.names import fold, free_name, slug
from archgen.intake.table.cells import RowQuestion, RowValues, is_day_first, read_day, values_of
from archgen.intake.table.clients import ClientCodes, NewClient
from archgen.intake.table.headings import Column, MappedColumn
from archgen.intake.table.record import record_of
from archgen.intake.table.sheet import ListedSheet, cell_text
from archgen.languages.house import say
from archgen.plain_text import words_of
from archgen.records.model import Piece


@dataclass(frozen=True, slots=True)
class NewRow:
    """A row that becomes a piece: its folder below pieces/, its record, its private note."""

    row: int
    title: str
    folder: str
    record: str
    notes: str | None


@dataclass(frozen=True, slots=True)
class WaitingRow:
    """A row that is not filed: the piece it is already, or why it waits."""

    row: int
    title: str
    why: str
    piece: str | None = None


@dataclass(frozen=True, slots=True)
class TablePlan:
    """All that follows from a table."""

    sheet: ListedSheet
    columns: tuple[MappedColumn, ...]
    new: tuple[NewRow, ...]
    filed: tuple[WaitingRow, ...]
    waiting: tuple[WaitingRow, ...]
    questions: tuple[RowQuestion, ...]
    clients: tuple[NewClient, ...]


@dataclass(frozen=True, slots=True)
class TableAnswers:
    """What the artist said: the order of the dates, rows to leave out, rows that are pieces of their own."""

    day_first: bool | None = None
    without: frozenset[int] = frozenset()
    own: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class _Identity:
    """By what a row is known: its title's words, its day where it has one, its client."""

    title: str
    day: dt.date | None
    client: str | None


@dataclass(frozen=True, slots=True)
class FiledBefore:
    """What the archive has: its pieces, the names in its folder of pieces, the codes of its clients."""

    pieces: Sequence[Piece]
    folders: Collection[str]
    codes: ClientCodes


def plan_table(
    sheet: ListedSheet, columns: Sequence[MappedColumn], answers: TableAnswers, filed: FiledBefore
) -> TablePlan:
    """Say what becomes of each row.

    Raises:
        UsageError: No column is the title, or a row is named that the table does not have.
    """
    if not any(mapped.column is Column.TITLE for mapped in columns):
        heads = ", ".join(f'"{mapped.heading}"' for mapped in columns if mapped.heading)
        raise UsageError(
            say('Which column is the title? Its columns: {heads}. Say it with --column "HEADING=title".', heads=heads)
        )
    _check_rows(sheet, answers)
    rows = [values_of(row, columns) for row in sheet.rows]
    dated = [cell for row in rows for _, cell in row.values.get(Column.DATE, ())]
    day_first = answers.day_first if answers.day_first is not None else is_day_first(dated)
    planner = _Planner(day_first, answers, filed)
    for row in rows:
        if row.values:
            planner.take(row)
    return TablePlan(
        sheet=sheet,
        columns=tuple(columns),
        new=tuple(planner.new),
        filed=tuple(planner.filed),
        waiting=tuple(planner.waiting),
        questions=tuple(planner.questions),
        clients=filed.codes.used(row.row for row in planner.new),
    )


def _check_rows(sheet: ListedSheet, answers: TableAnswers) -> None:
    numbers = {row.number for row in sheet.rows}
    for number in sorted(answers.without | answers.own):
        if number not in numbers:
            raise UsageError(say("The table has no row {number}.", number=number))


class _Planner:
    def __init__(self, day_first: bool | None, answers: TableAnswers, filed: FiledBefore) -> None:
        self.day_first = day_first
        self.answers = answers
        self.codes = filed.codes
        self.folders = {fold(name) for name in filed.folders}
        self.by_title: dict[str, list[Piece]] = {}
        for piece in filed.pieces:
            self.by_title.setdefault(words_of(piece.title), []).append(piece)
        self.seen: dict[_Identity, int] = {}
        self.new: list[NewRow] = []
        self.filed: list[WaitingRow] = []
        self.waiting: list[WaitingRow] = []
        self.questions: list[RowQuestion] = []

    def take(self, row: RowValues) -> None:
        """Say what becomes of one row."""
        title = row.text(Column.TITLE)
        if row.row in self.answers.without:
            self.waiting.append(WaitingRow(row.row, title, say("Left out, as you said.")))
            return
        if not title:
            self.waiting.append(WaitingRow(row.row, "", say("It has no title.")))
            return
        day, asked = self._day(row)
        if self.codes.is_shared_name(row.text(Column.CLIENT)):
            why = say(
                "Several clients are called {name}. Write the client's code in the table.", name=row.text(Column.CLIENT)
            )
            self.waiting.append(WaitingRow(row.row, title, why))
            return
        client, name = self.codes.find(row.text(Column.CLIENT))
        if row.row not in self.answers.own:
            found = self._filed(title, day, client)
            if found:
                self.filed.append(WaitingRow(row.row, title, say("it is this piece"), found.id))
                return
            doubt = self._why_waiting(row.row, title, day, client or name)
            if doubt:
                self.waiting.append(WaitingRow(row.row, title, doubt))
                return
        if asked:
            self.questions.append(asked)
        code = self.codes.code_for(row.text(Column.CLIENT), row.row)
        record, notes, questions = record_of(row, title, day, code)
        self.questions += questions
        self.new.append(NewRow(row.row, title, self._folder(title, day), record, notes))

    def _day(self, row: RowValues) -> tuple[dt.date | str | None, RowQuestion | None]:
        found = row.first(Column.DATE)
        if found is None:
            return None, None
        day, text = read_day(found[1], self.day_first)
        return day, RowQuestion(row.row, found[0].heading, text) if text else None

    def _filed(self, title: str, day: dt.date | str | None, client: str | None) -> Piece | None:
        """Find the piece a row is: the same title and day, or the same title and client where a day is missing."""
        for piece in self.by_title.get(words_of(title), ()):
            filed = piece.record.finished_on if piece.record else None
            days = {sitting.date for sitting in piece.record.sitting} if piece.record else set()
            if isinstance(day, dt.date) and (day == filed or day in days):
                return piece
            has_no_day = not isinstance(day, dt.date) or filed is None
            if has_no_day and client and piece.record and piece.record.client == client:
                return piece
        return None

    def _why_waiting(self, row: int, title: str, day: dt.date | str | None, client: str | None) -> str | None:
        known = self.by_title.get(words_of(title), ())
        if known and (not isinstance(day, dt.date) or not all(p.record and p.record.finished_on for p in known)):
            return say(
                "A piece of this title is filed ({piece}). If this is another one, say --own {row}.",
                piece=known[0].id,
                row=row,
            )
        identity = _Identity(words_of(title), day if isinstance(day, dt.date) else None, client)
        first = self.seen.setdefault(identity, row)
        if first != row:
            return say(
                "It says the same as row {first}. If it is another piece, say --own {row}.", first=first, row=row
            )
        return None

    def _folder(self, title: str, day: dt.date | str | None) -> str:
        stem = slug(title) or "piece"
        if isinstance(day, dt.date):
            stem = f"{day.isoformat()}-{stem}"
        name = free_name(stem, "", self.folders)
        self.folders.add(fold(name))
        return name


def unmapped(columns: Iterable[MappedColumn], sheet: ListedSheet) -> Iterator[str]:
    """Give the headings that are left out, of columns in which something stands."""
    for mapped in columns:
        filled = any(mapped.place < len(row.cells) and cell_text(row.cells[mapped.place]) for row in sheet.rows)
        if mapped.column is None and filled:
            yield mapped.heading or say("column {number}", number=mapped.place + 1)
