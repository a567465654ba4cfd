"""Trouble in the artist's data: collected, never raised, all shown in one run."""

from dataclasses import dataclass
from enum import Enum
from typing import Any

from archgen.languages.house import say


class Severity(Enum):
    """What a finding asks of the artist; worst first."""

    ERROR = "error"  # a record or picture cannot be used, or the piece cannot be published
    WARNING = "warning"  # ask somebody, then record the answer
    NOTE = "note"  # good to know

    @property
    def rank(self) -> int:
        """Give 0 for the worst."""
        return _WORST_FIRST.index(self)


_WORST_FIRST = tuple(Severity)


# What went wrong by the disk or for want of memory, and not by what a file holds.
_MAY_GO_RIGHT = (
    "output.",
    "image.missing",
    "image.not-compared",
    "image.not-gauged",
    "image.unreadable",
    "record.unreadable",
    "extension.",
)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a finding stands: a file relative to the archive folder, and a line in it when it has lines."""

    file: str
    line: int | None = None

    def __str__(self) -> str:
        # A folder may be called anything, also what would command a terminal.
        file = "".join(character if character.isprintable() else " " for character in self.file)
        return file if self.line is None else say("{file}, line {line}", file=file, line=self.line)


@dataclass(frozen=True, slots=True)
class Finding:
    """One problem: stable code, severity, piece id (None: the whole archive), place, problem, remedy.

    Codes are never renamed or used for something else. `key` is the dotted key in the record the place stands for, such
    as ``reference.0.license``; empty for a file as a whole.
    """

    code: str
    severity: Severity
    piece: str | None
    place: Place
    problem: str
    remedy: str
    key: str = ""

    @property
    def sort_key(self) -> tuple[Any, ...]:
        """Order by piece, then worst first, then place."""
        return (
            self.piece or "",
            self.severity.rank,
            self.place.file,
            self.place.line or 0,
            self.code,
            self.problem,
        )

    def __str__(self) -> str:
        return f"{self.place}: {self.problem} {self.remedy} [{self.code}]"

    def as_dict(self) -> dict[str, str | int | None]:
        """Give the plain values that ``--format json`` prints."""
        return {
            "code": self.code,
            "severity": self.severity.value,
            "piece": self.piece,
            "file": self.place.file,
            "line": self.place.line,
            "problem": self.problem,
            "remedy": self.remedy,
        }


def may_go_right(finding: Finding) -> bool:
    """Say whether the next look at the same files may not find it."""
    return finding.code.startswith(_MAY_GO_RIGHT)
