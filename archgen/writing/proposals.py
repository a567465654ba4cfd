"""Add to records what the files of their references say, only where a record is silent, and only after it was shown."""

import difflib
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from pathlib import Path

from archgen.languages.house import say
from archgen.publication.embedded import Proposal
from archgen.writing.change import Change, EditedFile, edited_file
from archgen.writing.record_text import SetKey
from archgen.writing.values import toml_value

_TABLE = "reference"


def toml_lines(proposals: Iterable[Proposal]) -> str:
    """Write the lines to add, each group under the place it belongs to."""
    groups = []
    for (piece, number), found in groupby(proposals, key=lambda one: (one.piece, one.number)):
        reference = piece.record.reference[number] if piece.record else None
        place = say("{file}, line {line}", file=piece.toml, line=piece.line(f"{_TABLE}.{number}") or "?")
        lines = [f"# {place}: {reference.file if reference else ''}"]
        lines += [f"{one.key} = {toml_value(one.value)}  # {one.origin}" for one in found]
        groups.append("\n".join(lines))
    return "\n\n".join(groups)


def by_piece(found: Iterable[Proposal]) -> Iterator[list[Proposal]]:
    """Give the proposals of one record at a time."""
    for _, wanted in groupby(found, key=lambda one: one.piece):
        yield list(wanted)


def record_change(root: Path, wanted: Sequence[Proposal]) -> Change:
    """Work out what a record would be with its proposals; nothing is written.

    Raises:
        InputError: It cannot be changed safely.
    """
    piece = wanted[0].piece
    edits = [SetKey((_TABLE, one.number, one.key), one.value) for one in wanted]
    return Change(
        say("{piece}: what the files of its references say", piece=piece.id),
        edited=(edited_file(root, piece.toml, edits),),
    )


def difference(edited: EditedFile) -> str:
    """Give a change of a record as a unified difference."""
    one, other = (
        content.decode("utf-8", "replace").splitlines(keepends=True) for content in (edited.before or b"", edited.after)
    )
    return "".join(difflib.unified_diff(one, other, edited.path, edited.path, n=1))
