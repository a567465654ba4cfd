"""Ask the catalogue which pictures of an archive are near-identical to a given one, where that is certain."""

from collections.abc import Iterator

from archgen.catalogue import Catalogue
from archgen.twins.groups import CERTAIN
from archgen.twins.model import Pair


def twins_in_folder(path: str, catalogue: Catalogue) -> Iterator[tuple[str, Pair]]:
    """Give the pictures of the same folder of the same piece."""
    for other, pair in _certain(path, catalogue):
        if other.rpartition("/")[0] == path.rpartition("/")[0]:
            yield other, pair


def twins_elsewhere(path: str, catalogue: Catalogue) -> Iterator[tuple[str, Pair]]:
    """Give the pictures of other pieces in a folder of the same kind: the stencils of a stencil, for instance."""
    for other, pair in _certain(path, catalogue):
        if other.split("/")[1] != path.split("/")[1] and other.split("/")[2] == path.split("/")[2]:
            yield other, pair


def _certain(path: str, catalogue: Catalogue) -> Iterator[tuple[str, Pair]]:
    for pair in catalogue.pairs_by_path.get(path, ()):
        if pair.score >= CERTAIN:
            yield pair.b if pair.a == path else pair.a, pair
