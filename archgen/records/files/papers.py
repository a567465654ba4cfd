"""Whether the papers a record rests on can be evidence: files that can be read, with something in them.

A letter that is the very picture it is about, or an empty file, is none. What a paper says is for people to read.
"""

from collections.abc import Collection, Iterator, Sequence
from pathlib import Path

from archgen.languages.house import say, to_say
from archgen.records.model import PieceRecord
from archgen.storage.files import digest_file
from archgen.toml.problem import Problem, shown

# Enough to see whether a text file holds more than spaces.
_BEGINNING = 1 << 16
# What is wrong with a paper: it is the picture itself, it is empty, it can't be read.
_NO_LETTER = (
    to_say("{paper} is the picture itself, so it can't be the letter or receipt."),
    to_say("{paper} is empty, so it can't be the letter or receipt."),
    to_say("{paper} can't be read, so it can't be the letter or receipt."),
)
_NO_RELEASE = (
    to_say("{paper} is the picture itself, so it can't be the signed release."),
    to_say("{paper} is empty, so it can't be the signed release."),
    to_say("{paper} can't be read, so it can't be the signed release."),
)


def paper_problems(record: PieceRecord, folder: Path, files: Collection[str]) -> Iterator[Problem]:
    """Find permissions and releases whose file is empty, can't be read or is the picture itself.

    Only the piece's own files are opened; a name that leads to none is told where all names are looked up.
    """
    for number, reference in enumerate(record.reference):
        paper = reference.permission
        if paper and paper in files and (trouble := _trouble(folder, paper, reference.file, _NO_LETTER)):
            key = f"reference.{number}.permission"
            yield Problem("rights.no-evidence", key, None, trouble, say("Put the letter or receipt there."))
    paper = record.release.file
    if paper and paper in files and (trouble := _trouble(folder, paper, None, _NO_RELEASE)):
        yield Problem(
            "release.empty-paper", "release.file", None, trouble, say("Put the signed paper there, or take file out.")
        )


def _trouble(folder: Path, paper: str, picture: str | None, sentences: Sequence[str]) -> str | None:
    path, (is_picture, is_empty, is_unreadable) = folder / paper, sentences
    try:
        if picture and paper != picture and _is_copy(path, folder / picture):
            return say(is_picture, paper=shown(paper))
        with path.open("rb") as stream:
            is_blank = not stream.read(_BEGINNING).strip(b"\0 \t\r\n\xef\xbb\xbf")
            return say(is_empty, paper=shown(paper)) if is_blank else None
    except (OSError, ValueError):
        return say(is_unreadable, paper=shown(paper))


def _is_copy(paper: Path, picture: Path) -> bool:
    return (
        picture.is_file()
        and paper.stat().st_size == picture.stat().st_size
        and digest_file(paper) == digest_file(picture)
    )
