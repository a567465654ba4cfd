"""Go through the undecided groups on the terminal: each answer is shown as it will be written, then written."""

import re
from dataclasses import dataclass
from pathlib import Path

import click
from rich.console import Console
from rich.text import Text

from archgen.catalogue import Catalogue, DoubleGroup
from archgen.commands.twins_text import MOST_PICTURES, print_group, title_of
from archgen.doubles.decide import verdicts_about_group
from archgen.doubles.decisions_file import write_verdicts

_HELP = "a number: the one to keep, all others are the same · d: different pictures · l: later · q: quit"
_HELP_OF_MANY = "\n1 -3: keep 1, but 3 is another picture"
_ANSWER = re.compile(r"(?P<keep>\d+)(?P<others>(?:\s*-\s*\d+)*)")


@dataclass(frozen=True, slots=True)
class _Answer:
    keep: str | None
    others: tuple[str, ...] = ()


def walk(console: Console, root: Path, catalogue: Catalogue) -> None:
    """Ask about every undecided group and write each answer at once, so that quitting loses nothing."""
    groups = catalogue.twins.doubles
    if not groups:
        console.print("Nothing is undecided.")
        return
    written = 0
    for number, group in enumerate(groups, 1):
        console.print(Text(f"\n{number} of {len(groups)}  {title_of(catalogue, group)}", "bold"))
        print_group(console, catalogue, group)
        answer = _ask(console, group)
        if answer == "quit":
            break
        if isinstance(answer, _Answer) and _write(console, root, catalogue, group, answer):
            written += 1
    left = len(groups) - written
    console.print(f"\n{written} decided, {left} left for later. The pages show it after the next build.")


def _ask(console: Console, group: DoubleGroup) -> _Answer | str:
    console.print(Text(_HELP + (_HELP_OF_MANY if len(group.paths) > 2 else ""), "dim"))
    while True:
        try:
            text = click.prompt("Keep which?", default="l", show_default=False).strip().lower()
        except click.Abort:  # the end of the input, or Ctrl-C: what was answered is written already
            return "quit"
        if text in {"q", "quit"}:
            return "quit"
        if text in {"l", "later", ""}:
            return "later"
        if text in {"d", "different"}:
            return _Answer(None)
        if answer := _read(text, group):
            return answer
        console.print(f"Answer with a number from 1 to {len(group.paths)}, d, l or q.")


def _read(text: str, group: DoubleGroup) -> _Answer | None:
    match = _ANSWER.fullmatch(text)
    if not match:
        return None
    numbers = [int(match["keep"]), *map(int, re.findall(r"\d+", match["others"]))]
    if not all(1 <= number <= len(group.paths) for number in numbers) or numbers[0] in numbers[1:]:
        return None
    keep, *others = (group.paths[number - 1] for number in numbers)
    return _Answer(keep, tuple(dict.fromkeys(others)))


def _write(console: Console, root: Path, catalogue: Catalogue, group: DoubleGroup, answer: _Answer) -> bool:
    verdicts = verdicts_about_group(catalogue, group.paths, keep=answer.keep, others=answer.others)
    for verdict in verdicts:
        lines = verdict.lines().split("\n")
        console.print()
        console.print(Text("\n".join(lines[: 2 * MOST_PICTURES])))
        if len(lines) > 2 * MOST_PICTURES:
            console.print(f"… and {len(lines) - 2 * MOST_PICTURES} more lines")
    try:
        agreed = click.confirm("Write this to decisions.toml?", default=True)
    except click.Abort:
        return False
    if agreed:
        write_verdicts(root, verdicts)
    return agreed
