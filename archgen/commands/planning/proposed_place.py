"""Show where a stencil's lines would lie on its reference, and ask; without an answer it isn't taken."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from archgen.commands.speaking.yes_or_no import confirmed
from archgen.languages.house import say
from archgen.outputs.result_file import write_file

if TYPE_CHECKING:
    from archgen.outputs.reprints.registration import Registration

_PNG = b"\x89PNG"


def agreed(found: "Registration", reference: Path, target: Path, root: Path, *, yes: bool) -> "Registration":
    """Give a place that is only proposed as the right one after a yes; a picture to look at lies beside the target."""
    from archgen.outputs.reprints.registration import ReferencePlace
    from archgen.outputs.reprints.registration_picture import draw_lines_on
    from archgen.outputs.reprints.working_print import looked_at

    if found.placement is not ReferencePlace.PROPOSED:
        return found
    shown = target.with_name(f"{target.stem}-look-reference.png")
    written = write_file(shown, draw_lines_on(reference, found.lines), root, _PNG)
    click.echo(say("Look whether its lines lie right: {file}", file=written))
    if yes or (sys.stdin.isatty() and confirmed(say("Do they?"))):
        return looked_at(found)
    if not sys.stdin.isatty():
        click.echo(say("Nobody said so, so what is made isn't to scale; add --yes once you have looked."))
    return found
