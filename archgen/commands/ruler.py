"""archgen ruler."""

from pathlib import Path

import click

from archgen.commands.options import archive_option, paper_option, pdf_options, printer_option, settings
from archgen.commands.speaking.yes_or_no import confirm_or_stop
from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.outputs.result_file import write_file
from archgen.units import parse_length


@click.command()
@archive_option
@printer_option
@paper_option
@click.option("--measured", nargs=2, metavar="X Y", help="What the rules measured, across and along: 99.4 100.2")
@click.option("--yes", is_flag=True, help="Write archive.toml without asking.")
@pdf_options
def ruler(
    root: Path,
    printer: str | None,
    paper: str | None,
    measured: tuple[str, str] | None,
    yes: bool,
    out: Path | None,
    show: bool,
) -> None:
    """Calibrate a printer: print its ruler page, then type what the rules measured on paper.

    With --measured the two lengths are written into archive.toml, and every later print is corrected by them.

    \b
    Examples:
      archgen ruler
      archgen ruler --printer thermal --open
      archgen ruler --measured 99.4 100.2
    """
    from archgen.pieces.prints import check_paper, printer_named

    chosen = printer_named(settings(root), printer)
    if measured:
        _write_measured(root, printer, measured, yes=yes)
        return
    from archgen.clock import build_day
    from archgen.printing.ruler_pdf import write_ruler

    target = out or Path("reprints", f"ruler-{chosen.name}.pdf".replace("/", "-"))
    content = write_ruler(chosen, build_day(), check_paper(paper))
    click.echo(
        say("Ruler page for printer {name}. Print it at actual size, 100 %, and measure both rules.", name=chosen.name)
    )
    click.echo(write_file(target, content, root))
    if show:
        click.launch(str(target))


def _write_measured(root: Path, printer: str | None, measured: tuple[str, str], *, yes: bool) -> None:
    from archgen.config import read_config
    from archgen.pieces.prints import printer_named
    from archgen.records.which_archive import results_folder
    from archgen.writing.calibration import measured_change
    from archgen.writing.changes import KEPT, carry_out

    across, along = (_measured(text) for text in measured)
    change = measured_change(root, printer_named(read_config(root), printer), across, along)
    click.echo(f"{change.file}, {change.table}")
    for key, old, new in change.lines:
        before = say('was "{old}"', old=old) if old else say("new")
        click.echo(f'  {key} = "{new}"   ({before})')
    across_words, along_words = (factor - 1 for factor in change.factors)
    click.echo(
        say(
            "Everything is then printed {across:+.2%} across and {along:+.2%} along.",
            across=across_words,
            along=along_words,
        )
    )
    if not yes:
        confirm_or_stop(say("Write this?"))
    carry_out(root, results_folder(root) / KEPT, change.change)
    click.echo(say("Written. Print the ruler page of a stencil once more and check that its rule measures 100 mm."))


def _measured(text: str) -> float:
    """Read "99.4", which means mm here, or a length with its unit."""
    plain = text.strip().replace(",", ".")
    try:
        return parse_length(f"{plain} mm" if plain.replace(".", "", 1).isdecimal() else text)
    except ValueError as error:
        raise UsageError(
            say('--measured "{text}": type what the rule measured in mm, such as 99.4.', text=text)
        ) from error
