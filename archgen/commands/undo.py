"""archgen undo."""

import datetime as dt
from pathlib import Path

import click

from archgen.commands.options import archive_option, out_option
from archgen.commands.speaking.yes_or_no import confirmed
from archgen.languages.house import say


@click.command()
@archive_option
@out_option
@click.argument("number", type=click.IntRange(min=1), required=False, metavar="[NUMBER]")
@click.option("--list", "listed", is_flag=True, help="List what was done, with its numbers, and change nothing.")
@click.option(
    "--tidy",
    is_flag=True,
    help="Throw away what is kept of changes over 90 days, not the last 200, and of removals over 30.",
)
@click.option("--yes", is_flag=True, help="Take it back, or tidy, without asking.")
def undo(root: Path, out: Path, number: int | None, listed: bool, tidy: bool, yes: bool) -> None:
    """Take back the last thing that was filed, answered or changed, or the one of NUMBER.

    Shows first what goes and what is put back. Files that were changed since are left alone, and pictures that go are
    moved into the results folder, below kept.

    \b
    Examples:
      archgen undo
      archgen undo --list
      archgen undo 12 --yes
      archgen undo --tidy
    """
    from archgen.commands.texts.undo_text import kept_line, past_lines, taking_lines
    from archgen.writing.changes import KEPT, change_to_take_back, finish_interrupted, past_changes, take_back

    kept = out / KEPT
    for said in finish_interrupted(root, kept):
        click.echo(said, err=True)
    if listed:
        done = past_changes(kept)
        click.echo("\n".join((*past_lines(done), kept_line(done, kept))) if done else say("Nothing was changed yet."))
        return
    if tidy:
        _tidy(root, kept, sure=yes)
        return
    past = change_to_take_back(kept, number)
    click.echo("\n".join(taking_lines(root, past)))
    if not yes and not confirmed(say("Take it back?")):
        click.echo(say("Nothing was changed."))
        return
    take_back(root, kept, past.number)
    click.echo(say("Taken back. The pages show it after the next build."))


def _tidy(root: Path, kept: Path, *, sure: bool) -> None:
    from archgen.commands.texts.undo_text import kept_line, past_lines
    from archgen.writing.changes import KEPT_DAYS, KEPT_LEAST, REMOVED_DAYS, outlived, throw_away

    gone = outlived(kept, dt.datetime.now(dt.UTC))
    if not gone:
        click.echo(
            say(
                "Nothing to tidy: all that is kept is among the last {changes} changes or {days} days, "
                "and no removal is over {removal_days} days old.",
                changes=KEPT_LEAST,
                days=KEPT_DAYS,
                removal_days=REMOVED_DAYS,
            )
        )
        return
    click.echo("\n".join((*past_lines(gone), kept_line(gone, kept))))
    if not sure and not confirmed(say("Throw away what is kept of these? They can't be taken back then")):
        click.echo(say("Nothing was changed."))
        return
    throw_away(root, kept, gone)
    click.echo(say("Thrown away. Your archive is as it was."))
