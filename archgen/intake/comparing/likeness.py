"""Compare new pictures with those of the archive and with each other, by the engine that finds doubles."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field

from archgen.catalogue import Catalogue
from archgen.doubles.paths import folder_of
from archgen.doubles.stored import archive_items, item
from archgen.intake.reading.seen import SeenPicture
from archgen.languages.house import say
from archgen.picture_facts.facts import Role
from archgen.progress import ProgressReporter
from archgen.storage.cache import Cache
from archgen.twins.engine import Known, find_pairs
from archgen.twins.groups import CERTAIN
from archgen.twins.model import ComparedPicture, Pair, Relation

# In front of the digests of new pictures among the paths of filed ones.
_NEW = "new "


@dataclass(frozen=True, slots=True)
class FiledTwin:
    """A filed picture that a new one looks like, and how; `relation` says what the new one is to it.

    Attributes:
        path: Relative to the archive folder.
        relation: IDENTICAL also where the bytes are the same, which `is_same_file` says.
        score: 0.5 to 1.
    """

    path: str
    relation: Relation
    mirrored: bool
    turned: int
    score: float
    is_same_file: bool = False
    weight: float | None = None

    @property
    def is_copy(self) -> bool:
        """Say whether the two are one picture, rather than another frame, another day or other lines."""
        if self.is_same_file:
            return True
        return self.relation not in {Relation.BURST, Relation.VERSION} and self.score >= CERTAIN


@dataclass(slots=True)
class NewTwins:
    """What comparing gave: filed twins by the new picture's digest, the surest first; pairs of new ones."""

    filed: dict[str, list[FiledTwin]] = field(default_factory=dict)
    among: dict[frozenset[str], Pair] = field(default_factory=dict)

    def between(self, one: SeenPicture, other: SeenPicture) -> Pair | None:
        """Give the pair of two new pictures."""
        return self.among.get(frozenset((one.digest, other.digest)))


def compare_with_archive(
    pictures: Sequence[SeenPicture], catalogue: Catalogue, archive: Cache, new: Cache, progress: ProgressReporter
) -> NewTwins:
    """Compare; `archive` is the cache the catalogue's descriptions lie in, `new` that of the new pictures."""
    found = NewTwins()
    by_digest = _paths_by_digest(catalogue)
    for picture in pictures:
        if paths := by_digest.get(picture.digest):
            found.filed[picture.digest] = [_same_file(path) for path in paths]
    left = [picture for picture in pictures if picture.digest not in found.filed]
    filed = list(archive_items(catalogue.facts, archive.blobs))
    items = [*filed, *_items(left, new)]
    # The archive's own pairs are known already and asked by the page Doubles.
    known = Known({one.key: one.prepared.digest for one in filed}, ())
    with progress.counter(say("Comparing with what is filed")) as count:
        pairs = find_pairs(items, known, count)
    by_key = {f"{_NEW}{picture.digest}": picture for picture in left}
    for pair in pairs:
        _take_in(pair, by_key, found, catalogue)
    for twins in found.filed.values():
        twins.sort(key=lambda twin: (not twin.is_copy, -twin.score, twin.path))
    return found


def _items(pictures: Iterable[SeenPicture], cache: Cache) -> Iterator[ComparedPicture]:
    for one in pictures:
        with suppress(OSError, ValueError):  # a damaged cache costs a comparison, not the intake
            is_stencil = one.sorted.role is Role.STENCIL or None
            yield item(f"{_NEW}{one.digest}", cache.blobs / one.look.description, one.look.taken, is_stencil=is_stencil)


def _take_in(pair: Pair, by_key: Mapping[str, SeenPicture], found: NewTwins, catalogue: Catalogue) -> None:
    new = [key for key in (pair.a, pair.b) if key in by_key]
    if len(new) == 2:
        found.among[frozenset(by_key[key].digest for key in new)] = pair
    elif new:
        path = pair.b if new[0] == pair.a else pair.a
        picture = by_key[new[0]]
        relation = _relation(pair, picture, path, catalogue)
        twin = FiledTwin(path, relation, pair.mirrored, pair.turned, pair.score, weight=pair.weight)
        found.filed.setdefault(picture.digest, []).append(twin)


def _relation(pair: Pair, picture: SeenPicture, path: str, catalogue: Catalogue) -> Relation:
    """Call an edited copy what it is by its camera's time: an edited copy keeps it, another exposure has another."""
    is_near = pair.relation in {Relation.EDITED, Relation.TURNED, Relation.CROPPED}
    if is_near and picture.is_photo and folder_of(path) == "photos" and _is_another_time(picture, path, catalogue):
        return Relation.BURST
    return pair.relation


def _is_another_time(picture: SeenPicture, path: str, catalogue: Catalogue) -> bool:
    """Say whether the new photo has another time than the filed one: by the cameras, else by the recorded day."""
    now, facts = picture.look.taken, catalogue.facts.get(path)
    if now is None:
        return False
    if facts and facts.taken:
        return now != facts.taken
    piece = catalogue.piece_at(path)
    photos = piece.record.photo if piece and piece.record else ()
    recorded = next((one.taken for one in photos if piece and f"{piece.folder}/{one.file}" == path), None)
    return recorded is not None and recorded != now.date()


def _same_file(path: str) -> FiledTwin:
    return FiledTwin(path, Relation.IDENTICAL, mirrored=False, turned=0, score=1.0, is_same_file=True)


def _paths_by_digest(catalogue: Catalogue) -> Mapping[str, list[str]]:
    found: dict[str, list[str]] = {}
    for path in sorted(catalogue.facts):
        found.setdefault(catalogue.facts[path].digest, []).append(path)
    return found
