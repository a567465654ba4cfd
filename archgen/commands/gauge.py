"""archgen gauge."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from archgen.commands.options import FORMAT_HELP, LengthOption, archive_option, settings
from archgen.errors import UsageError, no_such_file
from archgen.languages.house import say
from archgen.outputs.result_file import write_file
from archgen.units import parse_length

if TYPE_CHECKING:
    from archgen.wording.stencils.gauges import Gauged


@click.command()
@click.argument("words", nargs=-1, required=True, metavar="PIECE|IMAGE")
@archive_option
@click.option("--version", "versions", metavar="N", help="Stencil version. Default: the one that went on the skin.")
@click.option("--width", type=LengthOption(), help="Printed width of the marks. Default: as recorded.")
@click.option("--widths", metavar="A,B,C", help="Also say at which of these widths it stays readable: 40mm,60mm,80mm")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help=FORMAT_HELP)
@click.option(
    "--picture", type=click.Path(path_type=Path), metavar="FILE", help="Write a PNG with the critical places marked."
)
def gauge(
    words: tuple[str, ...],
    root: Path,
    versions: str | None,
    width: float | None,
    widths: str | None,
    form: str,
    picture: Path | None,
) -> None:
    """Measure whether a stencil's lines and gaps stay readable at its printed size.

    \b
    Examples:
      archgen gauge barn owl
      archgen gauge owl --widths 40mm,60mm,80mm --picture owl-marked.png
      archgen gauge swallow.svg --width 90mm --format json
    """
    import msgspec

    from archgen.stencils.stroke_width import at_widths
    from archgen.wording.stencils.gauges import as_json, gauge_words, table_words

    asked = _widths(widths)
    gauged = _gauge(root, words, versions, width)
    rows = at_widths(gauged.gauge, asked)
    if form == "json":
        click.echo(msgspec.json.format(msgspec.json.encode(as_json(gauged.gauge, rows)), indent=2))
    else:
        for line in (*gauge_words(gauged), *(table_words(rows) if rows else ())):
            click.echo(line)
    if picture:
        written = write_file(picture, _marked(gauged), root, b"\x89PNG")
        click.echo(written, err=form == "json")


def _gauge(root: Path, words: tuple[str, ...], version: str | None, width: float | None) -> "Gauged":
    from archgen.pieces.gauging import gauge_limits
    from archgen.records.find import read_one
    from archgen.records.folder import STENCIL_SUFFIXES
    from archgen.wording.stencils.gauges import gauge_image, gauge_piece

    config = settings(root)
    limits = gauge_limits(config.limits)
    typed = " ".join(words)
    file = Path(typed)
    if file.is_file():
        return gauge_image(file, width, limits)
    if file.suffix.lower() in STENCIL_SUFFIXES:
        raise no_such_file(file)
    return gauge_piece(root, read_one(root, typed, config.archive.units), [version] if version else [], width, limits)


def _widths(typed: str | None) -> tuple[float, ...]:
    try:
        return tuple(parse_length(part) for part in typed.split(",")) if typed else ()
    except ValueError as error:
        raise UsageError(
            say('--widths "{typed}": {error}. Separate them by commas.', typed=typed, error=error)
        ) from error


def _marked(gauged: "Gauged") -> bytes:
    from io import BytesIO

    from archgen.stencils.gauge_picture import draw_gauge

    out = BytesIO()
    draw_gauge(gauged.marks, gauged.gauge, 1400).save(out, "PNG")
    return out.getvalue()
