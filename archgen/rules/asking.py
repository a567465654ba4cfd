"""Whom a question goes to: an event, a client, the maker of a reference, a label, or the artist alone.

What was found is put in the order in which a person would work it off: the recall first, then one client after the
other, then the makers, the labels, and what only the artist knows.
"""

from collections.abc import Iterable, Iterator, Mapping
from enum import Enum

from archgen.catalogue import Catalogue
from archgen.findings import Finding
from archgen.records.model import Likeness, Piece
from archgen.records.vocabulary.licences import known_license
from archgen.values.frozen import Value

EVENT_CODES = ("batch.recalled",)


class Asked(Enum):
    """Who has the answer, in the order of work."""

    EVENT = "event"
    CLIENT = "client"
    MAKER = "maker"
    LABEL = "label"
    MYSELF = "myself"


# By code, else by its group; what stands in neither is for the artist alone.
_ASKED = {
    **dict.fromkeys(EVENT_CODES, Asked.EVENT),
    "batch": Asked.LABEL,
    "needle": Asked.LABEL,
    "record.unknown-ink": Asked.LABEL,
    "release": Asked.CLIENT,
    "release.not-yet": Asked.MYSELF,
    "release.empty-paper": Asked.MYSELF,
    "followup": Asked.CLIENT,
    "rights": Asked.MAKER,
    "rights.circular": Asked.MYSELF,
    "rights.made-from": Asked.MYSELF,
    "rights.override-not-yet": Asked.MYSELF,
    "rights.same-picture": Asked.MYSELF,
    "rights.seems-from": Asked.MYSELF,
    "rights.used-after-all": Asked.MYSELF,
    "rights.no-evidence": Asked.MYSELF,
    "embedded": Asked.MAKER,
    "embedded.unread": Asked.MYSELF,
}
# About a person shown: the client where it is the client, or came from the client; else whoever made the picture.
_PERSON = ("rights.person", "rights.likeness", "rights.minor", "embedded.person")
_FROM_CLIENT = "client-supplied"


class Questions(Value, frozen=True):
    """What goes to one address; client is the code for a client's own, None where none is recorded."""

    asked: Asked
    client: str | None
    findings: tuple[Finding, ...]


def whom_to_ask(finding: Finding, piece: Piece | None) -> Asked:
    """Say who has the answer to a finding."""
    asked = _ASKED.get(finding.code) or _ASKED.get(finding.code.partition(".")[0], Asked.MYSELF)
    if asked is Asked.MAKER and piece and _is_the_clients(finding, piece):
        return Asked.CLIENT
    return asked


def _is_the_clients(finding: Finding, piece: Piece) -> bool:
    """Say whether a question about a reference goes to the client: theirs, or of them."""
    table, _, rest = finding.key.partition(".")
    number = rest.partition(".")[0]
    references = piece.record.reference if piece.record else ()
    if table != "reference" or not number.isdecimal() or int(number) >= len(references):
        return False
    reference = references[int(number)]
    licence = known_license(reference.license) if reference.license else None
    is_theirs = licence is not None and licence.id == _FROM_CLIENT
    return is_theirs or (finding.code in _PERSON and reference.likeness is Likeness.CLIENT)


def sort_questions(findings: Iterable[Finding], catalogue: Catalogue) -> tuple[Questions, ...]:
    """Put findings under whom to ask; each address has its worst first."""
    pieces = {piece.id: piece for piece in catalogue.pieces}
    found: dict[tuple[Asked, str | None], list[Finding]] = {}
    for finding in findings:
        piece = pieces.get(finding.piece or "")
        asked = whom_to_ask(finding, piece)
        client = _client(piece) if asked is Asked.CLIENT else None
        found.setdefault((asked, catalogue.people.code_of(client) if client else None), []).append(finding)
    return tuple(_in_order(found))


def _client(piece: Piece | None) -> str | None:
    return piece.record.client if piece and piece.record else None


def _in_order(found: Mapping[tuple[Asked, str | None], list[Finding]]) -> Iterator[Questions]:
    ranks = {asked: rank for rank, asked in enumerate(Asked)}
    for (asked, client), findings in sorted(
        found.items(), key=lambda item: (ranks[item[0][0]], item[0][1] is None, item[0][1] or "")
    ):
        worst_first = sorted(findings, key=lambda finding: (finding.severity.rank, finding.sort_key))
        yield Questions(asked, client, tuple(worst_first))
