"""Add to records what the files of their references say, only where a record is silent, and only after it was shown."""

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from archgen.errors import InputError
from archgen.publication.embedded import Proposal
from archgen.storage.files import is_inside, write_atomically
from archgen.toml.fill import fill_tables

_TABLE = "reference"
_BYTE_ORDER_MARK = b"\xef\xbb\xbf"


@dataclass(frozen=True, slots=True)
class RecordChange:
    """One record before and after; after is None when the lines must be written by hand."""

    file: str
    before: bytes
    after: bytes | None
    lines: int

    def difference(self) -> str:
        """Give the change as a unified difference."""
        one, other = (content.decode().splitlines(keepends=True) for content in (self.before, self.after or b""))
        return "".join(difflib.unified_diff(one, other, self.file, self.file, n=1))


def toml_lines(proposals: Iterable[Proposal]) -> str:
    """Write the lines to add, each group under the place it belongs to."""
    groups = []
    for (piece, number), found in groupby(proposals, key=lambda one: (one.piece, one.number)):
        reference = piece.record.reference[number] if piece.record else None
        place = f"{piece.toml}, line {piece.line(f'{_TABLE}.{number}') or '?'}"
        lines = [f"# {place}: {reference.file if reference else ''}"]
        lines += [f"{one.key} = {_quoted(one.value)}  # {one.origin}" for one in found]
        groups.append("\n".join(lines))
    return "\n\n".join(groups)


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def changes(root: Path, proposals: Iterable[Proposal]) -> tuple[RecordChange, ...]:
    """Work out what each record would be; nothing is written."""
    found = []
    for piece, wanted in groupby(proposals, key=lambda one: one.piece):
        additions: dict[int, dict[str, str]] = {}
        for one in wanted:
            additions.setdefault(one.number, {})[one.key] = one.value
        before = (root / piece.toml).read_bytes()
        mark = _BYTE_ORDER_MARK if before.startswith(_BYTE_ORDER_MARK) else b""
        filled = fill_tables(before[len(mark) :].decode(), _TABLE, additions)
        after = None if filled is None else mark + filled.encode()
        found.append(RecordChange(piece.toml, before, after, sum(map(len, additions.values()))))
    return tuple(found)


def write(root: Path, change: RecordChange) -> None:
    """Put the new record in the place of the old one, at once or not at all.

    Raises:
        InputError: The record changed in the meantime, or is a link out of the archive folder.
    """
    path = root / change.file
    if not is_inside(path, root):
        raise InputError(f"{change.file} is a link out of the archive folder and was not changed.")
    if change.after is None:
        return
    if path.read_bytes() != change.before:
        raise InputError(f"{change.file} was changed by somebody else just now. Run the command again.")
    write_atomically(path, change.after)
