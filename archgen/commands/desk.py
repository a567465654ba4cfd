"""archgen desk."""

from pathlib import Path

import click

from archgen.commands.options import archive_option, is_default, out_option, progress
from archgen.languages.house import say


@click.command()
@archive_option
@out_option
@click.option("--no-browser", is_flag=True, help="Only print the address; open it yourself.")
def desk(root: Path, out: Path, no_browser: bool) -> None:
    """Open the archive with pens in your browser: file pieces, answer questions, add healed photos.

    It is reached from this computer only, under an address with a key of its own, and closes with Ctrl+C or after an
    hour without a touch. The files on disk are built again in the background.

    \b
    Examples:
      archgen desk
      archgen desk --archive ~/tattoo-archive
      archgen desk --no-browser
    """
    import webbrowser

    from archgen.build import Options
    from archgen.desk.server import OpenDeskError, run_desk
    from archgen.desk.state import DeskState, SharedProgress
    from archgen.records.layout import is_archive
    from archgen.records.which_archive import results_folder

    if is_default("root") and not is_archive(root):
        root = Path.home() / "tattoo-archive"
        out = results_folder(root) if is_default("out") else out
        click.echo(
            say("There is no archive yet. The desk asks a few questions and makes one: {root}", root=root), err=True
        )
    state = DeskState(root, out, Options(), SharedProgress(progress()))
    try:
        run_desk(state, lambda words: click.echo(words, err=True), opens_browser=not no_browser)
    except OpenDeskError as error:
        if error.address is None:
            click.echo(say("A desk of this archive is open already. Look for its window, or close it there."), err=True)
            return
        click.echo(say("A desk of this archive is open already: {address}", address=error.address), err=True)
        if not no_browser:
            webbrowser.open(error.address)
