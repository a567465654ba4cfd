"""The references of a piece with what their rights allow, those of the folder that nobody described too."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

from archgen.catalogue import Catalogue
from archgen.picture_facts.facts import ImageFacts
from archgen.pieces.elsewhere import UseElsewhere, uses_elsewhere
from archgen.publication.rights import Rights
from archgen.records.model import Piece, Reference


@dataclass(frozen=True, slots=True)
class ReferenceOverview:
    """One reference.

    Attributes:
        facts: None when there is no file, or it cannot be read.
        rights: The answers of its right; None when the record does not describe it.
    """

    reference: Reference
    facts: ImageFacts | None
    rights: Rights | None
    elsewhere: tuple[UseElsewhere, ...]


def references_of(piece: Piece, catalogue: Catalogue, rights: Sequence[Rights]) -> tuple[ReferenceOverview, ...]:
    """List the references of the record with their answers, then the files only found in the folder."""
    named = piece.record.reference if piece.record else ()
    known = {reference.file for reference in named}
    files = (path.removeprefix(f"{piece.folder}/") for path in piece.references)
    found = tuple(Reference(file=file) for file in files if file not in known)
    return tuple(
        ReferenceOverview(
            reference=reference,
            facts=catalogue.picture(piece, reference.file) if reference.file else None,
            rights=right,
            elsewhere=uses_elsewhere(f"{piece.folder}/{reference.file}", catalogue) if reference.file else (),
        )
        for reference, right in zip_longest((*named, *found), rights)
        if reference
    )
