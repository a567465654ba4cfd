"""archgen start."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from archgen.commands.options import terminal
from archgen.errors import ConfigError, UsageError
from archgen.languages.house import say, say_any, to_say

if TYPE_CHECKING:
    from archgen.writing.new_archive import StudioAnswers

_SKIP = to_say("Enter skips a question; everything can be changed later in archive.toml.")


@click.command()
@click.argument("folder", type=click.Path(path_type=Path), metavar="DIR")
@click.option("--yes", is_flag=True, help="Ask nothing: everything as it usually is.")
def start(folder: Path, yes: bool) -> None:
    """Make a new archive in DIR and remember it, so that no later command needs to be told where it is.

    Asks for a title, your name, paper, printer, units and currency; every question can be skipped. Nothing that lies
    in DIR already is changed.

    \b
    Examples:
      archgen start ~/tattoo-archive
      archgen start ~/tattoo-archive --yes
    """
    from archgen.config import FILE
    from archgen.storage.remembered import remember_archive
    from archgen.writing.new_archive import StudioAnswers, make_archive, title_from

    if folder.exists() and not folder.is_dir():
        raise UsageError(say("{folder} is a file. Name a folder, or one that is to be made.", folder=folder))
    if (folder / FILE).exists():
        _remember(remember_archive, folder)
        click.echo(
            say(
                "{folder} is an archive already. It is the one used from now on; nothing in it was changed.",
                folder=folder,
            )
        )
        return
    title = title_from(folder)
    answers = StudioAnswers(title) if yes else _ask(title)
    made = make_archive(folder, answers)
    _remember(remember_archive, folder)
    out = terminal()
    out.print(say("Your archive is {folder}. Made:", folder=folder.resolve()))
    for path in made:
        out.print(f"  {path}")
    out.print(say("It is used from now on wherever you are; --archive names another."))
    out.print(say("Next: copy a piece's pictures into a folder below pieces, then run: archgen build"))


def _remember(remember: Callable[[Path], None], folder: Path) -> None:
    try:
        remember(folder)
    except OSError:
        click.echo(say("It could not be remembered: name it with --archive each time."), err=True)


def _ask(title: str) -> "StudioAnswers":
    from archgen.papers import parse_paper
    from archgen.writing.new_archive import StudioAnswers

    click.echo(say(_SKIP))
    return StudioAnswers(
        title=_answer(say("What is the archive called? [{title}]", title=title)) or title,
        artist=_answer(say("Your name, as visitors of your pages read it?")),
        paper=_answer(say("Paper in the printer, such as A4 or Letter?"), lambda text: parse_paper(text).name),
        method=_answer(say("Stencil printer: ink-jet or thermal?"), _one_of("ink-jet", "thermal")),
        units=_answer(say("Lengths in mm or in?"), _one_of("mm", "in")),
        currency=_answer(say("Prices in which currency, such as EUR or GBP?"), _three_letters),
    )


def _answer(question: str, check: Callable[[str], str] = str) -> str | None:
    """Ask until the answer is understood or skipped."""
    while True:
        text: str = click.prompt(question, default="", show_default=False, prompt_suffix=" ").strip()
        if not text:
            return None
        try:
            return check(text)
        except (ValueError, ConfigError) as error:
            click.echo(f"  {error}")


def _one_of(*words: str) -> Callable[[str], str]:
    def check(text: str) -> str:
        found = [
            word for word in words if word.replace("-", "").startswith(text.lower().replace("-", "").replace(" ", ""))
        ]
        if len(found) != 1:
            raise ValueError(say("Type {words}, or Enter to skip.", words=say_any(words)))
        return found[0]

    return check


def _three_letters(text: str) -> str:
    code = text.upper()
    if len(code) != 3 or not code.isascii() or not code.isalpha():
        raise ValueError(say("Three letters, such as EUR, GBP or USD; Enter skips."))
    return code
