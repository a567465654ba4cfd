"""archgen trace."""

import datetime as dt
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from archgen.commands.options import archive_option, out_option, terminal
from archgen.errors import ExitCode
from archgen.languages.house import say

if TYPE_CHECKING:
    from archgen.tracing.book import BatchBook
    from archgen.tracing.recall import Trace

_SUFFIXES = (".pdf", ".csv", ".json")


@dataclass(frozen=True, slots=True)
class _Telling:
    """The options about who was told."""

    told: tuple[str, ...]
    how: str | None
    by: str | None
    note: str | None
    day: dt.datetime | None
    dry_run: bool


@click.command()
@click.argument("batch", required=False)
@archive_option
@out_option
@click.option("--product", metavar="NAME", help="All batches of a product or maker instead of one number.")
@click.option(
    "--kind",
    type=click.Choice(["ink", "needle", "sterilisation", "supply"]),
    help="Look only at batches of this kind. Default: all.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["table", "csv", "json"]),
    default="table",
    show_default=True,
    help="A list for you, CSV for a spreadsheet, JSON for another program.",
)
@click.option("--names", is_flag=True, help="Add the clients' names and contacts from clients.toml.")
@click.option(
    "--save",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Write the list into a file: .pdf to print and write on, .csv or .json.",
)
@click.option("--told", multiple=True, metavar="CLIENT", help="Record in told.toml that this client was told.")
@click.option("--how", metavar="TEXT", help="With --told: by phone, letter, in person …")
@click.option("--by", metavar="NAME", help="With --told: who told the client.")
@click.option("--note", metavar="TEXT", help="With --told: what was said or agreed.")
@click.option("--day", type=click.DateTime(["%Y-%m-%d"]), help="With --told: the day. Default: today.")
@click.option("--dry-run", is_flag=True, help="With --told: show the lines and write nothing.")
def trace(
    batch: str | None,
    root: Path,
    out: Path,
    product: str | None,
    kind: str | None,
    form: str,
    names: bool,
    save: Path | None,
    **telling: Any,
) -> None:
    """Say on whose skin a batch of ink or needles went, and record who was told of a recall.

    Capitals, spaces, hyphens, leading zeros and words such as "Lot" don't count; numbers that are only similar are
    listed apart. Ends with exit code 1 when the batch is in no piece.

    \b
    Examples:
      archgen trace GW2-2231
      archgen trace "n 88213" --kind needle --format json
      archgen trace --product "dense black" --names --save recall.pdf
      archgen trace GW2-2231 --told C-0012 --how phone
    """
    from archgen.clock import build_day
    from archgen.reading.records import recall_records
    from archgen.tracing.book import BatchBook, BatchKind
    from archgen.tracing.recall import trace as find
    from archgen.tracing.recall import trace_product

    told = _Telling(**telling)
    _check(batch, product, save, root, told)
    book = BatchBook(recall_records(root, out, build_day()))
    found = trace_product(book, product) if product else find(book, batch or "", BatchKind(kind) if kind else None)
    if told.told:
        _record(told, root, out, book, found)
    else:
        _show(found, book, form, save, with_names=names)
        sys.exit(ExitCode.DONE if found.matches else ExitCode.FINDINGS)


def _check(batch: str | None, product: str | None, save: Path | None, root: Path, telling: _Telling) -> None:
    from archgen.storage.files import is_inside

    if (batch is None) == (product is None):
        raise click.UsageError(say('Give one batch number, or --product "NAME" for all batches of a product.'))
    if not (batch or product or "").strip():
        raise click.UsageError(say("The number or name is empty."))
    if save is not None and save.suffix.lower() not in _SUFFIXES:
        raise click.UsageError(say("The file's name ends with {suffixes}.", suffixes=", ".join(_SUFFIXES)))
    if save is not None and is_inside(save, root):
        raise click.UsageError(say("Save the list outside the archive folder; nothing of yours is overwritten there."))
    if telling.told and (product or save):
        raise click.UsageError(say("--told goes with one batch number, without --product and --save."))
    if telling.told and not (telling.how or "").strip():
        raise click.UsageError(say('Say how the client was told: --how phone, --how letter or --how "in person".'))
    if not telling.told and any((telling.how, telling.by, telling.note, telling.day, telling.dry_run)):
        raise click.UsageError(say("--how, --by, --note, --day and --dry-run go with --told CLIENT."))


def _show(found: "Trace", book: "BatchBook", form: str, save: Path | None, *, with_names: bool) -> None:
    from archgen.commands.texts.trace_text import print_trace
    from archgen.outputs.sheets.recall_list import trace_list
    from archgen.outputs.sheets.recall_table import trace_csv, trace_json

    listed = trace_list(found, book, with_names=with_names)
    texts = {".csv": trace_csv, ".json": trace_json}
    if save is not None:
        from archgen.outputs.sheets.recall_pdf import trace_pdf
        from archgen.storage.files import write_atomically

        write = texts.get(save.suffix.lower())
        content = write(found, book, with_names=with_names).encode() if write else trace_pdf(listed, book.catalogue)
        write_atomically(save, content)
        click.echo(say("{summary} The list is in {save}.", summary=listed.summary, save=save))
    elif form == "table":
        print_trace(terminal(), listed)
    else:
        click.echo(texts[f".{form}"](found, book, with_names=with_names), nl=form == "json")


def _record(telling: _Telling, root: Path, out: Path, book: "BatchBook", found: "Trace") -> None:
    from archgen.records.model import Told
    from archgen.writing.change import Change
    from archgen.writing.changes import KEPT, carry_out
    from archgen.writing.telling import lines_of, tellings, told_addition

    day = telling.day.date() if telling.day else book.catalogue.built_on
    said = Told(batch="", client="", date=day, how=telling.how, by=telling.by, note=telling.note)
    entries = tellings(book, found, telling.told, said)
    if not entries:
        click.echo(say("That is on record already; nothing was written."))
        return
    added = told_addition(root, entries)
    click.echo("\n\n".join(lines_of(entry) for entry in entries))
    if telling.dry_run:
        click.echo(
            "\n"
            + say("Nothing was written. Without --dry-run these lines are added to {place}.", place=added.place(root))
        )
        return
    who = ", ".join(dict.fromkeys(entry.client for entry in entries))
    carry_out(root, out / KEPT, Change(say("Told of {asked}: {who}", asked=found.asked, who=who), edited=(added,)))
    click.echo("\n" + say("Added to {place}. The pages show it after the next build.", place=added.place(root)))
    click.echo(say("To take it back: archgen undo"))
