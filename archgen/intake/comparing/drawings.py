"""Which new pictures show one drawing: photos with each other, stencils with photos; by the marks of their lines."""

from collections.abc import Iterable, Sequence
from functools import partial

from PIL import Image

from archgen.intake.comparing.filed_lines import FiledPicture, marks_of
from archgen.intake.grouping import Bunch
from archgen.intake.reading.seen import SeenPicture
from archgen.languages.house import say
from archgen.laying.line_map import find_lines
from archgen.laying.marks import LineMarks, agree, find_marks
from archgen.laying.recognise import PLAINEST
from archgen.picture_facts.facts import Role
from archgen.progress import ProgressReporter
from archgen.storage.cache import Cache
from archgen.storage.jobs import run

# Marks that must agree: on two photos of one day, and of a stencil on a photo, where both ways round are tried.
SAME_PHOTO, SAME_STENCIL = 14, 14
# So many of a day's drawings, and of the last photos of each, are compared with a photo: a roll of thousands ends, too.
MOST_PARTS, MOST_LAST = 12, 3
# Photos of two pieces one after the other have at least so many seconds between them; common practice, no source.
_NEXT_CLIENT_S = 2700


class Drawings:
    """The marks of all new photos and stencils."""

    def __init__(self, pictures: Iterable[SeenPicture], cache: Cache, workers: int, progress: ProgressReporter) -> None:
        drawn = [one for one in pictures if one.sorted.role is not Role.REFERENCE]
        found = progress.track(
            run(partial(_marks, cache=cache), drawn, workers), len(drawn), say("Looking at the lines")
        )
        self._marks: dict[str, LineMarks | None] = dict(zip([one.digest for one in drawn], found, strict=True))
        self._mirrored: dict[str, LineMarks | None] = {}
        self._cache = cache

    def tie(self, one: SeenPicture, other: SeenPicture) -> str | None:
        """Say why a stencil and a photo, or two photos, belong together; None when their lines do not agree."""
        if one.is_photo and other.is_photo:
            return say("the same drawing") if self._is_same(one, other) else None
        stencil, photo = (one, other) if one.sorted.role is Role.STENCIL else (other, one)
        if stencil.sorted.role is not Role.STENCIL or not photo.is_photo:
            return None
        if self._agree(stencil, photo) >= SAME_STENCIL or self._agree_mirrored(stencil, photo) >= SAME_STENCIL:
            return say("its lines are on the photos")
        return None

    def is_one(self, photos: Sequence[SeenPicture], later: Sequence[SeenPicture]) -> bool:
        """Say whether photos of two days show one drawing, as most of the last ones must.

        Long straight lines of two drawings may agree on a pair of photos by chance.
        """
        if not photos or not later or not self._is_same(photos[-1], later[-1]):
            return False
        pairs = [(one, other) for one in photos[-MOST_LAST:] for other in later[-MOST_LAST:]]
        return 2 * sum(self._is_same(one, other) for one, other in pairs) > len(pairs)

    def split(self, bunch: Bunch) -> list[list[SeenPicture]]:
        """Give the photos of a bunch by the drawings they show, those with the most photos first."""
        parts: list[list[SeenPicture]] = []
        for one in bunch.photos:
            near = parts[-MOST_PARTS:][::-1]
            part = next((part for part in near if any(self._is_same(one, other) for other in part[-MOST_LAST:])), None)
            if part is None:
                parts.append([one])
            else:
                part.append(one)
        return sorted(parts, key=lambda part: -len(part))

    def _is_same(self, one: SeenPicture, other: SeenPicture) -> bool:
        """Compare two photos: roughly by their plainest marks, and fully only where these may agree."""
        a, b = self._marks.get(one.digest), self._marks.get(other.digest)
        if a is None or b is None:
            return False
        rough = agree(a.plainest(PLAINEST), b.plainest(PLAINEST))
        if rough is None or rough.agreeing < SAME_PHOTO // 2:
            return False
        return rough.agreeing >= SAME_PHOTO or self._agree(one, other) >= SAME_PHOTO

    def _agree(self, one: SeenPicture, other: SeenPicture) -> int:
        a, b = self._marks.get(one.digest), self._marks.get(other.digest)
        found = agree(a, b) if a is not None and b is not None else None
        return found.agreeing if found else 0

    def _agree_mirrored(self, stencil: SeenPicture, photo: SeenPicture) -> int:
        if stencil.digest not in self._mirrored:
            self._mirrored[stencil.digest] = _mirrored_marks(stencil, self._cache)
        a, b = self._mirrored[stencil.digest], self._marks.get(photo.digest)
        found = agree(a, b, mirrored=True) if a is not None and b is not None else None
        return found.agreeing if found else 0


def is_next_client(one: Sequence[SeenPicture], other: Sequence[SeenPicture]) -> bool:
    """Say whether two runs of photos are so far apart in time that they are of two clients."""
    first, second = ([shot.moment for shot in run_ if shot.moment] for run_ in (one, other))
    if not first or not second:
        return False
    gap = max((min(second) - max(first)).total_seconds(), (min(first) - max(second)).total_seconds())
    return gap >= _NEXT_CLIENT_S


def _marks(one: SeenPicture, cache: Cache) -> LineMarks | None:
    try:
        return marks_of(FiledPicture("", "", cache.blobs / one.look.middle.blob, one.digest), cache)
    except OSError:  # a damaged cache costs a likeness, not the intake
        return None


def _mirrored_marks(one: SeenPicture, cache: Cache) -> LineMarks | None:
    try:
        with Image.open(cache.blobs / one.look.middle.blob) as opened:
            return find_marks(find_lines(opened), mirrored=True)
    except OSError:  # as above
        return None
