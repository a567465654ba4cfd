"""The lines of the filed photos, kept in the cache: which of them a new photo's lines lie on."""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from PIL import Image

from archgen.catalogue import Catalogue
from archgen.laying import line_map
from archgen.laying import marks as marking
from archgen.laying.lay import LaidLines, lay_by_marks
from archgen.laying.line_map import LineMap, find_lines
from archgen.laying.marks import LineMarks, find_marks
from archgen.laying.recognise import recognise
from archgen.progress import ProgressReporter
from archgen.records.model import Piece, Stage
from archgen.storage.cache import Cache
from archgen.storage.jobs import run

# Photos of a piece that are looked at: a few show all of it, and an archive of many pieces stays quick.
MOST_OF_PIECE = 3
# With fewer marks that agree nothing is said, so nothing is laid.
LEAST_MARKS = 9
_ORDER = {Stage.FRESH: 0, Stage.HEALED: 1, None: 2, Stage.IN_PROGRESS: 3}
_LIBRARY = "Pillow and OpenCV"


@dataclass(frozen=True, slots=True)
class FiledPhoto:
    """A filed photo that new ones are laid on: its piece, its path, and its copy of about 1000 pixels."""

    piece: str
    path: str
    picture: Path
    digest: str


@dataclass(frozen=True, slots=True)
class LinesFound:
    """A filed photo whose lines a new one has."""

    photo: FiledPhoto
    laid: LaidLines


@dataclass(slots=True)
class FiledLines:
    """All filed photos with their marks; made once for an intake."""

    photos: list[FiledPhoto]
    marks: list[LineMarks]
    lines: dict[str, LineMap] = field(default_factory=dict)

    def on(self, picture: Path, digest: str, cache: Cache, most: int) -> list[LinesFound]:
        """Give the filed photos that a new photo's lines lie on, the likeliest first; one for each piece."""
        if not self.photos:
            return []
        new = self._lines(picture, digest)
        found: dict[str, LinesFound] = {}
        for number, agreement in recognise(marks_of(picture, digest, cache), self.marks, 3 * most):
            photo = self.photos[number]
            if photo.piece in found or len(found) == most or agreement.agreeing < LEAST_MARKS:
                continue
            laid = lay_by_marks(
                self._lines(photo.picture, photo.digest), self.marks[number], new, marks_of(picture, digest, cache)
            )
            if laid is not None:
                found[photo.piece] = LinesFound(photo, laid)
        return list(found.values())

    def _lines(self, picture: Path, digest: str) -> LineMap:
        if digest not in self.lines:
            with Image.open(picture) as opened:
                self.lines[digest] = find_lines(opened)
        return self.lines[digest]


def filed_lines(
    catalogue: Catalogue, archive: Cache, cache: Cache, workers: int, progress: ProgressReporter
) -> FiledLines:
    """Find the marks of the filed photos, from the cache where they were found before."""
    photos = [photo for piece in catalogue.pieces for photo in _photos(piece, catalogue, archive)]
    read = partial(_marks_of_filed, cache=cache)
    found = list(progress.track(run(read, photos, workers), len(photos), "Looking at the lines of what is filed"))
    known = [(photo, marks) for photo, marks in zip(photos, found, strict=True) if marks is not None]
    return FiledLines([photo for photo, _ in known], [marks for _, marks in known])


def marks_of(picture: Path, digest: str, cache: Cache) -> LineMarks:
    """Give the marks of a copy's lines; `digest` is that of the picture itself.

    Raises:
        OSError: The copy cannot be read.
    """
    key = Cache.key("line marks", marking.VERSION, str(line_map.VERSION), _LIBRARY, digest)
    raw = cache.get(key)
    if raw is not None:
        with suppress(ValueError):
            return LineMarks.from_bytes(raw)
    with Image.open(picture) as opened:
        found = find_marks(find_lines(opened))
    cache.put(key, found.to_bytes())
    return found


def _marks_of_filed(photo: FiledPhoto, cache: Cache) -> LineMarks | None:
    try:
        return marks_of(photo.picture, photo.digest, cache)
    except OSError:  # a damaged cache costs a proposal, not the intake
        return None


def _photos(piece: Piece, catalogue: Catalogue, archive: Cache) -> Iterator[FiledPhoto]:
    stages = {f"{piece.folder}/{one.file}": one.stage for one in (piece.record.photo if piece.record else ())}
    covers = {f"{piece.folder}/{one.file}" for one in (piece.record.photo if piece.record else ()) if one.cover}
    order: Sequence[str] = sorted(piece.photos, key=lambda path: (path not in covers, _ORDER[stages.get(path)], path))
    for path in order[:MOST_OF_PIECE]:
        facts = catalogue.facts.get(path)
        if facts and facts.print_copy:
            yield FiledPhoto(piece.id, path, archive.blobs / facts.print_copy.blob, facts.digest)
