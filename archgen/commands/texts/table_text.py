"""A table's plan as text: columns, new pieces, rows that wait, questions by row, the records to be written."""

from collections.abc import Iterator

from rich.console import Console
from rich.text import Text

from archgen.intake.table.headings import Column
from archgen.intake.table.plan import TablePlan, WaitingRow, unmapped
from archgen.languages.house import say, say_count

_MOST_ROWS, _MOST_RECORDS = 40, 1


def print_plan(console: Console, plan: TablePlan, file: str, *, every_record: bool) -> None:
    """Print what becomes of a table."""
    for line in plan_lines(plan, file, every_record=every_record):
        console.print(Text(line), soft_wrap=True)


def plan_lines(plan: TablePlan, file: str, *, every_record: bool) -> Iterator[str]:
    """Give the lines that say what becomes of a table."""
    yield f"{file}, {plan.sheet.how}: {say_count('{number} row', '{number} rows', len(plan.sheet.rows))}"
    if plan.sheet.other_sheets:
        yield f"  {say('not read: {sheets} (--sheet NAME)', sheets=', '.join(plan.sheet.other_sheets))}"
    yield from _columns(plan)
    yield from _new(plan)
    yield from _waiting(say("Filed already, left as it is"), plan.filed)
    yield from _waiting(say("Not filed"), plan.waiting)
    asked = [f"  {row_words(one.row)}, {one.heading}: {one.text}" for one in plan.questions]
    yield from _listed(say("To ask; these values are filed as they stand, and the archive asks for them again"), asked)
    clients = [
        f"  {client.code}  {client.name or say('without a name')}  ({row_words(*client.rows)})"
        for client in plan.clients
    ]
    yield from _listed(say("New in the register of clients"), clients)
    yield from _records(plan, every_record=every_record)


def row_words(*rows: int, width: int = 0) -> str:
    """Say where in the table something stands."""
    return say("row {numbers}", numbers=f"{', '.join(map(str, rows)):<{width}}")


def _columns(plan: TablePlan) -> Iterator[str]:
    yield from ("", say("Columns"))
    widest = max((len(mapped.heading) for mapped in plan.columns), default=0)
    for mapped in plan.columns:
        if mapped.column:
            unit = f", {say('in {unit}', unit=mapped.unit)}" if mapped.unit else ""
            yield f"  {mapped.heading:<{widest}}  {mapped.column.value}{unit}"
    for heading in unmapped(plan.columns, plan.sheet):
        yield f"  {heading:<{widest}}  {say('left out')}"
    words = ", ".join(column.value for column in Column)
    change = say('Change one with --column "HEADING=WORD"; words: {words}, -', words=words)
    yield f"  {change}"


def _records(plan: TablePlan, *, every_record: bool) -> Iterator[str]:
    shown = plan.new if every_record else plan.new[:_MOST_RECORDS]
    for row in shown:
        yield from ("", f"pieces/{row.folder}/piece.toml, {row_words(row.row)}")
        yield from (f"  {line}" if line else "" for line in row.record.rstrip().splitlines())
        if row.notes:
            words = len(row.notes.split())
            yield f"  {say_count('and notes.md with {number} word', 'and notes.md with {number} words', words)}"
    if len(shown) < len(plan.new):
        yield ""
        yield say_count(
            "{number} more record; --records shows every one.",
            "{number} more records; --records shows every one.",
            len(plan.new) - len(shown),
        )


def _new(plan: TablePlan) -> Iterator[str]:
    yield from ("", say_count("{number} new piece", "{number} new pieces", len(plan.new)))
    widest = max((len(row.title) for row in plan.new[:_MOST_ROWS]), default=0)
    for row in plan.new[:_MOST_ROWS]:
        yield f"  {row_words(row.row, width=4)}  {row.title:<{widest}}  {row.folder}"
    yield from _more(len(plan.new))


def _waiting(words: str, rows: tuple[WaitingRow, ...]) -> Iterator[str]:
    lines = []
    for row in rows:
        piece = f" ({row.piece})" if row.piece else ""
        lines.append(f"  {row_words(row.row, width=4)}  {row.title or say('no title')}: {row.why}{piece}")
    yield from _listed(words, lines)


def _listed(words: str, lines: list[str]) -> Iterator[str]:
    if lines:
        yield from ("", words, *lines[:_MOST_ROWS])
        yield from _more(len(lines))


def _more(number: int) -> Iterator[str]:
    if number > _MOST_ROWS:
        yield f"  {say('and {number} more', number=number - _MOST_ROWS)}"
