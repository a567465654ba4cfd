"""Go through the undecided groups on the terminal: each answer is shown as it will be written, then written."""

import re
from dataclasses import dataclass
from pathlib import Path

import click
from rich.console import Console
from rich.text import Text

from archgen.catalogue import Catalogue, DoubleGroup
from archgen.commands.texts.twins_text import MOST_PICTURES, print_group, title_of
from archgen.doubles.decide import verdicts_about_group
from archgen.doubles.decisions_file import FILE, Verdict
from archgen.writing.addition import addition
from archgen.writing.change import Change
from archgen.writing.changes import carry_out

_ANSWER = re.compile(r"(?P<keep>\d+)(?P<others>(?:\s*-\s*\d+)*)")
_TWO = (("1 or 2", "keep that one; the other is the same picture"),)
_MANY = (
    ("1, 2 …", "keep that one; all others are the same picture"),
    ("1 -3", "keep 1, but 3 is another picture; what is left is the same as 1"),
)
_ALWAYS = (("d", "these are different pictures"), ("l", "later"), ("q", "quit; what was written stays"))


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
        console.print("Nothing is left to decide.")
        return
    written = 0
    explained: set[bool] = set()
    try:
        for number, group in enumerate(groups, 1):
            console.print(Text(f"\n{number} of {len(groups)}  {title_of(catalogue, group)}", "bold"))
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
    console.print(f"{written} decided, {len(groups) - written} left for later. The pages show it after the next build.")
    if written:
        console.print("To take the last one back: archgen undo")


def _explain(console: Console, group: DoubleGroup) -> None:
    console.print("Type one of these and press Enter:")
    for typed, meaning in (*(_MANY if len(group.paths) > 2 else _TWO), *_ALWAYS):
        console.print(Text.assemble(f"  {typed:<8}", (meaning, "dim")))


def _typed(question: str, otherwise: str) -> str:
    try:
        typed: str = click.prompt(question, default=otherwise, show_default=False)
    except click.Abort:  # the end of the input, or Ctrl-C
        raise _QuitError from None
    return typed.strip().lower()


def _ask(console: Console, group: DoubleGroup) -> _Answer | None:
    """Ask until the answer can be understood; None is later."""
    while True:
        text = _typed(f"Keep which? (1 to {len(group.paths)}, d, l, q, or ? for help)", "l")
        if text in {"q", "quit"}:
            raise _QuitError
        if text in {"l", "later", ""}:
            return None
        if text in {"d", "different"}:
            return _Answer(None)
        if answer := _read(text, group):
            return answer
        if text != "?":
            console.print("That isn't one of the answers.")
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
            console.print(f"… and {len(lines) - 2 * MOST_PICTURES} more lines")
    if not _agreed(console):
        return False
    added = addition(root, FILE, [verdict.lines() for verdict in verdicts])
    carry_out(root, kept, Change(verdicts[0].words, edited=(added,)))
    console.print(f"Added to {added.place(root)}.")
    return True


def _agreed(console: Console) -> bool:
    while True:
        text = _typed(f"Write this to {FILE}? (y or n; Enter is y)", "y")
        if text in {"y", "yes", ""}:
            return True
        if text in {"n", "no"}:
            return False
        console.print("Type y to write these lines, n to leave the group for later, and press Enter.")
