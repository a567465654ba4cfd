"""archgen quote."""

from pathlib import Path

import click

from archgen.commands.options import FORMAT_HELP, LengthOption, archive_option, out_option, terminal
from archgen.errors import UsageError
from archgen.languages.house import say

_PRICE = click.FloatRange(min=0, min_open=True)


@click.command()
@archive_option
@out_option
@click.option("--width", type=LengthOption(), required=True, help="How wide the piece will be: 60mm, 2.5in")
@click.option("--height", type=LengthOption(), required=True, help="How high.")
@click.option(
    "--style", "styles", multiple=True, metavar="WORDS", help="As you write it in your records; may be repeated."
)
@click.option("--placement", metavar="PLACE", help="Where on the body: outer forearm")
@click.option("--client", metavar="CODE", help="Also say what was noted about this client before.")
@click.option(
    "--hour",
    type=_PRICE,
    metavar="PRICE",
    help="Price of an hour. Default: hour under [quote], else by your own pieces.",
)
@click.option(
    "--least", type=_PRICE, metavar="PRICE", help="Price of the smallest piece. Default: least under [quote]."
)
@click.option(
    "--page",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE.html",
    help="Write a page to show the client; nothing of anybody else is on it.",
)
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help=FORMAT_HELP
)
def quote(
    root: Path,
    out: Path,
    width: float,
    height: float,
    styles: tuple[str, ...],
    placement: str | None,
    client: str | None,
    hour: float | None,
    least: float | None,
    page: Path | None,
    form: str,
) -> None:
    """Say how long a piece will take and what to charge, by your own records.

    Hours come with bounds between which four of five such pieces lie. Everything stays on this computer.

    \b
    Examples:
      archgen quote --width 60mm --height 90mm
      archgen quote --width 2.5in --height 4in --style "fine line" --placement "outer forearm"
      archgen quote --width 60mm --height 90mm --hour 120 --page for-the-client.html
    """
    import msgspec

    from archgen.clock import build_day
    from archgen.commands.planning.quote_text import as_json, print_quote
    from archgen.holdings.person import find_person
    from archgen.outputs.handouts import write_quote
    from archgen.quoting.earlier_notes import earlier_notes
    from archgen.quoting.past_work import past_work
    from archgen.quoting.quote import make_quote
    from archgen.quoting.wish import read_wish
    from archgen.reading.records import recall_records
    from archgen.wording.planning.notes import note_words
    from archgen.wording.planning.quotes import client_words, quote_words

    records = recall_records(root, out, build_day())
    code = find_person(records, client).code if client else None
    config = records.config
    given = {key: value for key, value in (("hour", hour), ("least", least)) if value is not None}
    settings = msgspec.structs.replace(config.quote, **given)
    wish = read_wish(width, height, styles, placement or "")
    found = make_quote(past_work(records.pieces), wish, settings, build_day())
    units, currency = config.archive.units, config.portfolio.currency
    if form == "json":
        click.echo(as_json(found))
    else:
        notes = earlier_notes(records.pieces, wish.place, code)
        print_quote(terminal(), quote_words(found, units, currency), note_words(notes))
    if page:
        said = client_words(found, currency)
        if not said:
            raise UsageError(say("There is nothing to show a client yet: too few pieces have hours and a size."))
        click.echo(write_quote(page, found.wish, said, config), err=form == "json")
