"""What of a record is wrong or not understood, as far as it concerns whether a piece may be shown.

Reading is forgiving, publishing is strict: a size or a side that was not understood keeps nothing in, a release or a
right does.
"""

from collections.abc import Iterator

from archgen.catalogue import Catalogue
from archgen.findings import Finding, Severity
from archgen.records.model import Piece
from archgen.records.typed.strictness import is_telling

# What is wrong with a line of the text itself: an error where it may have hidden a release or a right.
_OF_LINES = frozenset({"record.broken", "record.read-as", "record.twice", "record.no-value", "record.encoding"})
# What of a reference says nothing of its right; who is shown and the paper have questions of their own.
_NO_RIGHT = frozenset({"file", "source", "creator", "permission", "likeness", "note"})
_NO_RELEASE = frozenset({"note"})
# What is wrong with a paper is told under the code of what rests on it.
# A photo that is not there is no question of what may be shown.
_UNREADABLE_PHOTO = frozenset({"record.missing-file", "record.not-a-picture", "record.file-twice"})
_PAPERS = frozenset({"rights.no-evidence", "release.empty-paper"})


def record_errors(piece: Piece, catalogue: Catalogue) -> Iterator[Finding]:
    """Give what is wrong with the record itself."""
    for finding in catalogue.findings_of(piece):
        if finding.severity is Severity.ERROR and finding.place.file == piece.toml and _is_of_record(finding):
            yield finding


def _is_of_record(finding: Finding) -> bool:
    return finding.code.startswith("record.") or finding.code in _PAPERS


def is_unreachable(piece: Piece, catalogue: Catalogue) -> bool:
    """Say whether the record itself was not there or could not be opened: then nothing is forbidden, only missing."""
    return piece.record is None and any(
        finding.code in {"record.unreadable", "record.no-record"} for finding in catalogue.findings_of(piece)
    )


def right_is_understood(number: int, piece: Piece, catalogue: Catalogue) -> bool:
    """Say whether all the record says of a reference's right is understood."""
    table = f"reference.{number}"
    return not any(
        finding.key == table or (finding.key.startswith(f"{table}.") and finding.key.split(".")[2] not in _NO_RIGHT)
        for finding in record_errors(piece, catalogue)
    )


def is_understood(key: str, piece: Piece, catalogue: Catalogue) -> bool:
    """Say whether nothing is wrong with one key of the record."""
    return not any(finding.key == key for finding in record_errors(piece, catalogue))


def release_trouble(piece: Piece, catalogue: Catalogue) -> list[str]:
    """Say what of the client's release is wrong or not understood."""
    return [
        finding.problem
        for finding in record_errors(piece, catalogue)
        if finding.key == "release"
        or (finding.key.startswith("release.") and finding.key.split(".")[1] not in _NO_RELEASE)
    ]


def whole_record_trouble(piece: Piece, catalogue: Catalogue) -> list[str]:
    """Say what is wrong that may have hidden a release or a right: a part that was lost, a table with a wrong name."""
    lost = [
        finding.problem
        for finding in record_errors(piece, catalogue)
        if not finding.key or finding.key == "reference" or finding.code in _OF_LINES or _may_be_decisive(finding)
    ]
    return lost + [
        f"{finding.place}: {finding.problem}"
        for finding in catalogue.findings_of(piece)
        if finding.severity is Severity.ERROR
        and finding.code.startswith("record.")
        and _hides_references(finding, piece)
    ]


def _may_be_decisive(finding: Finding) -> bool:
    """Say whether a key that is not known may stand for one that decides, or words about people are lost."""
    top = finding.key.split(".")[0]
    if finding.code == "record.unknown-key":
        return top not in ("reference", "release", "rights_override", "photo") or "." not in finding.key
    return is_telling(finding.key)


def photos_not_understood(piece: Piece, catalogue: Catalogue) -> frozenset[int]:
    """Number the photos of which it isn't understood whether they are to be shown, or which picture they are."""
    found = set()
    for finding in record_errors(piece, catalogue):
        table, _, rest = finding.key.removeprefix("photo.").partition(".")
        if (
            finding.key.startswith("photo.")
            and table.isdecimal()
            and finding.code not in _UNREADABLE_PHOTO
            and (rest in ("", "publish", "file") or finding.code == "record.unknown-key")
        ):
            found.add(int(table))
    return frozenset(found)


def _hides_references(finding: Finding, piece: Piece) -> bool:
    """Say whether a folder or link could not be followed behind which references may lie."""
    folder = f"{piece.folder}/references"
    return finding.place.file in (piece.folder, folder) or finding.place.file.startswith(f"{folder}/")
