"""A table's plan as text: columns, new pieces, rows that wait, questions by row, the records to be written."""

from collections.abc import Iterator

from rich.console import Console
from rich.text import Text

from archgen.intake.table.headings import Column
from archgen.intake.table.plan import TablePlan, WaitingRow, unmapped
from archgen.wording.counts import count_words

_MOST_ROWS, _MOST_RECORDS = 40, 1


def print_plan(console: Console, plan: TablePlan, file: str, *, every_record: bool) -> None:
    """Print what becomes of a table."""
    for line in plan_lines(plan, file, every_record=every_record):
        console.print(Text(line), soft_wrap=True)


def plan_lines(plan: TablePlan, file: str, *, every_record: bool) -> Iterator[str]:
    """Give the lines that say what becomes of a table."""
    yield f"{file}, {plan.sheet.how}: {count_words(len(plan.sheet.rows), 'row')}"
    if plan.sheet.other_sheets:
        yield f"  not read: {', '.join(plan.sheet.other_sheets)} (--sheet NAME)"
    yield from _columns(plan)
    yield from _new(plan)
    yield from _waiting("Filed already, left as it is", plan.filed)
    yield from _waiting("Not filed", plan.waiting)
    asked = [f"  row {one.row}, {one.heading}: {one.text}" for one in plan.questions]
    yield from _listed("To ask; these values are filed as they stand, and the archive asks for them again", asked)
    clients = [
        f"  {client.code}  {client.name or 'without a name'}  (row {', '.join(str(row) for row in client.rows)})"
        for client in plan.clients
    ]
    yield from _listed("New in the register of clients", clients)
    yield from _records(plan, every_record=every_record)


def _columns(plan: TablePlan) -> Iterator[str]:
    yield from ("", "Columns")
    widest = max((len(mapped.heading) for mapped in plan.columns), default=0)
    for mapped in plan.columns:
        if mapped.column:
            unit = f", in {mapped.unit}" if mapped.unit else ""
            yield f"  {mapped.heading:<{widest}}  {mapped.column.value}{unit}"
    for heading in unmapped(plan.columns, plan.sheet):
        yield f"  {heading:<{widest}}  left out"
    yield f'  Change one with --column "HEADING=WORD"; words: {", ".join(column.value for column in Column)}, -'


def _records(plan: TablePlan, *, every_record: bool) -> Iterator[str]:
    shown = plan.new if every_record else plan.new[:_MOST_RECORDS]
    for row in shown:
        yield from ("", f"pieces/{row.folder}/piece.toml, row {row.row}")
        yield from (f"  {line}" if line else "" for line in row.record.rstrip().splitlines())
        if row.notes:
            yield f"  and notes.md with {count_words(len(row.notes.split()), 'word')}"
    if len(shown) < len(plan.new):
        yield from ("", f"{count_words(len(plan.new) - len(shown), 'more record')}; --records shows every one.")


def _new(plan: TablePlan) -> Iterator[str]:
    yield from ("", count_words(len(plan.new), "new piece"))
    widest = max((len(row.title) for row in plan.new[:_MOST_ROWS]), default=0)
    for row in plan.new[:_MOST_ROWS]:
        yield f"  row {row.row:<4}  {row.title:<{widest}}  {row.folder}"
    yield from _more(len(plan.new))


def _waiting(words: str, rows: tuple[WaitingRow, ...]) -> Iterator[str]:
    lines = []
    for row in rows:
        piece = f" ({row.piece})" if row.piece else ""
        lines.append(f"  row {row.row:<4}  {row.title or 'no title'}: {row.why}{piece}")
    yield from _listed(words, lines)


def _listed(words: str, lines: list[str]) -> Iterator[str]:
    if lines:
        yield from ("", words, *lines[:_MOST_ROWS])
        yield from _more(len(lines))


def _more(number: int) -> Iterator[str]:
    if number > _MOST_ROWS:
        yield f"  and {number - _MOST_ROWS} more"
