"""Go through the undecided groups on the terminal: each answer is shown as it will be written, then written."""

import re
from dataclasses import dataclass
from pathlib import Path

import click
from rich.console import Console
from rich.text import Text

from archgen.catalogue import Catalogue, DoubleGroup
from archgen.commands.speaking.yes_or_no import no_words, yes_words
from archgen.commands.texts.twins_text import MOST_PICTURES, print_group, title_of
from archgen.doubles.decide import verdicts_about_group
from archgen.doubles.decisions_file import FILE, Verdict
from archgen.languages.house import say, to_say
from archgen.writing.addition import addition
from archgen.writing.change import Change
from archgen.writing.changes import carry_out

_ANSWER = re.compile(r"(?P<keep>\d+)(?P<others>(?:\s*-\s*\d+)*)")
_TWO = ((to_say("1 or 2"), to_say("keep that one; the other is the same picture")),)
_MANY = (
    ("1, 2 …", to_say("keep that one; all others are the same picture")),
    ("1 -3", to_say("keep 1, but 3 is another picture; what is left is the same as 1")),
)
_ALWAYS = (
    ("d", to_say("these are different pictures")),
    ("l", to_say("later")),
    ("q", to_say("quit; what was written stays")),
)


@dataclass(frozen=True, slots=True)
class _Answer:
    keep: str | None
    others: tuple[str, ...] = ()


class _QuitError(Exception):
    """The artist wants to stop, or the input ended; what was answered is written already."""


def walk(console: Console, root: Path, kept: Path, catalogue: Catalogue) -> None:
    """Ask about every undecided group and write each answer at once, so that quitting loses nothing."""
    groups = catalogue.twins.doubles
    if not groups:
        console.print(say("Nothing is left to decide."))
        return
    written = 0
    explained: set[bool] = set()
    try:
        for number, group in enumerate(groups, 1):
            place = say("{number} of {all}", number=number, all=len(groups))
            console.print(Text(f"\n{place}  {title_of(catalogue, group)}", "bold"))
            print_group(console, catalogue, group)
            if (is_many := len(group.paths) > 2) not in explained:
                explained.add(is_many)
                _explain(console, group)
            answer = _ask(console, group)
            written += answer is not None and _write(
                console,
                root,
                kept,
                verdicts_about_group(catalogue, group.paths, keep=answer.keep, others=answer.others),
            )
    except _QuitError:
        console.print()
    console.print(
        say(
            "{decided} decided, {left} left for later. The pages show it after the next build.",
            decided=written,
            left=len(groups) - written,
        )
    )
    if written:
        console.print(say("To take the last one back: archgen undo"))


def _explain(console: Console, group: DoubleGroup) -> None:
    console.print(say("Type one of these and press Enter:"))
    for typed, meaning in (*(_MANY if len(group.paths) > 2 else _TWO), *_ALWAYS):
        console.print(Text.assemble(f"  {say(typed):<8}", (say(meaning), "dim")))


def _typed(question: str, otherwise: str) -> str:
    try:
        typed: str = click.prompt(question, default=otherwise, show_default=False)
    except click.Abort:  # the end of the input, or Ctrl-C
        raise _QuitError from None
    return typed.strip().lower()


def _ask(console: Console, group: DoubleGroup) -> _Answer | None:
    """Ask until the answer can be understood; None is later."""
    while True:
        text = _typed(say("Keep which? (1 to {last}, d, l, q, or ? for help)", last=len(group.paths)), "l")
        if text in {"q", "quit"}:
            raise _QuitError
        if text in {"l", "later", ""}:
            return None
        if text in {"d", "different"}:
            return _Answer(None)
        if answer := _read(text, group):
            return answer
        if text != "?":
            console.print(say("That isn't one of the answers."))
        _explain(console, group)


def _read(text: str, group: DoubleGroup) -> _Answer | None:
    match = _ANSWER.fullmatch(text)
    if not match:
        return None
    numbers = [int(match["keep"]), *map(int, re.findall(r"\d+", match["others"]))]
    if not all(1 <= number <= len(group.paths) for number in numbers) or numbers[0] in numbers[1:]:
        return None
    keep, *others = (group.paths[number - 1] for number in numbers)
    return _Answer(keep, tuple(dict.fromkeys(others)))


def _write(console: Console, root: Path, kept: Path, verdicts: list[Verdict]) -> bool:
    for verdict in verdicts:
        lines = verdict.lines().split("\n")
        console.print()
        console.print(Text("\n".join(lines[: 2 * MOST_PICTURES])))
        if len(lines) > 2 * MOST_PICTURES:
            console.print(f"… {say('and {number} more lines', number=len(lines) - 2 * MOST_PICTURES)}")
    if not _agreed(console):
        return False
    added = addition(root, FILE, [verdict.lines() for verdict in verdicts])
    carry_out(root, kept, Change(verdicts[0].words, edited=(added,)))
    console.print(say("Added to {place}.", place=added.place(root)))
    return True


def _agreed(console: Console) -> bool:
    while True:
        text = _typed(say("Write this to {file}? (y or n; Enter is y)", file=FILE), "y")
        if text == "" or text in yes_words():
            return True
        if text in no_words():
            return False
        console.print(say("Type y to write these lines, n to leave the group for later, and press Enter."))
