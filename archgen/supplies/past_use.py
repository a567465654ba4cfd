"""What the artist has used needles and inks for before, in the words of the records: counted, nothing made up."""

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from enum import Enum

from archgen.catalogue import Catalogue
from archgen.records.model import Needle, Piece
from archgen.records.vocabulary.needle_forms.reading import NeedleReading
from archgen.records.vocabulary.needle_forms.words import MAGNUMS, Grouping
from archgen.records.vocabulary.needles import read_needles
from archgen.shading.bounds import Bound
from archgen.values.frozen import Value

# Beginnings of words, in the languages of the public pages; from memory.
_SHADES = re.compile(
    r"\b(?:shad|wash|tone|whip|soft|fill|black|gr[ea]y|pack|schatt|füll|ombr|dégrad|sombr|skugg|ton\b)", re.IGNORECASE
)
_LINES = re.compile(r"\b(?:(?:out)?lin(?:e|i)|contour|contorno|kontur|ligne|whisker|stem)", re.IGNORECASE)
_WHITE = re.compile(r"\b(?:white|wei(?:ss|ß)|blanc|blanco|vit)", re.IGNORECASE)
_WASH = re.compile(r"wash|\b(?:gr[ea]y|grau|gris|grå)", re.IGNORECASE)
_BLACK = re.compile(r"\b(?:black|schwarz|noir|negro|svart)", re.IGNORECASE)
_SHADERS = (*MAGNUMS, Grouping.ROUND_SHADER, Grouping.FLAT)


class InkKind(Enum):
    """What an ink is by its name."""

    BLACK = "black"
    WASH = "wash"
    WHITE = "white"
    OTHER = "other"


class PastNeedle(Value, frozen=True):
    """A needle as its record writes it, how wide it is (`needle_width_mm`), what for and in how many pieces.

    `is_own` says that the piece at hand records it.
    """

    code: str
    width_mm: float
    use: str
    pieces: int
    shades: bool
    is_own: bool = False

    def works(self, disc_mm: float, size_mm2: float) -> bool:
        """Say whether an area is no smaller than this needle's own bound, and holds its disc."""
        return self.width_mm <= disc_mm and Bound(self.width_mm).least_mm2 <= size_mm2


class PastInk(Value, frozen=True):
    """An ink by its name, what for, and in how many pieces."""

    name: str
    kind: InkKind
    use: str
    pieces: int


class PastUse(Value, frozen=True):
    """What was used before, what the piece itself records first, then the most used.

    Attributes:
        at_hand: The narrowest needle that the piece, else any piece, was shaded with; empty where there is none.
    """

    needles: tuple[PastNeedle, ...] = ()
    inks: tuple[PastInk, ...] = ()
    at_hand: str = ""

    def shading(self, areas: Iterable[tuple[float, float]]) -> PastNeedle | None:
        """Give the widest needle that was shaded with and works areas, each its disc and its size in mm; own first."""
        sizes = tuple(areas)
        fitting = (one for one in self.needles if one.shades and all(one.works(*size) for size in sizes))
        return max(fitting, key=lambda one: (one.is_own, one.width_mm), default=None)

    @property
    def lining(self) -> PastNeedle | None:
        """Give the needle most pieces were lined with, the piece's own first, and one whose use says lines."""
        liners = (one for one in self.needles if not one.shades)
        return min(liners, key=lambda one: (not one.is_own, not _LINES.search(one.use)), default=None)

    def inks_of(self, kind: InkKind) -> tuple[PastInk, ...]:
        """Give the inks of a kind."""
        return tuple(one for one in self.inks if one.kind is kind)


def past_use(catalogue: Catalogue, piece: Piece | None = None) -> PastUse:
    """Count over all pieces; what one piece itself records comes first."""
    own = {needle.code for needle in piece.record.needle} if piece and piece.record else set()
    needles: dict[tuple[str, bool], list[tuple[str, Needle, float]]] = defaultdict(list)
    inks: dict[str, list[tuple[str, str | None]]] = defaultdict(list)
    for other in catalogue.pieces:
        for needle in other.record.needle if other.record else ():
            for reading in read_needles(needle.code):
                if (width := needle_width_mm(reading)) is not None:
                    needles[reading.words(), _shades(needle, reading)].append((other.id, needle, width))
        for ink in other.record.ink if other.record else ():
            if name := catalogue.described(ink).name:
                inks[" ".join(name.split()).casefold()].append((other.id, ink.use))
    found = [_past_needle(used, own, shades=shades) for (_, shades), used in needles.items()]
    bottles = [
        PastInk(name, ink_kind(name), _most(use for _, use in used), _pieces(used)) for name, used in inks.items()
    ]
    shading = sorted((one for one in found if one.shades), key=lambda one: (not one.is_own, one.width_mm))
    return PastUse(
        tuple(sorted(found, key=lambda one: (not one.is_own, -one.pieces, one.code))),
        tuple(sorted(bottles, key=lambda one: (-one.pieces, one.name))),
        shading[0].code if shading else "",
    )


def _past_needle(used: Sequence[tuple[str, Needle, float]], own: set[str], *, shades: bool) -> PastNeedle:
    code, use = _most(needle.code for _, needle, _ in used), _most(needle.use for _, needle, _ in used)
    is_own = any(needle.code in own for _, needle, _ in used)
    return PastNeedle(code, used[0][2], use, _pieces(used), shades, is_own)


def needle_width_mm(reading: NeedleReading) -> float | None:
    """Give how wide a needle's shafts stand side by side: of a magnum, which has two rows, half of them."""
    least = reading.bundle_at_least_mm
    return reading.bundle_mm if least is None else least


def ink_kind(name: str) -> InkKind:
    """Say what an ink is by its name."""
    for kind, words in ((InkKind.WHITE, _WHITE), (InkKind.WASH, _WASH), (InkKind.BLACK, _BLACK)):
        if words.search(name):
            return kind
    return InkKind.OTHER


def _shades(needle: Needle, reading: NeedleReading) -> bool:
    """Say whether a needle was shaded with: by its use, else by how its needles stand."""
    use = needle.use or ""
    if _SHADES.search(use):
        return True
    return not _LINES.search(use) and reading.grouping in _SHADERS


def _most(words: Iterable[str | None]) -> str:
    counted = Counter(word.strip() for word in words if word and word.strip())
    return min(counted, key=lambda word: (-counted[word], word), default="")


def _pieces(used: Iterable[tuple[str, object, *tuple[object, ...]]]) -> int:
    return len({one[0] for one in used})
