"""Read the pieces at one piece's place or of its client and no others: reading all of a large archive takes seconds."""

import re
from collections.abc import Iterator
from pathlib import Path

from archgen.records.files.piece_folders import find_pieces
from archgen.records.files.record_name import record_in
from archgen.records.layout import PIECES
from archgen.records.model import Piece
from archgen.records.people import People
from archgen.records.reader import habits_of, read_piece
from archgen.records.vocabulary.placements import find_placement
from archgen.toml.text import LARGEST_BYTES

_NOTES = (b"note", b"held")
_FIELD = re.compile(r"""\b(region|client)\s*=\s*(?:"([^"\n]*)"|'([^'\n]*)')""")


def read_related(root: Path, piece: Piece, units: str) -> Iterator[Piece]:
    """Read what has notes and by a quick look is at the place of a piece or of its client; the piece itself too."""
    habits, related = habits_of(root, units), _Related(piece)
    for name in find_pieces(root)[0]:
        record = record_in(root / PIECES / name.folder)
        try:
            may_be = record and record.stat().st_size <= LARGEST_BYTES and related.may_be(record.read_bytes())
        except OSError:
            continue
        if may_be:
            yield read_piece(root, name, habits)[0]


class _Related:
    """Whether a record may be at one place or of one client; what is written once is looked up once."""

    def __init__(self, piece: Piece) -> None:
        self._region = piece.record.placement.region if piece.record else None
        self._client = piece.record.client if piece.record else None
        self._known: dict[tuple[str, str], bool] = {}

    def may_be(self, record: bytes) -> bool:
        """Say whether something is noted, and one of its fields is the same or none is plainly there."""
        if not any(key in record for key in _NOTES):
            return False
        found = _FIELD.findall(record.decode("utf-8", "replace"))
        return not found or any(self._is_same(key, one or other) for key, one, other in found)

    def _is_same(self, key: str, written: str) -> bool:
        known = self._known.get((key, written))
        if known is None:
            known = self._known[key, written] = self._compare(key, written)
        return known

    def _compare(self, key: str, written: str) -> bool:
        if key == "region":
            place = find_placement(written).place
            return place is None or place.id == self._region
        people = People((), (written, self._client or ""))
        return people.code_of(written) == people.code_of(self._client or "")
