"""The catalogue with what follows from each piece beside it, worked out once for rules, pages, sheets and prints."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields

from archgen.catalogue import Catalogue
from archgen.pieces.overview import Neighbour, PieceOverview, overview_of
from archgen.publication.decision import Publication
from archgen.records.model import Piece


@dataclass(frozen=True)
class SurveyedCatalogue(Catalogue):
    """A catalogue in which every piece has its overview.

    `dataclasses.replace` keeps the overviews: only findings may be replaced, which are no part of them.

    Attributes:
        overviews: By the piece's id, in the order of the pieces.
        not_made: Files of the build folder that could not be made, such as ``sheets/owl.pdf``.
    """

    overviews: Mapping[str, PieceOverview] = field(default_factory=dict)
    not_made: frozenset[str] = frozenset()

    @property
    def publications(self) -> Mapping[str, Publication]:
        """Give what may be public of each piece, by its id."""
        return {key: overview.publication for key, overview in self.overviews.items()}


def survey(catalogue: Catalogue) -> SurveyedCatalogue:
    """Work out what follows from every piece."""
    later_frames = frozenset(path for moment in catalogue.twins.moments for path in moment[1:])
    around = _neighbours(catalogue.pieces)
    known = {one.name: getattr(catalogue, one.name) for one in fields(Catalogue)}
    overviews = {piece.id: overview_of(piece, catalogue, later_frames, around[piece.id]) for piece in catalogue.pieces}
    return SurveyedCatalogue(**known, overviews=overviews)


def _neighbours(pieces: Sequence[Piece]) -> dict[str, tuple[Neighbour | None, Neighbour | None]]:
    """Give the newer and the older piece of each piece, in the order of the home page: broken ones last."""
    ordered = sorted(pieces, key=lambda piece: piece.record is None)
    around = [None, *(Neighbour(piece.id, piece.title) for piece in ordered), None]
    return {piece.id: (around[place], around[place + 2]) for place, piece in enumerate(ordered)}
