"""Ask about one group of an intake on the terminal: which piece, which title; an empty answer leaves it."""

import click

from archgen.commands.speaking.yes_or_no import confirmed
from archgen.commands.texts.intake_text import group_lines
from archgen.intake.answers import joined_group
from archgen.intake.decided import DecidedGroup
from archgen.intake.plan import GroupKind, PlannedGroup
from archgen.languages.house import say


def ask_about(group: PlannedGroup) -> DecidedGroup | None:
    """Ask what is to become of a group; None leaves it where it is."""
    click.echo("")
    for line in group_lines(group):
        click.echo(line)
    if group.proposals:
        piece = _ask_piece(group)
        if piece is not None:
            return DecidedGroup(joined_group(group, piece), group.title, piece=piece)
    if not group.filed:
        return None
    question = say("File it as a new piece? Its title (Enter leaves it for another time, . keeps the name above)")
    title = click.prompt(question, default="", show_default=False).strip()
    if not title:
        click.echo(say("Left for another time."))
        return None
    return DecidedGroup(group, group.title if title == "." else title)


def _ask_piece(group: PlannedGroup) -> str | None:
    numbers = {str(number): one for number, one in enumerate(group.proposals, 1)}
    if len(numbers) == 1 and group.kind is GroupKind.ADDITION:
        first = group.proposals[0]
        return first.piece if confirmed(say("Does it belong to {title}?", title=first.title)) else None
    asked = say("Which piece does it belong to ({numbers}; Enter for none of them)", numbers=", ".join(numbers))
    answer = click.prompt(asked, default="", show_default=False).strip()
    return numbers[answer].piece if answer in numbers else None
