"""Which filed pieces a picture shows: as a copy of a filed picture, or by the lines of a filed stencil or photo."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from PIL import Image

from archgen.catalogue import Catalogue
from archgen.errors import InputError
from archgen.intake.comparing.already import copy_words
from archgen.intake.comparing.filed_lines import FiledPicture, filed_lines, filed_photos, filed_stencils
from archgen.intake.comparing.known_drawings import drawings_shown, known_drawings, likeliest, photos_shown
from archgen.intake.comparing.likeness import FiledTwin, compare_with_archive
from archgen.intake.reading.look import Unreadable, look_at_all
from archgen.intake.reading.seen import SeenPicture, moment_of
from archgen.intake.reading.sorting import sort_picture
from archgen.intake.sources import SourceFile
from archgen.languages.house import say
from archgen.laying.among import photo_field
from archgen.laying.line_map import SIDE, find_lines
from archgen.laying.pose import Pose
from archgen.laying.shown import lines_layer
from archgen.progress import ProgressReporter
from archgen.storage.cache import Cache
from archgen.storage.jobs import default_workers
from archgen.twins.model import Relation

# Photos that are compared by all their marks: one picture is asked about, so more than an intake compares.
_SHORTLIST = 120


@dataclass(frozen=True, slots=True, eq=False)
class LaidOn:
    """A filed picture's lines as they lie on the picture that was asked about.

    Attributes:
        asked: A copy of that picture, whose line map the pose leads to.
    """

    filed: FiledPicture
    pose: Pose
    asked: Path

    def overlay(self) -> Image.Image:
        """Draw them on it.

        Raises:
            OSError: A copy cannot be read.
        """
        lines = self.filed.lines()
        with Image.open(self.asked) as opened:
            shown = opened.convert("RGBA")
        scale = max(shown.size) / SIDE
        shown.alpha_composite(lines_layer(self.pose.places(lines.points) * scale, shown.size))
        return shown.convert("RGB")


@dataclass(frozen=True, slots=True)
class PieceLike:
    """A piece that a picture may show.

    Attributes:
        path: The filed picture that says so, relative to the archive folder.
        words: How the two are alike, to stand before its name.
        is_sure: Whether that may be said; else it is for a person to look at.
        laid: Where its lines lie, when it was found by them.
        is_exact: Whether the filed picture itself was recognised, not only the drawing on it.
    """

    piece: str
    title: str
    path: str
    words: str
    is_sure: bool
    laid: LaidOn | None = None
    is_exact: bool = False


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
    copies = [_of_twin(twin, catalogue) for twin in twins]
    lines = _by_lines(seen, catalogue, caches, progress)
    found = sorted([*copies, *lines], key=lambda one: not one.is_sure)
    return tuple(with_much_alike(found, catalogue))[:most]


def with_much_alike(found: Iterable[PieceLike], catalogue: Catalogue) -> Iterator[PieceLike]:
    """Give the first answer for each piece; beside a drawing those of other pieces that hold nearly the same one.

    Which of them a picture shows is for a person to see, so none of them is sure.
    """
    first: dict[str, PieceLike] = {}
    for one in found:
        first.setdefault(one.piece, one)
    alike = {one.piece: _much_alike(one, catalogue) for one in first.values() if one.is_sure and not one.is_exact}
    told = set()
    for one in first.values():
        for each in (one, *(first.get(other.piece, other) for other in alike.get(one.piece, ()))):
            if each.piece not in told:
                told.add(each.piece)
                yield _doubted(each) if alike.get(each.piece) else each


def _doubted(one: PieceLike) -> PieceLike:
    return replace(
        one, is_sure=False, words=say("Its lines may be those of") if one.laid else say("It may be a copy of")
    )


def _much_alike(one: PieceLike, catalogue: Catalogue) -> list[PieceLike]:
    """Give other pieces that hold nearly the drawing of one, also where somebody decided that they are different."""
    piece = catalogue.piece_at(one.path)
    drawings = {one.path} if piece is None or one.path in piece.stencils else {*piece.stencils}
    pairs = (*catalogue.twins.pairs, *(pair for settled in catalogue.twins.settled for pair in settled.pairs))
    paths = [path for pair in pairs for path in (pair.a, pair.b) if {pair.a, pair.b} & drawings]
    holding = [(catalogue.piece_at(path), path) for path in paths]
    words = say("Nearly the same drawing is also")
    return [
        PieceLike(other.id, other.title, path, words, is_sure=False)
        for other, path in holding
        if other and other.id != one.piece
    ]


def _by_lines(
    seen: SeenPicture, catalogue: Catalogue, caches: tuple[Cache, Cache], progress: ProgressReporter
) -> list[PieceLike]:
    """Find pieces by the lines of their stencils and of their photos, what most speaks for first."""
    archive, new = caches
    copy, titles = new.blobs / seen.look.middle.blob, {piece.id: piece.title for piece in catalogue.pieces}
    known = known_drawings(filed_stencils(catalogue, archive), new, default_workers(), progress)
    photos = replace(filed_lines(filed_photos(catalogue, archive), new, 1, progress), shortlist=_SHORTLIST)
    with Image.open(copy) as opened, progress.counter(say("Laying lines on lines")) as count:
        onto = photo_field(find_lines(opened))
        drawn = drawings_shown(onto, known, count)
    laid = photos.on(copy, seen.digest, new, _MOST_PHOTOS)
    found = []
    for one in likeliest([*drawn, *photos_shown(onto, laid)]):
        words = say("Its lines lie on those of") if one.is_sure else say("Its lines may be those of")
        filed = one.filed
        on = LaidOn(filed, one.pose, copy)
        found.append(PieceLike(filed.piece, titles[filed.piece], filed.path, words, one.is_sure, on))
    return found


_MOST_PHOTOS = 10


def _look(picture: Path, cache: Cache, progress: ProgressReporter) -> SeenPicture:
    look = look_at_all([picture], cache, 1, progress)[picture]
    if isinstance(look, Unreadable):
        raise InputError(f"{picture.name}: {look.sentence}")
    file = SourceFile(picture, picture.name)
    return SeenPicture(file, look, sort_picture(look, file.name), moment_of(look, file.name))


def _of_twin(twin: FiledTwin, catalogue: Catalogue) -> PieceLike:
    piece = catalogue.piece_at(twin.path)
    others = {Relation.BURST: say("Another frame of"), Relation.VERSION: say("Another version of")}
    words = copy_words(twin, is_gray=False) if twin.is_copy else others.get(twin.relation, say("Somewhat like"))
    is_drawing = piece is not None and twin.path in piece.stencils
    is_exact = twin.is_same_file or not is_drawing
    title = piece.title if piece else ""
    return PieceLike(piece.id if piece else "", title, twin.path, words, twin.is_copy, is_exact=is_exact)
