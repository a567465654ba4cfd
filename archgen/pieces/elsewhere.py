"""Where else in the archive a picture of a piece is used."""

from archgen.catalogue import Catalogue
from archgen.doubles.pairs import twins_elsewhere
from archgen.twins.model import Pair
from archgen.values.frozen import Value


class UseElsewhere(Value, frozen=True):
    """Another piece that uses the same drawing or reference: its picture, and how the two belong together."""

    piece_id: str
    title: str
    path: str
    pair: Pair


def uses_elsewhere(path: str, catalogue: Catalogue) -> tuple[UseElsewhere, ...]:
    """List the other pieces that use a stencil or reference, each once."""
    found: dict[str, UseElsewhere] = {}
    for other, pair in twins_elsewhere(path, catalogue):
        piece = catalogue.piece_at(other)
        if piece and piece.id not in found:
            found[piece.id] = UseElsewhere(piece.id, piece.title, other, pair)
    return tuple(found[key] for key in sorted(found))
