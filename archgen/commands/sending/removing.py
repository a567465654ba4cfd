"""A client's removal on the terminal: the plan, carried out file by file with a yes, and what is left of them."""

import datetime as dt
import sys
from collections.abc import Iterable
from pathlib import Path

import click

from archgen.build import Options
from archgen.commands.sending.client_text import going_line, removal_lines
from archgen.commands.speaking.yes_or_no import confirmed
from archgen.errors import ExitCode, OutputError
from archgen.holdings.carrying import removal_change
from archgen.holdings.going import Going
from archgen.holdings.removal import plan_removal
from archgen.holdings.removal_words import removal_afterwards
from archgen.languages.house import say, say_count, to_say
from archgen.packing.bundle import person_of
from archgen.packing.left_behind import left_behind
from archgen.writing.changes import (
    KEPT,
    REMOVED_DAYS,
    carry_out,
    finish_interrupted,
    removals_to_end,
    throw_away,
)

_NOW = to_say(
    "Run archgen build, then archgen upload if your portfolio is online, then archgen client {code} --removal --check."
)


def show_plan(root: Path, out: Path, code: str) -> None:
    """Say what would go; nothing is removed."""
    person, catalogue = person_of(root, out, code, Options())
    for line in removal_lines(person, plan_removal(person, catalogue)):
        click.echo(line)


def remove(root: Path, out: Path, code: str) -> None:
    """Ask about each file and line, show what was said yes to, and remove that in one step."""
    kept = out / KEPT
    for said in finish_interrupted(root, kept):
        click.echo(said, err=True)
    _end_old_ones(root, kept)
    person, catalogue = person_of(root, out, code, Options())
    plan = plan_removal(person, catalogue)
    for line in removal_lines(person, plan):
        click.echo(line)
    click.echo("")
    chosen = _asked(plan.going)
    if not chosen:
        click.echo(say("Nothing was removed."))
        return
    files = sum(one.is_file for one in chosen)
    places = len(chosen) - files
    said = say(
        "{files} and {places} in your records",
        files=say_count("{number} file", "{number} files", files),
        places=say_count("{number} place", "{number} places", places),
    )
    if not confirmed(say("Remove {what} now?", what=said)):
        click.echo(say("Nothing was removed."))
        return
    again, now = person_of(root, out, code, Options())
    if plan_removal(again, now) != plan:
        raise OutputError(say("The archive was changed meanwhile. Nothing was removed; look at the plan again."))
    carry_out(root, kept, removal_change(root, chosen))
    click.echo(say("Removed: {what}.", what=said))
    click.echo(say(_NOW, code=person.code))
    for sentence in removal_afterwards():
        click.echo(sentence)


def check_removed(root: Path, out: Path, code: str) -> None:
    """Look through what was built for a client who was removed; exit code 1 where something is left."""
    found = left_behind(root, out, code, Options())
    for where in found.places:
        click.echo(where)
    if found.places:
        places = say_count("{number} place", "{number} places", len(found.places))
        files = say_count("{places} in {number} file.", "{places} in {number} files.", found.files, places=places)
        click.echo(f"{files} {say('Run archgen build, then look again.')}")
        sys.exit(ExitCode.FINDINGS)
    click.echo(
        say_count(
            "Nothing of them in {number} file that were built.",
            "Nothing of them in {number} files that were built.",
            found.files,
        )
    )


def _end_old_ones(root: Path, kept: Path) -> None:
    ended = removals_to_end(kept, dt.datetime.now(dt.UTC))
    if ended:
        throw_away(root, kept, ended)
        days = say(
            "Earlier removals are over {days} days old: what was kept of them is thrown away for good.",
            days=REMOVED_DAYS,
        )
        click.echo(days)


def _asked(going: Iterable[Going]) -> list[Going]:
    chosen = []
    for number, one in enumerate(going, 1):
        click.echo(f"{number} {going_line(one)}")
        if confirmed(f"  {say('Remove it?')}"):
            chosen.append(one)
    return chosen
