"""Set what a reference's file says of its rights beside what the record says; knows both, decides nothing for good.

A file can be wrong, and its fields can be written by anybody. So what it says never clears anything; it only asks, and
where the record is silent on a trained model or on a person shown, it holds a piece back until the record answers.
"""

import msgspec

from archgen.catalogue import Catalogue
from archgen.languages.house import say
from archgen.metadata.file_rights import EmbeddedRights
from archgen.plain_text import words_of
from archgen.publication.rights import AI_SOURCES, SCREEN_CAPTURE_SOURCE
from archgen.records.model import Likeness, Piece, Reference
from archgen.records.vocabulary.licences import License, LicenseKind, known_license
from archgen.values.frozen import Value

NO_FLIP = "AL-FLP"
# PLUS ages of the youngest person shown below the age of majority of most places; "25 or over" and "unknown" are not.
_MINOR_AGES = frozenset({"AG-A17", "AG-A16", "AG-A15", "AG-U14"})
_NO_PERSON = frozenset({"MR-NAP", None})


class Proposal(Value, frozen=True):
    """A field the record leaves empty and the file fills: its key, the value, and which field of the file says so."""

    piece: Piece
    number: int
    key: str
    value: str
    origin: str


def embedded_in(reference: Reference, piece: Piece, catalogue: Catalogue) -> EmbeddedRights | None:
    """Give what the reference's file says; None when it says nothing or there is no file."""
    facts = catalogue.picture(piece, reference.file) if reference.file else None
    return facts.rights if facts else None


def completed(reference: Reference, embedded: EmbeddedRights | None) -> Reference:
    """Take from the file what makes the answer stricter, where the record is silent: how it was made, people shown."""
    if embedded is None:
        return reference
    changes: dict[str, object] = {}
    if reference.digital_source is None and reference.ai_system is None:
        if is_ai_source(embedded) or embedded.digital_source == SCREEN_CAPTURE_SOURCE:
            changes["digital_source"] = embedded.digital_source
        elif embedded.ai_system is not None:  # nothing says that the model made all of it
            changes["digital_source"] = "compositeWithTrainedAlgorithmicMedia"
    if reference.likeness is None and (likeness := likeness_of(embedded)):
        changes["likeness"] = likeness
    return msgspec.structs.replace(reference, **changes) if changes else reference


def is_ai_source(embedded: EmbeddedRights) -> bool:
    """Say whether the file's source type names a trained model."""
    return embedded.digital_source in AI_SOURCES


def says_ai(embedded: EmbeddedRights) -> bool:
    """Say whether the file says that a trained model made or changed the picture."""
    return is_ai_source(embedded) or embedded.ai_system is not None


def likeness_of(embedded: EmbeddedRights) -> Likeness | None:
    """Give what the file says of people shown; None when it says nothing."""
    if embedded.minor_age in _MINOR_AGES:
        return Likeness.MINOR
    return Likeness.UNKNOWN if embedded.people or embedded.model_release not in _NO_PERSON else None


def licence_of(embedded: EmbeddedRights) -> License | None:
    """Give the licence the file names by address or word; None when it names none that is known."""
    for text in (embedded.licence, embedded.web_statement, embedded.usage_terms):
        known = known_license(text) if text else None
        if known and known.kind is not LicenseKind.PLAIN:
            return known
    return None


def is_ours(names: tuple[str, ...], catalogue: Catalogue) -> bool:
    """Say whether each of these texts names the studio's own artist."""
    settings = catalogue.config.portfolio
    own = [words_of(name) for name in (settings.artist, settings.creator) if name and words_of(name).strip()]
    return all(any(name in words_of(text) for name in own) for text in names)


def claims(embedded: EmbeddedRights) -> tuple[str, ...]:
    """Give the texts with which somebody claims the picture."""
    notice = (embedded.copyright_notice,) if embedded.copyright_notice else ()
    return (*notice, *embedded.copyright_owners, *embedded.creators)


def proposals(catalogue: Catalogue) -> tuple[Proposal, ...]:
    """List the empty fields of all references that their files would fill."""
    return tuple(
        Proposal(piece, number, key, value, origin)
        for piece in catalogue.pieces
        if piece.record
        for number, reference in enumerate(piece.record.reference)
        if (embedded := embedded_in(reference, piece, catalogue))
        for key, value, origin in fills(reference, embedded)
    )


def fills(reference: Reference, embedded: EmbeddedRights) -> list[tuple[str, str, str]]:
    """Give key, value and origin of what a file would fill in."""
    offered = (
        ("source", *_web_source(embedded)),
        ("creator", ", ".join(embedded.creators) or embedded.attribution_name, "creator"),
        ("license", *_licence(embedded)),
        ("rights_url", _web_address(embedded.web_statement or embedded.licence), say("web statement of rights")),
        ("digital_source", embedded.digital_source, say("digital source type")),
        ("ai_system", _system(embedded), say("AI system used")),
        ("likeness", likeness.value if (likeness := likeness_of(embedded)) else None, say("people shown")),
    )
    return [(key, value, origin) for key, value, origin in offered if value and getattr(reference, key) is None]


def _web_source(embedded: EmbeddedRights) -> tuple[str | None, str]:
    if address := _web_address(embedded.attribution_url):
        return address, say("attribution address")
    return embedded.source, "source"


def _licence(embedded: EmbeddedRights) -> tuple[str | None, str]:
    if known := licence_of(embedded):
        return known.id, "licence"
    # A notice alone reserves everything, which is the careful reading.
    if embedded.copyright_notice and embedded.copyright_status != "CS-PUB":
        return "all-rights-reserved", say("copyright notice")
    return None, ""


def _system(embedded: EmbeddedRights) -> str | None:
    return " ".join(text for text in (embedded.ai_system, embedded.ai_version) if text) or None


def _web_address(text: str | None) -> str | None:
    return text if text and text.startswith(("http://", "https://")) else None
