"""archgen pack."""

from pathlib import Path

import click

from archgen.commands.options import archive_option, out_option, progress, terminal
from archgen.errors import WithheldError
from archgen.languages.house import say, say_count


@click.command()
@click.argument("pieces", nargs=-1, required=True, metavar="PIECE...")
@archive_option
@out_option
@click.option("--to", "target", type=click.Path(path_type=Path), metavar="FILE", help="A .html or .zip to write.")
@click.option("--stage", type=click.Choice(["fresh", "healed", "in-progress"]), help="Only photos of this stage.")
@click.option("--stencils", is_flag=True, help="The stencil that went on the skin, too. Not at its size.")
def pack(
    pieces: tuple[str, ...], root: Path, out: Path, target: Path | None, stage: str | None, stencils: bool
) -> None:
    """Put chosen pieces into one file for one client or one guest spot: a page that opens without a connection.

    PIECE is a piece's folder, the beginning of it, or words of its title; quote several words. Only what may be in the
    portfolio can be packed, by the same rules, and the file is searched for everything private before it is written.
    A file name that ends in .zip gives the page with its pictures beside it. Whoever gets the file can pass it on, and
    it can't be taken back.

    \b
    Examples:
      archgen pack "barn owl" moth fern --stage healed
      archgen pack "barn owl" moth --stencils --to for-the-guest-spot.zip
    """
    from archgen.build import Options
    from archgen.commands.sending.upload_text import size_words
    from archgen.commands.texts.leaks_text import each_once
    from archgen.commands.texts.report_text import print_finding, reaches
    from archgen.outputs.result_file import write_file
    from archgen.packing.pack import PackWishes, make_pack
    from archgen.records.model import Stage

    target = target or Path("pack.html")
    as_zip = target.suffix.lower() == ".zip"
    if not as_zip and target.suffix.lower() not in {".html", ".htm"}:
        raise click.UsageError(say("{target}: a pack is a .html or a .zip.", target=target))
    wishes = PackWishes(pieces, Stage(stage) if stage else None, stencils, as_zip)
    made = make_pack(root, out, wishes, Options(), progress())
    for finding in each_once(made.findings):
        print_finding(terminal(), finding)
    if reaches(made.findings, "error"):
        raise WithheldError(say("Something private is in it, or can't be ruled out. Nothing was written."))
    place = write_file(target, made.content, root, b"PK" if as_zip else b"<!doctype html>")
    pictures = say_count("{number} picture", "{number} pictures", made.pictures)
    click.echo(f"{', '.join(made.titles)}: {pictures}, {size_words(len(made.content))}")
    click.echo(place)
