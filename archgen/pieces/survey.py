"""The catalogue with what follows from each piece beside it, worked out once for rules, pages, sheets and prints."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields

import msgspec

from archgen.catalogue import Catalogue
from archgen.findings import Finding, Place, Severity
from archgen.languages.house import say
from archgen.pieces.overview import Neighbour, PieceOverview, overview_of
from archgen.publication.decision import Publication, decide_publication
from archgen.publication.public_catalogue import FreshOnHealed
from archgen.records.model import Piece
from archgen.values.digests import value_digest


@dataclass(frozen=True)
class SurveyedCatalogue(Catalogue):
    """A catalogue in which every piece has its overview.

    `dataclasses.replace` keeps the overviews: only findings may be replaced, which are no part of them.

    Attributes:
        overviews: By the piece's id, in the order of the pieces.
        not_made: Files of the build folder that could not be made, such as ``sheets/owl.pdf``.
        digests: Of the overviews, as far as they were asked for.
    """

    overviews: Mapping[str, PieceOverview] = field(default_factory=dict)
    not_made: frozenset[str] = frozenset()
    digests: dict[str, str] = field(default_factory=dict, repr=False, compare=False)

    def digest_of(self, overview: PieceOverview) -> str:
        """Give the digest of one of the overviews."""
        digest = self.digests.get(overview.id)
        if digest is None:
            digest = self.digests[overview.id] = value_digest(overview)
        return digest

    @property
    def publications(self) -> Mapping[str, Publication]:
        """Give what may be public of each piece and each design, by its id."""
        pieces = {key: overview.publication for key, overview in self.overviews.items()}
        return pieces | {one.id: decide_publication(one.as_piece, self) for one in self.designs}

    @property
    def fresh_on_healed(self) -> Mapping[str, FreshOnHealed]:
        """Give how the fresh photo of each piece lies on its healed one, by the piece's id, where that is known."""
        return {key: laid for key, overview in self.overviews.items() if (laid := overview.fresh_on_healed)}


def survey(catalogue: Catalogue) -> SurveyedCatalogue:
    """Work out what follows from every piece; one over which that fails counts as one without a record."""
    later_frames = frozenset(path for moment in catalogue.twins.moments for path in moment[1:])
    around = _neighbours(catalogue.pieces)
    known = {one.name: getattr(catalogue, one.name) for one in fields(Catalogue)}
    overviews, failed = {}, []
    for piece in catalogue.pieces:
        try:
            overviews[piece.id] = overview_of(piece, catalogue, later_frames, around[piece.id])
        except Exception as error:  # a mistake over one record is no reason to have no archive
            # Without its record it cannot be shown to anybody else.
            bare = msgspec.structs.replace(piece, record=None)
            overviews[piece.id] = overview_of(bare, catalogue, later_frames, around[piece.id])
            failed.append(_failure(piece, error))
    return SurveyedCatalogue(**known | {"findings": (*catalogue.findings, *failed)}, overviews=overviews)


def _failure(piece: Piece, error: Exception) -> Finding:
    problem = say(
        "What follows from this record could not be worked out ({name}: {error}).",
        name=type(error).__name__,
        error=error,
    )
    remedy = say(
        "The piece isn't shown in the portfolio until it can be. Everything else was made. This is a mistake in "
        "archgen: please report it with this line."
    )
    return Finding("record.not-worked-out", Severity.ERROR, piece.id, Place(piece.toml), problem, remedy)


def _neighbours(pieces: Sequence[Piece]) -> dict[str, tuple[Neighbour | None, Neighbour | None]]:
    """Give the newer and the older piece of each piece, in the order of the home page: broken ones last."""
    ordered = sorted(pieces, key=lambda piece: piece.record is None)
    around = [None, *(Neighbour(piece.id, piece.title) for piece in ordered), None]
    return {piece.id: (around[place], around[place + 2]) for place, piece in enumerate(ordered)}
