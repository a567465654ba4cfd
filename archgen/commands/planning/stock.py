"""archgen stock."""

from pathlib import Path

import click

from archgen.commands.options import FORMAT_HELP, archive_option, out_option, terminal
from archgen.languages.house import say


@click.command()
@click.argument("words", nargs=-1, metavar="[PIECE]")
@archive_option
@out_option
@click.option("--claim", metavar="WORD", help="With PIECE: whether all that went into it is recorded as this: vegan")
@click.option(
    "--page", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE.html", help="Write the list to print."
)
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help=FORMAT_HELP
)
def stock(words: tuple[str, ...], root: Path, out: Path, claim: str | None, page: Path | None, form: str) -> None:
    """Say which inks and needles are open, how fast they go, and what to reorder; or what a piece was made of.

    From your records alone: nothing has to be counted.

    \b
    Examples:
      archgen stock
      archgen stock --page reorder.html
      archgen stock barn owl --claim vegan
    """
    from archgen.clock import build_day
    from archgen.commands.planning.stock_text import print_stock, stock_as_json
    from archgen.outputs.handouts import write_stock
    from archgen.reading.records import recall_records
    from archgen.supplies.stock import take_stock
    from archgen.tracing.book import BatchBook

    if bool(words) != bool(claim):
        raise click.UsageError(
            say("Name a piece and a claim together: archgen stock barn owl --claim vegan. Or neither.")
        )
    if claim:
        if page:
            raise click.UsageError(say("--page goes with the list, without a piece."))
        _say_made_of(root, " ".join(words), claim, form)
        return
    records = recall_records(root, out, build_day())
    products = take_stock(BatchBook(records), build_day())
    if form == "json":
        click.echo(stock_as_json(products))
    else:
        print_stock(terminal(), products)
    if page:
        click.echo(write_stock(page, products, records), err=form == "json")


def _say_made_of(root: Path, words: str, claim: str, form: str) -> None:
    import msgspec

    from archgen.clock import build_day
    from archgen.reading.records import read_records
    from archgen.records.find import read_one
    from archgen.supplies.made_of import made_of
    from archgen.wording.planning.stock import made_of_words

    records = read_records(root, build_day())
    piece = read_one(root, words, records.config.archive.units)
    found = made_of(piece, records, claim.strip())
    if form == "json":
        click.echo(msgspec.json.format(msgspec.json.encode(found), indent=2))
        return
    click.echo(piece.title)
    for line in made_of_words(found):
        click.echo(line)
