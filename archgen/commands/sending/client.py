"""archgen client."""

from pathlib import Path

import click

from archgen.commands.options import archive_option, out_option, progress, terminal
from archgen.errors import OutputError, WithheldError


@click.command()
@click.argument("code")
@archive_option
@out_option
@click.option(
    "--to",
    "target",
    type=click.Path(path_type=Path),
    metavar="PLACE",
    help="A .zip, or a folder that is not there yet. Default: client-CODE.zip",
)
@click.option("--removal", is_flag=True, help="List what would go if they ask to be forgotten. Nothing is removed.")
def client(code: str, root: Path, out: Path, target: Path | None, *, removal: bool) -> None:
    """Give one client everything that is held about them, or plan its removal.

    The bundle is a page to read, the same as data for another program, their photos and what they signed. Drawings,
    references and drafts stay out, and so does every sentence that names somebody else; the bundle is looked through
    for everybody else before it is written. What a person may ask for and when is a matter of law: this is no advice.

    \b
    Examples:
      archgen client C-0042
      archgen client C-0042 --to for-them
      archgen client C-0042 --removal
    """
    from archgen.build import Options
    from archgen.commands.sending.client_text import bundle_lines, removal_lines
    from archgen.commands.texts.report_text import print_finding
    from archgen.holdings.removal import plan_removal
    from archgen.outputs.client_bundle import write_bundle
    from archgen.packing.bundle import make_bundle, person_of

    if removal:
        if target:
            raise click.UsageError("--to goes with the bundle, without --removal.")
        person, catalogue = person_of(root, out, code, Options())
        for line in removal_lines(person, plan_removal(person, catalogue)):
            click.echo(line)
        return
    made = make_bundle(root, out, code, Options(), progress())
    for finding in made.findings:
        print_finding(terminal(), finding)
    if made.findings:
        raise WithheldError("Somebody else is named in it, or may be. Nothing was written.")
    place = target or Path(f"client-{''.join(one if one.isalnum() else '-' for one in made.held.code)}.zip")
    if place.is_dir() and any(place.iterdir()):
        raise OutputError(f"{place} is a folder with something in it. Name one that is not there yet, or a .zip.")
    for line in bundle_lines(made):
        click.echo(line)
    click.echo(write_bundle(place, made.files, root))
