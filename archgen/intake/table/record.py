"""Write the record of one row, and ask what its words leave open."""

import datetime as dt
import re
from collections.abc import Iterator, Mapping

from archgen.intake.table.cells import (
    RowQuestion,
    RowValues,
    read_hours,
    read_length,
    read_money,
    read_release,
    read_size,
    split_list,
)
from archgen.intake.table.headings import Column
from archgen.intake.table.sheet import cell_text
from archgen.languages.house import say
from archgen.records.vocabulary.needles import read_needles
from archgen.records.vocabulary.placements import find_placement
from archgen.toml.problem import listed
from archgen.units import parse_length
from archgen.writing.record_text import Value
from archgen.writing.values import toml_key, toml_value

_INKS = re.compile(r"\s*[,;\n]\s*")


def record_of(
    row: RowValues, title: str, day: dt.date | str | None, client: str | None
) -> tuple[str, str | None, list[RowQuestion]]:
    """Give the text of the record, that of the private note, and what is to be asked."""
    writer = _Writer(row)
    head: dict[str, Value] = {"title": title}
    head |= {"client": client} if client else {}
    for key, column in (("styles", Column.STYLES), ("subjects", Column.SUBJECTS)):
        words = split_list(row.texts(column))
        head |= {key: words} if words else {}
    if isinstance(day, str):
        head["finished"] = day
    blocks = [("", head), *writer.size(), *writer.placement(), *writer.sitting(day), *writer.needles()]
    blocks += [*writer.inks(), *writer.release(), *writer.price()]
    text = "\n\n".join(_block(name, values) for name, values in blocks if values) + "\n"
    notes = "\n\n".join([*row.notes(), *writer.kept])
    return text, f"{notes}\n" if notes else None, writer.questions


class _Writer:
    """Turns the cells of a row into tables; `kept` is what no key of the record holds."""

    def __init__(self, row: RowValues) -> None:
        self.row = row
        self.kept: list[str] = []
        self.questions: list[RowQuestion] = []

    def size(self) -> Iterator[tuple[str, Mapping[str, Value]]]:
        """Give width and height, from their own columns or from one that holds both."""
        values: dict[str, Value] = {}
        if found := self.row.first(Column.SIZE):
            text = cell_text(found[1])
            pair = read_size(text, found[0].unit)
            if pair:
                values |= pair
            else:
                self._keep(
                    Column.SIZE,
                    say('Is "{text}" the width or the height, and in which unit? It is kept in the note.', text=text),
                )
        for key, column in (("width", Column.WIDTH), ("height", Column.HEIGHT)):
            if found := self.row.first(column):
                values[key] = read_length(cell_text(found[1]), found[0].unit)
                self._ask_length(column, str(values[key]))
        yield "[size]", values

    def placement(self) -> Iterator[tuple[str, Mapping[str, Value]]]:
        """Give the place as typed; what it may mean is asked."""
        values: dict[str, Value] = {}
        if text := self.row.text(Column.PLACEMENT):
            values["region"] = text
            found = find_placement(text)
            if found.choices:
                self._ask(
                    Column.PLACEMENT,
                    say('"{text}" can be {places}.', text=text, places=listed(p.words.lower() for p in found.choices)),
                )
            elif found.place is None:
                self._ask(Column.PLACEMENT, say('Where on the body is "{text}"?', text=text))
        if text := self.row.text(Column.SIDE):
            side = find_placement(text).side
            values["side"] = side.value if side else text
            if side is None:
                self._ask(Column.SIDE, say('Is "{text}" left, right or the middle?', text=text))
        yield "[placement]", values

    def sitting(self, day: dt.date | str | None) -> Iterator[tuple[str, Mapping[str, Value]]]:
        """Give the day of the table as a sitting with its hours; hours without a day are kept in the note."""
        hours = self.row.first(Column.HOURS)
        if isinstance(day, dt.date):
            values: dict[str, Value] = {"date": day}
            values |= {"hours": read_hours(hours[1])} if hours else {}
            yield "[[sitting]]", values
        elif hours:
            self._keep(Column.HOURS, say("On which day? Until the day is known the hours are kept in the note."))

    def needles(self) -> Iterator[tuple[str, Mapping[str, Value]]]:
        """Give each cell of needles as typed."""
        for text in self.row.texts(Column.NEEDLES):
            yield "[[needle]]", {"code": text}
            for warning in (w for reading in read_needles(text) for w in reading.warnings if w.is_unread):
                self._ask(Column.NEEDLES, f'"{text}": {warning.text}')
                break

    def inks(self) -> Iterator[tuple[str, Mapping[str, Value]]]:
        """Give each ink by its name."""
        names = [name for text in self.row.texts(Column.INKS) for name in _INKS.split(text) if name]
        yield from (("[[ink]]", {"name": name}) for name in dict.fromkeys(names))

    def release(self) -> Iterator[tuple[str, Mapping[str, Value]]]:
        """Give a plain yes or no as the answer on the release; where it may be shown stays to be asked."""
        if text := self.row.text(Column.RELEASE):
            status = read_release(text)
            yield "[release]", {"status": status or text}
            if status is None:
                self._ask(
                    Column.RELEASE,
                    say('Does "{text}" mean yes or no? Until then the piece stays in the studio.', text=text),
                )

    def price(self) -> Iterator[tuple[str, Mapping[str, Value]]]:
        """Give what was charged and paid down."""
        values: dict[str, Value] = {}
        for key, column in (("charged", Column.PRICE), ("deposit", Column.DEPOSIT)):
            if found := self.row.first(column):
                amount = read_money(found[1])
                if amount is None:
                    self._keep(
                        column,
                        say('"{text}" is kept in the note; it is more than an amount.', text=cell_text(found[1])),
                    )
                else:
                    values[key] = int(amount) if amount == int(amount) else amount
        yield "[price]", values

    def _ask_length(self, column: Column, text: str) -> None:
        try:
            parse_length(text)
        except ValueError:
            self._ask(
                column,
                say('"{text}": in which unit? Write it as in "62 mm", or name the unit in the heading.', text=text),
            )

    def _ask(self, column: Column, text: str) -> None:
        found = self.row.first(column)
        self.questions.append(RowQuestion(self.row.row, found[0].heading if found else column.value, text))

    def _keep(self, column: Column, question: str) -> None:
        found = self.row.first(column)
        if found:
            self.kept.append(f"{found[0].heading}: {cell_text(found[1])}")
            self._ask(column, question)


def _block(name: str, values: Mapping[str, Value]) -> str:
    longest = max(len(toml_key(key)) for key in values)
    lines = [f"{toml_key(key):<{longest}} = {toml_value(value)}" for key, value in values.items()]
    return "\n".join([*([name] if name else []), *lines])
