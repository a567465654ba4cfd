"""Which pairs are a question to the artist, and which are as they should be.

A piece is photographed fresh and healed, drawn after a reference and redrawn in versions: all that looks alike on
purpose.
"""

import datetime as dt
from collections.abc import Iterable, Mapping
from enum import StrEnum

from archgen.doubles.paths import folder_of, piece_of
from archgen.picture_facts.facts import ImageFacts
from archgen.records.designs.model import PICTURES
from archgen.records.model import Photo, Piece, Stage
from archgen.twins.model import Pair, Relation
from archgen.values.frozen import Value

# A photo and a reference that show one design meet by chance of light and angle under this (the demo's moths: 0.7);
# a picture used as both scores higher.
SURE_SCORE = 0.9


class PairKind(StrEnum):
    """What a pair is to the artist."""

    DOUBLE = "double"  # a question
    VERSIONS = "versions"  # stencils of one piece; their record says how they belong together
    OTHER_TIME = "other-time"  # photos of different stages or days
    DRAWN_AFTER = "drawn-after"  # one was drawn after the other, or is recorded as made from it


class _Photo(Value, frozen=True):
    stage: Stage | None
    recorded: dt.date | None


class PairKinds:
    """Sorts pairs by what the records and the files say."""

    def __init__(self, pieces: Iterable[Piece], facts: Mapping[str, ImageFacts]) -> None:
        self._facts = facts
        pieces = tuple(pieces)
        self._photos = {f"{piece.folder}/{photo.file}": _said(photo) for piece in pieces for photo in _photos(piece)}
        self._made_from = {
            frozenset((f"{piece.folder}/{reference.file}", f"{piece.folder}/{source}"))
            for piece in pieces
            for reference in (piece.record.reference if piece.record else ())
            for source in reference.made_from
        }

    def of(self, pair: Pair) -> PairKind:
        """Say what a pair is."""
        folders = {folder_of(pair.a), folder_of(pair.b)}
        if PICTURES in folders:  # a design is drawn before it is tattooed, and stays beside its stencil
            return PairKind.DRAWN_AFTER
        if folders == {"stencils"}:
            return PairKind.VERSIONS if piece_of(pair.a) == piece_of(pair.b) else PairKind.DOUBLE
        if pair.relation is Relation.IDENTICAL:
            return PairKind.DOUBLE
        if "stencils" in folders or frozenset((pair.a, pair.b)) in self._made_from:
            return PairKind.DRAWN_AFTER
        if len(folders) > 1:
            apart = piece_of(pair.a) != piece_of(pair.b)
            return PairKind.DOUBLE if apart and pair.score >= SURE_SCORE else PairKind.DRAWN_AFTER
        return PairKind.OTHER_TIME if folders == {"photos"} and self._at_other_times(pair) else PairKind.DOUBLE

    def _at_other_times(self, pair: Pair) -> bool:
        one, two = (self._photos.get(path) for path in (pair.a, pair.b))
        if one and two and one.stage and two.stage and one.stage is not two.stage:
            return True
        cameras = [facts.taken for path in (pair.a, pair.b) if (facts := self._facts.get(path)) and facts.taken]
        if len(cameras) == 2:
            return cameras[0].date() != cameras[1].date()
        days = [self._day(path, photo) for path, photo in ((pair.a, one), (pair.b, two))]
        return None not in days and days[0] != days[1]

    def _day(self, path: str, photo: _Photo | None) -> dt.date | None:
        facts = self._facts.get(path)
        camera = facts.taken.date() if facts and facts.taken else None
        return photo.recorded if photo and photo.recorded else camera


def _photos(piece: Piece) -> tuple[Photo, ...]:
    return piece.record.photo if piece.record else ()


def _said(photo: Photo) -> _Photo:
    return _Photo(photo.stage, photo.taken)
