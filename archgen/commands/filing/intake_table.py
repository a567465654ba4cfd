"""archgen intake --table: the options and what happens with them."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from archgen.commands.options import terminal
from archgen.commands.speaking.yes_or_no import confirmed
from archgen.errors import UsageError
from archgen.languages.house import say, say_count

if TYPE_CHECKING:
    from archgen.intake.table.plan import TablePlan

# Where the results folder keeps what was said about columns.
_COLUMNS = "table-columns.toml"
_TYPED = {"columns": "column"}
_ORDERS = {"day-first": True, "month-first": False}


@dataclass(frozen=True, slots=True)
class TableOptions:
    """What was typed beside --table."""

    table: Path
    sheet: str | None
    columns: tuple[str, ...]
    dates: str | None
    without: tuple[int, ...]
    own: tuple[int, ...]
    records: bool
    write: bool


def table_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the options of --table to the command."""
    kind = click.Path(path_type=Path)
    row = click.IntRange(min=1)
    columns_help = "What a column says; - leaves it out. Kept for the next time."
    options = (
        click.option("--table", type=kind, metavar="FILE", help="A list of pieces, .csv or .xlsx; one row a piece."),
        click.option("--sheet", metavar="NAME", help="With --table: the sheet of the workbook. Default: the first."),
        click.option(
            "--column", "columns", multiple=True, metavar="HEADING=WORD", help=f"With --table: {columns_help}"
        ),
        click.option(
            "--dates", type=click.Choice(list(_ORDERS)), help="With --table: the order of dates like 7/3/2026."
        ),
        click.option("--without", multiple=True, type=row, metavar="ROW", help="With --table: leave this row out."),
        click.option(
            "--own", multiple=True, type=row, metavar="ROW", help="With --table: a piece of its own, though alike."
        ),
        click.option("--records", is_flag=True, help="With --table: show the record of every row."),
        click.option("--write", is_flag=True, help="With --table: file the pieces, after showing them and asking."),
    )
    for option in reversed(options):
        command = option(command)
    return command


def table_typed(options: dict[str, Any]) -> TableOptions | None:
    """Give the options of --table; None where there is no table.

    Raises:
        UsageError: Some of them were typed without it.
    """
    if options["table"] is not None:
        return TableOptions(**options)
    typed = next((name for name, value in options.items() if value), None)
    if typed:
        raise UsageError(
            say("--{option} belongs to --table. Name your list with --table FILE.", option=_TYPED.get(typed, typed))
        )
    return None


def import_table(root: Path, out: Path, options: TableOptions, *, sure: bool) -> None:
    """Show what a table becomes; with --write file it, all of it or nothing.

    Raises:
        ArchgenError: The table cannot be read, or the archive cannot be written.
    """
    from archgen.commands.texts.table_text import print_plan
    from archgen.intake.table.carry import change_of
    from archgen.writing.changes import KEPT, carry_out

    plan = _plan(root, out, options)
    print_plan(terminal(), plan, options.table.name, every_record=options.records)
    if not plan.new:
        click.echo("\n" + say("There is nothing in it to file."))
        return
    if not options.write:
        click.echo("\n" + say("Nothing was written. --write files it."))
        return
    if not sure and not confirmed("\n" + say_count("File {number} piece?", "File {number} pieces?", len(plan.new))):
        click.echo(say("Nothing was written."))
        return
    done = carry_out(root, out / KEPT, change_of(plan, root, options.table.name))
    click.echo(say("{what}. archgen undo takes all of it back.", what=done.entry.words))


def _plan(root: Path, out: Path, options: TableOptions) -> "TablePlan":
    from archgen.intake.table.clients import ClientCodes
    from archgen.intake.table.headings import keep_told, load_told, map_columns, read_told
    from archgen.intake.table.plan import FiledBefore, TableAnswers, plan_table
    from archgen.intake.table.reading import read_sheet
    from archgen.records.layout import PIECES
    from archgen.records.reader import read_archive
    from archgen.storage.staging import claim_folder, output_errors

    archive = read_archive(root)
    sheet = read_sheet(options.table, options.sheet)
    told = read_told(options.columns)
    columns = map_columns(sheet.headings, {**load_told(out / _COLUMNS, sheet.headings), **told})
    answers = TableAnswers(
        _ORDERS[options.dates] if options.dates else None, frozenset(options.without), frozenset(options.own)
    )
    folder = root / PIECES
    folders = [path.name for path in folder.iterdir()] if folder.is_dir() else []
    plan = plan_table(sheet, columns, answers, FiledBefore(archive.pieces, folders, ClientCodes(archive.clients)))
    if told:
        claim_folder(out, root)
        with output_errors(out):
            keep_told(out / _COLUMNS, told)
    return plan
