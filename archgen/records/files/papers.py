"""Whether the papers a record rests on can be evidence: files that can be read, with something in them.

A letter that is the very picture it is about, or an empty file, is none. What a paper says is for people to read.
"""

from collections.abc import Collection, Iterator
from pathlib import Path

from archgen.records.model import PieceRecord
from archgen.storage.files import digest_file
from archgen.toml.problem import Problem, shown

# Enough to see whether a text file holds more than spaces.
_BEGINNING = 1 << 16


def paper_problems(record: PieceRecord, folder: Path, files: Collection[str]) -> Iterator[Problem]:
    """Find permissions and releases whose file is empty, can't be read or is the picture itself.

    Only the piece's own files are opened; a name that leads to none is told where all names are looked up.
    """
    for number, reference in enumerate(record.reference):
        paper = reference.permission
        if paper and paper in files and (trouble := _trouble(folder, paper, reference.file)):
            key = f"reference.{number}.permission"
            text = f"{shown(paper)} {trouble}, so it can't be the letter or receipt."
            yield Problem("rights.no-evidence", key, None, text, "Put the letter or receipt there.")
    paper = record.release.file
    if paper and paper in files and (trouble := _trouble(folder, paper, None)):
        text = f"{shown(paper)} {trouble}, so it can't be the signed release."
        yield Problem(
            "release.empty-paper", "release.file", None, text, "Put the signed paper there, or take file out."
        )


def _trouble(folder: Path, paper: str, picture: str | None) -> str | None:
    path = folder / paper
    try:
        if picture and paper != picture and _is_copy(path, folder / picture):
            return "is the picture itself"
        with path.open("rb") as stream:
            return None if stream.read(_BEGINNING).strip(b"\0 \t\r\n\xef\xbb\xbf") else "is empty"
    except (OSError, ValueError):
        return "can't be read"


def _is_copy(paper: Path, picture: Path) -> bool:
    return (
        picture.is_file()
        and paper.stat().st_size == picture.stat().st_size
        and digest_file(paper) == digest_file(picture)
    )
