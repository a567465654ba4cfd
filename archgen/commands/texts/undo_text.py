"""Past changes as text: the list of them, and what goes and comes when one is taken back."""

import datetime as dt
import difflib
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from archgen.languages.house import say, say_count
from archgen.units import date_words
from archgen.writing.journal import PastChange, Reached

_MOST_FILES = 12
_MOST_LINES = 40


def past_lines(done: Iterable[PastChange]) -> list[str]:
    """List changes, the last first."""
    back = f"  ({say('taken back')})"
    return [
        f"{one.number:>5}  {_moment(one)}  {one.entry.words}{back if one.reached is Reached.TAKEN_BACK else ''}"
        for one in reversed(tuple(done))
    ]


def kept_line(done: Sequence[PastChange], kept: Path) -> str:
    """Say how many changes are kept, where, and how much room they take."""
    size = sum(one.size_bytes for one in done) / 1_000_000
    return say_count(
        "{number} change kept in {folder}, {size:.1f} MB.",
        "{number} changes kept in {folder}, {size:.1f} MB.",
        len(done),
        folder=kept,
        size=size,
    )


def taking_lines(root: Path, past: PastChange) -> list[str]:
    """Say what goes and what reads as before when a change is taken back."""
    new = [file.path for file in past.entry.files if file.before is None]
    lines = [f"{past.number}, {_moment(past)}: {past.entry.words}"]
    back = [file.path for file in past.entry.files if file.after is None]
    for title, paths in ((say("Moves to the results folder:"), new), (say("Comes back:"), back)):
        if paths:
            lines += [title, *(f"  {path}" for path in paths[:_MOST_FILES])]
        if len(paths) > _MOST_FILES:
            lines.append(f"  {say('and {number} more files', number=len(paths) - _MOST_FILES)}")
    for file in past.entry.files:
        if file.kept is not None and file.after is not None:
            lines.append(say("Put back as it was: {file}", file=file.path))
            lines += _difference(root / file.path, past.folder / file.kept)
    return lines


def _difference(now: Path, before: Path) -> Iterator[str]:
    try:
        one, other = (path.read_bytes().decode("utf-8", "replace").splitlines() for path in (now, before))
    except OSError:
        return
    steps = list(difflib.unified_diff(one, other, n=0, lineterm=""))[2:]
    shown = [line for line in steps if not line.startswith("@@")]
    yield from (f"  {line[0]} {line[1:]}" for line in shown[:_MOST_LINES])
    if len(shown) > _MOST_LINES:
        yield f"  {say('and {number} more lines', number=len(shown) - _MOST_LINES)}"


def _moment(past: PastChange) -> str:
    moment = dt.datetime.fromisoformat(past.entry.at)
    return f"{date_words(moment.date())}, {moment:%H:%M}"
