"""The lines of filed photos and stencils, kept in the cache: which of them a new photo's lines lie on."""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from PIL import Image, ImageOps

from archgen.catalogue import Catalogue
from archgen.languages.house import say
from archgen.laying import line_map
from archgen.laying import marks as marking
from archgen.laying.lay import LaidLines, lay_by_marks
from archgen.laying.line_map import LineMap, find_lines
from archgen.laying.marks import LineMarks, find_marks
from archgen.laying.recognise import SHORTLIST, recognise
from archgen.progress import ProgressReporter
from archgen.records.model import Piece, Stage
from archgen.storage.cache import Cache
from archgen.storage.jobs import run

# Photos of a piece that are looked at: a few show all of it, and an archive of many pieces stays quick.
MOST_OF_PIECE = 3
# With fewer marks that agree nothing is said, so nothing is laid.
LEAST_MARKS = 9
_ORDER = {Stage.FRESH: 0, Stage.HEALED: 1, None: 2, Stage.IN_PROGRESS: 3}
LIBRARY = "Pillow and OpenCV"


@dataclass(frozen=True, slots=True)
class FiledPicture:
    """A filed photo or stencil that new photos are laid on: its piece, its path, and its copy of 1000 pixels or more.

    Attributes:
        is_mirrored: Whether it is kept as a mirror shows it; its lines are those on skin.
    """

    piece: str
    path: str
    picture: Path
    digest: str
    is_stencil: bool = False
    is_mirrored: bool = False

    def lines(self) -> LineMap:
        """Find its lines.

        Raises:
            OSError: The copy cannot be read.
        """
        with Image.open(self.picture) as opened:
            return find_lines(ImageOps.mirror(opened) if self.is_mirrored else opened)

    @property
    def key(self) -> str:
        """Name its lines; the same file may be kept one way here and the other there."""
        return f"{self.digest} mirrored" if self.is_mirrored else self.digest


@dataclass(frozen=True, slots=True)
class LinesFound:
    """A filed picture whose lines a new one has."""

    filed: FiledPicture
    laid: LaidLines


@dataclass(slots=True)
class FiledLines:
    """Filed pictures with their marks; made once for an intake. So many are compared by all their marks."""

    pictures: list[FiledPicture]
    marks: list[LineMarks]
    shortlist: int = SHORTLIST
    lines: dict[str, LineMap] = field(default_factory=dict)

    def on(self, picture: Path, digest: str, cache: Cache, most: int) -> list[LinesFound]:
        """Give the filed pictures that a new photo's lines lie on, the likeliest first; one for each piece."""
        if not self.pictures:
            return []
        shown = FiledPicture("", "", picture, digest)
        new, new_marks = shown.lines(), marks_of(shown, cache)
        found: dict[str, LinesFound] = {}
        for number, agreement in recognise(new_marks, self.marks, 3 * most, self.shortlist):
            filed = self.pictures[number]
            if filed.piece in found or len(found) == most or agreement.agreeing < LEAST_MARKS:
                continue
            laid = lay_by_marks(self._lines(filed), self.marks[number], new, new_marks)
            if laid is not None:
                found[filed.piece] = LinesFound(filed, laid)
        return list(found.values())

    def _lines(self, filed: FiledPicture) -> LineMap:
        if filed.key not in self.lines:
            self.lines[filed.key] = filed.lines()
        return self.lines[filed.key]


def filed_lines(pictures: Sequence[FiledPicture], cache: Cache, workers: int, progress: ProgressReporter) -> FiledLines:
    """Find the marks of filed pictures, from the cache where they were found before."""
    read = partial(_marks_of_filed, cache=cache)
    found = list(
        progress.track(run(read, pictures, workers), len(pictures), say("Looking at the lines of what is filed"))
    )
    known = [(one, marks) for one, marks in zip(pictures, found, strict=True) if marks is not None]
    return FiledLines([one for one, _ in known], [marks for _, marks in known])


def marks_of(picture: FiledPicture, cache: Cache) -> LineMarks:
    """Give the marks of a picture's lines.

    Raises:
        OSError: The copy cannot be read.
    """
    key = Cache.key("line marks", marking.VERSION, str(line_map.VERSION), LIBRARY, picture.key)
    raw = cache.get(key)
    if raw is not None:
        with suppress(ValueError):
            return LineMarks.from_bytes(raw)
    found = find_marks(picture.lines())
    cache.put(key, found.to_bytes())
    return found


def _marks_of_filed(filed: FiledPicture, cache: Cache) -> LineMarks | None:
    try:
        return marks_of(filed, cache)
    except OSError:  # a damaged cache costs a proposal, not the intake
        return None


def filed_photos(catalogue: Catalogue, archive: Cache) -> list[FiledPicture]:
    """Give a few photos of each piece, those that show most of it first."""
    return [one for piece in catalogue.pieces for one in _photos(piece, catalogue, archive)]


def filed_stencils(catalogue: Catalogue, archive: Cache) -> list[FiledPicture]:
    """Give a few stencils of each piece, those that went on the skin first."""
    return [one for piece in catalogue.pieces for one in _stencils(piece, catalogue, archive)]


def _photos(piece: Piece, catalogue: Catalogue, archive: Cache) -> Iterator[FiledPicture]:
    stages = {f"{piece.folder}/{one.file}": one.stage for one in (piece.record.photo if piece.record else ())}
    covers = {f"{piece.folder}/{one.file}" for one in (piece.record.photo if piece.record else ()) if one.cover}
    order: Sequence[str] = sorted(piece.photos, key=lambda path: (path not in covers, _ORDER[stages.get(path)], path))
    for path in order[:MOST_OF_PIECE]:
        facts = catalogue.facts.get(path)
        if facts and facts.print_copy:
            yield FiledPicture(piece.id, path, archive.blobs / facts.print_copy.blob, facts.digest)


def _stencils(piece: Piece, catalogue: Catalogue, archive: Cache) -> Iterator[FiledPicture]:
    recorded = {f"{piece.folder}/{one.file}": one for one in (piece.record.stencil if piece.record else ())}
    order = sorted(piece.stencils, key=lambda path: (path not in recorded or not recorded[path].applied, path))
    for path in order[:MOST_OF_PIECE]:
        facts, stencil = catalogue.facts.get(path), recorded.get(path)
        if facts and facts.print_copy:
            copy, mirrored = archive.blobs / facts.print_copy.blob, stencil is not None and stencil.mirrored
            yield FiledPicture(piece.id, path, copy, facts.digest, is_stencil=True, is_mirrored=mirrored)
