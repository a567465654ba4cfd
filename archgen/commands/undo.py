"""archgen undo."""

from pathlib import Path

import click

from archgen.commands.options import archive_option, out_option


@click.command()
@archive_option
@out_option
@click.argument("number", type=click.IntRange(min=1), required=False, metavar="[NUMBER]")
@click.option("--list", "listed", is_flag=True, help="List what was done, with its numbers, and change nothing.")
@click.option("--yes", is_flag=True, help="Take it back without asking.")
def undo(root: Path, out: Path, number: int | None, listed: bool, yes: bool) -> None:
    """Take back the last thing that was filed, answered or changed, or the one of NUMBER.

    Shows first what goes and what is put back. Files that were changed since are left alone, and pictures that go are
    moved into the results folder, below kept.

    \b
    Examples:
      archgen undo
      archgen undo --list
      archgen undo 12 --yes
    """
    from archgen.commands.texts.undo_text import past_lines, taking_lines
    from archgen.writing.changes import KEPT, change_to_take_back, finish_interrupted, past_changes, take_back

    kept = out / KEPT
    for said in finish_interrupted(root, kept):
        click.echo(said, err=True)
    if listed:
        done = past_changes(kept)
        click.echo("\n".join(past_lines(done)) if done else "Nothing was changed yet.")
        return
    past = change_to_take_back(kept, number)
    click.echo("\n".join(taking_lines(root, past)))
    if not yes and not click.confirm("Take it back?"):
        click.echo("Nothing was changed.")
        return
    take_back(root, kept, past.number)
    click.echo("Taken back. The pages show it after the next build.")
