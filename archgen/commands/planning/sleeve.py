"""archgen sleeve."""

from pathlib import Path

import click

from archgen.commands.options import LengthOption, archive_option, out_option, progress


@click.command()
@click.argument("code")
@archive_option
@out_option
@click.option("--to", "target", type=click.Path(path_type=Path), metavar="FILE", help="Default: ./sleeve-CODE.pdf")
@click.option(
    "--girth",
    "girths",
    multiple=True,
    metavar="PLACE=LENGTH",
    help="Measured round the limb: forearm=286mm, wrist=165mm; may be repeated.",
)
@click.option(
    "--length",
    "lengths",
    multiple=True,
    metavar="PART=LENGTH",
    help='Measured along it: "upper arm=310mm"; may be repeated. Default: averages.',
)
@click.option("--new", nargs=2, type=LengthOption(), metavar="WIDTH HEIGHT", help="Whether a new piece finds room.")
@click.option("--notes", is_flag=True, help="Print what was noted for later, too. Only for your own eyes.")
@click.option("--open", "show", is_flag=True, help="Open the PDF in the viewer.")
def sleeve(
    code: str,
    root: Path,
    out: Path,
    target: Path | None,
    girths: tuple[str, ...],
    lengths: tuple[str, ...],
    new: tuple[float, float] | None,
    *,
    notes: bool,
    show: bool,
) -> None:
    """Lay a client's arms and legs flat on one sheet: all pieces to one scale, and the skin that is free.

    Nothing of anybody else is on it. Where the records say no more than "outer forearm", the sheet says so too: the
    piece is drawn somewhere there and what is free is a range.

    \b
    Examples:
      archgen sleeve C-0042
      archgen sleeve C-0042 --new 60mm 90mm
      archgen sleeve C-0042 --girth wrist=165mm --length forearm=250mm --notes
    """
    from archgen.build import Options
    from archgen.commands.planning.sleeve_text import sleeve_lines
    from archgen.limbs.asked import read_measures
    from archgen.outputs.result_file import write_file
    from archgen.packing.sleeve_print import SleeveAsked, make_sleeve

    asked = SleeveAsked(read_measures(girths, lengths), new, notes)
    made = make_sleeve(root, out, code, asked, Options(), progress())
    place = target or Path(f"sleeve-{''.join(one if one.isalnum() else '-' for one in made.code)}.pdf")
    written = write_file(place, made.pdf, root)
    for line in sleeve_lines(made.sheet):
        click.echo(line)
    click.echo(written)
    if show:
        click.launch(str(written))
