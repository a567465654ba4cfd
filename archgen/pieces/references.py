"""The references of a piece with what their rights allow, those of the folder that nobody described too."""

from archgen.catalogue import Catalogue
from archgen.picture_facts.facts import ImageFacts
from archgen.pieces.elsewhere import UseElsewhere, uses_elsewhere
from archgen.publication.decision import Publication
from archgen.publication.reference_rights import Rights
from archgen.records.model import Piece, Reference
from archgen.values.frozen import Value


class ReferenceOverview(Value, frozen=True):
    """One reference.

    Attributes:
        facts: None when there is no file, or it cannot be read.
        rights: The answers of its right, and of all it was made from.
        is_described: Whether the record says something of it.
    """

    reference: Reference
    facts: ImageFacts | None
    rights: Rights
    is_described: bool
    elsewhere: tuple[UseElsewhere, ...]


def references_of(piece: Piece, catalogue: Catalogue, publication: Publication) -> tuple[ReferenceOverview, ...]:
    """List the references of the record with their answers, then the files only found in the folder."""
    named = piece.record.reference if piece.record else ()
    answered = list(zip(named, publication.references, strict=True))
    answered += [(Reference(file=file), rights) for file, rights in publication.undescribed]
    return tuple(
        ReferenceOverview(
            reference=reference,
            facts=catalogue.picture(piece, reference.file) if reference.file else None,
            rights=rights,
            is_described=number < len(named),
            elsewhere=uses_elsewhere(f"{piece.folder}/{reference.file}", catalogue) if reference.file else (),
        )
        for number, (reference, rights) in enumerate(answered)
    )
