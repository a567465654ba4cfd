"""Ask yes or no on the terminal in the language of the house; English answers count in every language."""

import click

from archgen.languages.house import say, say_in


def confirmed(question: str) -> bool:
    """Ask until the answer is understood; nothing typed is no.

    Raises:
        click.Abort: The input ended.
    """
    asked = f"{question} {say('[y/N]')}"
    while True:
        typed = click.prompt(asked, default="", show_default=False).strip().lower()
        if typed in yes_words():
            return True
        if not typed or typed in no_words():
            return False
        click.echo(say("Error: invalid input"))


def confirm_or_stop(question: str) -> None:
    """Go on after a yes.

    Raises:
        click.Abort: Nobody said so.
    """
    if not confirmed(question):
        raise click.Abort


def yes_words() -> frozenset[str]:
    """Give what may be typed for yes."""
    return frozenset({"y", "yes", *say_in("typed", "y yes").split()})


def no_words() -> frozenset[str]:
    """Give what may be typed for no."""
    return frozenset({"n", "no", *say_in("typed", "n no").split()})
