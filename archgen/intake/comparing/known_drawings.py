"""Which filed stencils and photos have the lines that a picture shows; of stencils, what is needed for it is kept."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial

from archgen.intake.comparing.filed_lines import LIBRARY, FiledPicture, LinesFound
from archgen.languages.house import say
from archgen.laying import among, line_map
from archgen.laying.among import KnownDrawing, find_among, know, photo_points
from archgen.laying.evidence import LaidEvidence, LineField, weigh
from archgen.laying.pose import Pose
from archgen.progress import ProgressReporter
from archgen.storage.cache import Cache
from archgen.storage.jobs import run


@dataclass(frozen=True, slots=True, eq=False)
class ShownLines:
    """A filed stencil or photo whose lines a picture may show, and where they lie among the picture's.

    Attributes:
        is_sure: Whether that may be said; else it is for a person to look at.
    """

    filed: FiledPicture
    pose: Pose
    evidence: LaidEvidence
    is_sure: bool = False


def known_drawings(
    pictures: Sequence[FiledPicture], cache: Cache, workers: int, progress: ProgressReporter
) -> list[tuple[FiledPicture, KnownDrawing]]:
    """Describe filed stencils, from the cache where they were described before; what cannot be read is left out."""
    described = run(partial(_known, cache=cache), pictures, workers)
    found = progress.track(described, len(pictures), say("Looking at the stencils that are filed"))
    return [
        (picture, drawing) for picture, drawing in zip(pictures, found, strict=True) if drawing and drawing.is_enough
    ]


def _known(picture: FiledPicture, cache: Cache) -> KnownDrawing | None:
    key = Cache.key("known drawing", among.VERSION, str(line_map.VERSION), LIBRARY, picture.key)
    raw = cache.get(key)
    if raw is not None:
        with suppress(ValueError):
            return KnownDrawing.from_bytes(raw)
    try:
        drawing = know(picture.lines())
    except OSError:  # a damaged cache costs a proposal
        return None
    cache.put(key, drawing.to_bytes())
    return drawing


def drawings_shown(
    onto: LineField, known: Sequence[tuple[FiledPicture, KnownDrawing]], count: Callable[[int, int], None]
) -> list[ShownLines]:
    """Give the stencils whose lines a picture may show."""
    found = find_among(onto, [drawing for _, drawing in known], count)
    return [ShownLines(known[one.number][0], one.pose, one.evidence) for one in found]


def photos_shown(onto: LineField, laid: Iterable[LinesFound]) -> Iterator[ShownLines]:
    """Weigh filed photos that were laid on a picture by their marks."""
    for one in laid:
        evidence = weigh(photo_points(one.filed.lines()), onto, one.laid.pose)
        if evidence is not None:
            yield ShownLines(one.filed, one.laid.pose, evidence)


def likeliest(found: Iterable[ShownLines]) -> list[ShownLines]:
    """Give one of each piece, what most speaks for first; only the first may be sure, and only with a lead."""
    order = sorted(found, key=lambda one: -one.evidence.total)
    first = {one.filed.piece: one for one in reversed(order)}
    order = [one for one in order if first[one.filed.piece] is one and one.evidence.total > 0]
    if order and order[0].evidence.settles(order[1].evidence.total if len(order) > 1 else 0.0):
        order[0] = replace(order[0], is_sure=True)
    return order
