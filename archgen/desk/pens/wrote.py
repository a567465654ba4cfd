"""What was just written, shown above the page: the words, the lines, and the way back."""

from dataclasses import dataclass
from pathlib import Path

from archgen.desk.state import DeskState
from archgen.writing.changes import KEPT, past_changes
from archgen.writing.journal import JournalFile, PastChange, Reached
from archgen.writing.record_text import written_lines

_MOST_LINES = 60
_TEXTS = (".toml", ".md")


@dataclass(frozen=True, slots=True)
class WrittenFile:
    """One file of a change: the new lines of a text; none for a picture that was copied and for a file that went."""

    path: str
    lines: tuple[str, ...]
    is_new: bool
    is_gone: bool = False


@dataclass(frozen=True, slots=True)
class WroteView:
    """A change as the page tells it.

    Attributes:
        is_back: Whether it was taken back.
        page: The page to come back to, from the desk's first folder.
    """

    number: int
    words: str
    files: tuple[WrittenFile, ...]
    is_back: bool
    page: str


def wrote_view(state: DeskState, number: str, page: str) -> WroteView | None:
    """Give the change of a number; None when there is none."""
    if not number.isdecimal() or len(number) > 9:
        return None
    found = next((one for one in past_changes(state.out / KEPT) if one.number == int(number)), None)
    return told(state.root, found, page) if found else None


def told(root: Path, past: PastChange, page: str) -> WroteView:
    """Tell a change."""
    is_back = past.reached is Reached.TAKEN_BACK
    files = () if is_back else tuple(_file(root, past, file) for file in past.entry.files)
    return WroteView(past.number, past.entry.words, files, is_back, page)


def _file(root: Path, past: PastChange, file: JournalFile) -> WrittenFile:
    if file.after is None:
        return WrittenFile(file.path, (), is_new=False, is_gone=True)
    if not file.path.endswith(_TEXTS):
        return WrittenFile(file.path, (), file.before is None)
    try:
        now = (root / file.path).read_text("utf-8-sig", "replace")
        before = (past.folder / file.kept).read_text("utf-8-sig", "replace") if file.kept else ""
    except OSError:
        return WrittenFile(file.path, (), file.before is None)
    lines = tuple(line.text for line in written_lines(before, now))
    return WrittenFile(file.path, lines[:_MOST_LINES], file.before is None)
