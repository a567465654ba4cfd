"""archgen client."""

from pathlib import Path

import click

from archgen.commands.options import archive_option, out_option, progress, terminal
from archgen.errors import OutputError, WithheldError
from archgen.languages.house import say


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
@click.option(
    "--carry-out", is_flag=True, help="With --removal: ask about each file and line, and remove what you say."
)
@click.option("--check", is_flag=True, help="With --removal: look through what was built for what was removed.")
def client(
    code: str, root: Path, out: Path, target: Path | None, *, removal: bool, carry_out: bool, check: bool
) -> None:
    """Give one client everything that is held about them, or plan its removal.

    The bundle is a page to read, the same as data for another program, their photos and what they signed. Drawings,
    references and drafts stay out, and so does every sentence that names somebody else; the bundle is looked through
    for everybody else before it is written. What a person may ask for and when is a matter of law, and this isn't legal
    advice. A removal is carried out file by file with your yes, can be taken back for 30 days, and is thrown away for
    good by `archgen undo --tidy` after them, or by the next removal.

    \b
    Examples:
      archgen client C-0042
      archgen client C-0042 --to for-them
      archgen client C-0042 --removal
      archgen client C-0042 --removal --carry-out
    """
    if removal or carry_out or check:
        from archgen.commands.sending.removing import check_removed, remove, show_plan

        if target:
            raise click.UsageError(say("--to goes with the bundle, without --removal."))
        if not removal or (carry_out and check):
            raise click.UsageError(say("--carry-out and --check go with --removal, one of the two."))
        (check_removed if check else remove if carry_out else show_plan)(root, out, code)
        return
    from archgen.build import Options
    from archgen.commands.sending.client_text import bundle_lines
    from archgen.commands.texts.report_text import print_finding
    from archgen.outputs.client_bundle import write_bundle
    from archgen.packing.bundle import make_bundle

    made = make_bundle(root, out, code, Options(), progress())
    for finding in made.findings:
        print_finding(terminal(), finding)
    if made.findings:
        raise WithheldError(say("Somebody else is named in it, or may be. Nothing was written."))
    place = target or Path(f"client-{''.join(one if one.isalnum() else '-' for one in made.held.code)}.zip")
    if place.is_dir() and any(place.iterdir()):
        raise OutputError(
            say("{place} is a folder with something in it. Name one that is not there yet, or a .zip.", place=place)
        )
    for line in bundle_lines(made):
        click.echo(line)
    click.echo(write_bundle(place, made.files, root))
