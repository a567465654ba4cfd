"""Which filed pieces a picture shows: as a copy of a filed picture, or as a photo with the lines of one."""

from dataclasses import dataclass, replace
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.errors import InputError
from archgen.intake.comparing.already import copy_words
from archgen.intake.comparing.filed_lines import filed_lines, filed_photos, filed_stencils
from archgen.intake.comparing.likeness import FiledTwin, compare_with_archive
from archgen.intake.comparing.proposals import lie_on_each_other
from archgen.intake.reading.look import Unreadable, look_at_all
from archgen.intake.reading.seen import SeenPicture, moment_of
from archgen.intake.reading.sorting import sort_picture
from archgen.intake.sources import SourceFile
from archgen.progress import ProgressReporter
from archgen.storage.cache import Cache
from archgen.twins.model import Relation

# One picture is asked about, and somebody waits: a few seconds. With as few as an intake compares, 9 of 29 photos of
# tattoos were not found among 64 stencils whose lines lie on them.
_SHORTLIST = 240


@dataclass(frozen=True, slots=True)
class PieceLike:
    """A piece that a picture may show.

    Attributes:
        path: The filed picture that says so, relative to the archive folder.
        words: How the two are alike, to stand before its name.
        is_sure: Whether that may be said; else it is for a person to look at.
    """

    piece: str
    title: str
    path: str
    words: str
    is_sure: bool


def pieces_like(
    picture: Path, catalogue: Catalogue, caches: tuple[Cache, Cache], progress: ProgressReporter, most: int
) -> tuple[PieceLike, ...]:
    """Find the pieces a picture shows, the surest first, one entry for each piece.

    Args:
        picture: Any picture that can be read; it need not be in the archive.
        catalogue: With its picture facts.
        caches: That of the archive, and that of new pictures.
        progress: Told of what takes long.
        most: How many pieces at most.

    Raises:
        InputError: The picture cannot be read.
    """
    archive, new = caches
    seen = _look(picture, new, progress)
    twins = compare_with_archive([seen], catalogue, archive, new, progress).filed.get(seen.digest, [])
    found = [_of_twin(twin, catalogue) for twin in twins]
    pictures = [*filed_photos(catalogue, archive), *filed_stencils(catalogue, archive)]
    filed = replace(filed_lines(pictures, new, 1, progress), shortlist=_SHORTLIST)
    lines = filed.on(new.blobs / seen.look.middle.blob, seen.digest, new, most)
    titles = {piece.id: piece.title for piece in catalogue.pieces}
    for one in lines:
        sure = one.laid.is_on_skin if one.filed.is_stencil else lie_on_each_other(one.laid)
        words = "Its lines lie on those of" if sure else "Its lines may be those of"
        found.append(PieceLike(one.filed.piece, titles[one.filed.piece], one.filed.path, words, sure))
    found.sort(key=lambda one: not one.is_sure)
    first = {one.piece: one for one in reversed(found)}
    return tuple(one for one in found if first[one.piece] is one)[:most]


def _look(picture: Path, cache: Cache, progress: ProgressReporter) -> SeenPicture:
    look = look_at_all([picture], cache, 1, progress)[picture]
    if isinstance(look, Unreadable):
        raise InputError(f"{picture.name}: {look.sentence}")
    file = SourceFile(picture, picture.name)
    return SeenPicture(file, look, sort_picture(look, file.name), moment_of(look, file.name))


def _of_twin(twin: FiledTwin, catalogue: Catalogue) -> PieceLike:
    piece = catalogue.piece_at(twin.path)
    others = {Relation.BURST: "Another frame of", Relation.VERSION: "Another version of"}
    words = copy_words(twin, is_gray=False) if twin.is_copy else others.get(twin.relation, "Somewhat like")
    return PieceLike(piece.id if piece else "", piece.title if piece else "", twin.path, words, twin.is_copy)
