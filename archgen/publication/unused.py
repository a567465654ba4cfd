"""References that were only looked at (used = false), and what shows that they were drawn from after all."""

from collections.abc import Iterator

from archgen.catalogue import Catalogue
from archgen.records.model import Piece, PieceRecord
from archgen.values.frozen import Value


class AfterAll(Value, frozen=True):
    """A reference said to be unused, by its number, and the picture of the piece it lies under or in.

    Attributes:
        is_recorded: Whether the record itself says so (from of a stencil); else the pictures do.
    """

    number: int
    under: str
    is_recorded: bool


def used_after_all(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> tuple[AfterAll, ...]:
    """Find the references said to be unused that a stencil names, or that lie under a stencil or in what was used.

    A decision that the two pictures are different settles what the pictures say.
    """
    unused = {
        f"{piece.folder}/{reference.file}": number
        for number, reference in enumerate(record.reference)
        if reference.file and not reference.used
    }
    found = [*_named_by_stencils(unused, piece, record), *_seen_in_pictures(unused, piece, record, catalogue)]
    return tuple({(one.number, one.under): one for one in reversed(found)}.values())[::-1]


def _named_by_stencils(unused: dict[str, int], piece: Piece, record: PieceRecord) -> Iterator[AfterAll]:
    for stencil in record.stencil:
        for file in stencil.from_:
            if (number := unused.get(f"{piece.folder}/{file}")) is not None:
                yield AfterAll(number, stencil.file, is_recorded=True)


def _seen_in_pictures(
    unused: dict[str, int], piece: Piece, record: PieceRecord, catalogue: Catalogue
) -> Iterator[AfterAll]:
    drawn_from = {f"{piece.folder}/{reference.file}" for reference in record.reference if reference.used}
    for path, number in unused.items():
        seen_in = [pair.b if pair.a == path else pair.a for pair in catalogue.pairs_by_path.get(path, ())]
        seen_in += [whole for whole, part in catalogue.twins.parts if part == path]
        for other in seen_in:
            if other in piece.stencils or other in drawn_from:
                yield AfterAll(number, other.removeprefix(f"{piece.folder}/"), is_recorded=False)
