"""Past changes as text: the list of them, and what goes and comes when one is taken back."""

import datetime as dt
import difflib
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from archgen.units import date_words
from archgen.wording.counts import count_words
from archgen.writing.journal import PastChange, Reached

_MOST_FILES = 12
_MOST_LINES = 40


def past_lines(done: Iterable[PastChange]) -> list[str]:
    """List changes, the last first."""
    return [
        f"{one.number:>5}  {_moment(one)}  {one.entry.words}" + ("  (taken back)" * (one.reached is Reached.TAKEN_BACK))
        for one in reversed(tuple(done))
    ]


def kept_line(done: Sequence[PastChange], kept: Path) -> str:
    """Say how many changes are kept, where, and how much room they take."""
    size = sum(one.size_bytes for one in done) / 1_000_000
    return f"{count_words(len(done), 'change')} kept in {kept}, {size:.1f} MB."


def taking_lines(root: Path, past: PastChange) -> list[str]:
    """Say what goes and what reads as before when a change is taken back."""
    new = [file.path for file in past.entry.files if file.before is None]
    lines = [f"{past.number}, {_moment(past)}: {past.entry.words}"]
    if new:
        lines += ["Moves to the results folder:", *(f"  {path}" for path in new[:_MOST_FILES])]
    if len(new) > _MOST_FILES:
        lines.append(f"  and {len(new) - _MOST_FILES} more files")
    back = [file.path for file in past.entry.files if file.after is None]
    if back:
        lines += ["Comes back:", *(f"  {path}" for path in back[:_MOST_FILES])]
    if len(back) > _MOST_FILES:
        lines.append(f"  and {len(back) - _MOST_FILES} more files")
    for file in past.entry.files:
        if file.kept is not None and file.after is not None:
            lines.append(f"Put back as it was: {file.path}")
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
        yield f"  and {len(shown) - _MOST_LINES} more lines"


def _moment(past: PastChange) -> str:
    moment = dt.datetime.fromisoformat(past.entry.at)
    return f"{date_words(moment.date())}, {moment:%H:%M}"
