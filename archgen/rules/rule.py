"""What a rule is: a stable code, why it exists, and a function that looks at one piece or at the whole archive."""

from collections.abc import Callable, Iterator
from typing import TypeAlias

from archgen.findings import Severity
from archgen.pieces.survey import SurveyedCatalogue
from archgen.records.model import Piece, PieceRecord
from archgen.values.frozen import Value

Check = Callable[[Piece, PieceRecord, SurveyedCatalogue], Iterator["Hit"]]


class Hit(Value, frozen=True):
    """One case of a rule.

    Attributes:
        problem: What was found, in the artist's words.
        remedy: What to do, with the lines to write where there are any.
        key: The dotted key in piece.toml, such as ``reference.0.license``; "" is the whole record.
        file: A file relative to the archive folder, when the trouble is there and not in the record.
        line: The line in that file.
        severity: Only when it differs from the rule's.
    """

    problem: str
    remedy: str
    key: str = ""
    file: str | None = None
    line: int | None = None
    severity: Severity | None = None


class Rule(Value, frozen=True):
    """One thing that is checked.

    Attributes:
        code: Never renamed, never used for something else.
        severity: What a hit asks of the artist.
        reason: Why the rule exists, in a sentence.
        check: Looks at one piece with a usable record; what follows from the piece stands in the catalogue's
            overviews.
        needs_pictures: Whether it looks at picture facts; the others answer before any picture is opened.
    """

    code: str
    severity: Severity
    reason: str
    check: Check
    needs_pictures: bool = False


class ArchiveRule(Value, frozen=True):
    """One thing that is checked of the archive as a whole: an event that several pieces have a part in.

    Attributes:
        check: Looks at the archive; it needs no picture facts.
    """

    code: str
    severity: Severity
    reason: str
    check: Callable[[SurveyedCatalogue], Iterator[Hit]]
    needs_pictures = False


AnyRule: TypeAlias = Rule | ArchiveRule
