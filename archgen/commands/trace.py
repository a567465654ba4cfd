"""archgen trace."""

import sys
from pathlib import Path

import click

from archgen.commands.options import archive_option, terminal
from archgen.errors import ExitCode

_SUFFIXES = (".pdf", ".csv", ".json")


@click.command()
@click.argument("batch", required=False)
@archive_option
@click.option("--product", metavar="NAME", help="All lots of a product or maker instead of one number.")
@click.option(
    "--kind",
    type=click.Choice(["ink", "needle", "sterilisation"]),
    help="Look only at lots of this kind. Default: all.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["table", "csv", "json"]),
    default="table",
    show_default=True,
    help="A table for you, CSV for a spreadsheet, JSON for another program.",
)
@click.option("--names", is_flag=True, help="Add the clients' names and contacts from clients.toml.")
@click.option(
    "--save",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Write the list into a file: .pdf to print and write on, .csv or .json.",
)
def trace(
    batch: str | None, root: Path, product: str | None, kind: str | None, form: str, names: bool, save: Path | None
) -> None:
    """Say on whose skin a batch of ink, or a lot of needles, went.

    Capitals, spaces, hyphens and leading zeros do not count; numbers that are only similar are listed apart. Ends with
    exit code 1 when the lot is in no record.

    \b
    Examples:
      archgen trace GW2-2231
      archgen trace "n 88213" --kind needle --format json
      archgen trace --product "dense black" --names --save recall.pdf
    """
    from archgen.build import read_records
    from archgen.clock import build_day
    from archgen.commands.report import print_trace
    from archgen.outputs.sheets.recall_list import trace_csv, trace_json, trace_list, trace_pdf
    from archgen.storage.files import is_inside, write_atomically
    from archgen.tracing.recall import LotKind, trace_product
    from archgen.tracing.recall import trace as find

    if (batch is None) == (product is None):
        raise click.UsageError('Give one batch number, or --product "NAME" for all lots of a product.')
    if not (batch or product or "").strip():
        raise click.UsageError("The number or name is empty.")
    if save is not None and save.suffix.lower() not in _SUFFIXES:
        raise click.UsageError(f"The file's name ends with {', '.join(_SUFFIXES)}.")
    if save is not None and is_inside(save, root):
        raise click.UsageError("Save the list outside the archive folder; nothing of yours is overwritten there.")
    catalogue = read_records(root, build_day())
    found = (
        trace_product(catalogue, product) if product else find(catalogue, batch or "", LotKind(kind) if kind else None)
    )
    listed = trace_list(found, catalogue, with_names=names)
    texts = {".csv": trace_csv, ".json": trace_json}
    if save is not None:
        write = texts.get(save.suffix.lower())
        content = write(found, catalogue, with_names=names).encode() if write else trace_pdf(listed, catalogue)
        write_atomically(save, content)
        click.echo(f"{listed.summary} The list is in {save}.")
    elif form == "table":
        print_trace(terminal(), listed)
    else:
        click.echo(texts[f".{form}"](found, catalogue, with_names=names), nl=form == "json")
    sys.exit(ExitCode.DONE if found.matches else ExitCode.FINDINGS)
