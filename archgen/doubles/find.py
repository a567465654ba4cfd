"""Near-identical pictures of the archive: all pairs, the groups that ask for a look, the photos of one moment."""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

import msgspec
import numpy as np

from archgen.catalogue import Catalogue, DoubleGroup, Settled, Twins
from archgen.doubles.decisions import Decided
from archgen.doubles.parts import find_parts
from archgen.doubles.paths import folder_of, piece_of
from archgen.doubles.questions import PairKind, PairKinds
from archgen.doubles.stored import archive_items
from archgen.languages.house import say
from archgen.picture_facts.facts import ImageFacts
from archgen.progress import ProgressReporter
from archgen.storage.cache import Cache
from archgen.twins.description import prepare as preparing
from archgen.twins.description.turns import FIRST_MIRRORED, turned_coefficients
from archgen.twins.engine import VERSION, Known, find_pairs
from archgen.twins.groups import PictureGroup, groups
from archgen.twins.model import ComparedPicture, Pair, Relation
from archgen.values.frozen import Value

_PAIRS_KEY = Cache.key("pairs of pictures", VERSION, str(preparing.VERSION))
# Nobody holds still longer than this between two exposures of one view; common practice, no source.
_ONE_MOMENT = dt.timedelta(minutes=10)
# Cosine of a drawing with its own mirror image from which nobody can tell which way round it is stored.
_SYMMETRIC = 0.9


def find_twins(catalogue: Catalogue, cache: Cache, progress: ProgressReporter) -> Twins:
    """Compare all pictures of a catalogue; only those that are new or changed are compared again."""
    compared = _compare(catalogue.facts, cache, progress)
    decided = decided_of(catalogue)
    standings = PairKinds(catalogue.pieces, catalogue.facts)
    pairs = [_as_one_moment(pair, catalogue.facts) for pair in compared.pairs]
    doubles = tuple(pair for pair in pairs if standings.of(pair) is PairKind.DOUBLE)
    asked = _Asked(doubles, decided, catalogue.facts, compared.sharpness)
    not_different = tuple(pair for pair in pairs if decided.verdict(pair.a, pair.b) is not False)
    found = replace(catalogue, twins=Twins(pairs=tuple(pairs)))
    parts = tuple(one for one in find_parts(found, cache) if decided.verdict(*sorted(one)) is not False)
    return Twins(
        parts=parts,
        pairs=not_different,
        doubles=tuple(_groups(asked, not_different)),
        settled=tuple(_settled(decided, pairs)),
        moments=tuple(_moments(asked)),
        symmetric=compared.symmetric,
    )


def decided_of(catalogue: Catalogue) -> Decided:
    """Give the decisions of a catalogue, as far as they hold for its files."""
    digests = {path: fact.digest for path, fact in catalogue.facts.items()}
    return Decided(catalogue.decisions, catalogue.decision_lines, digests)


class _Compared(msgspec.Struct, frozen=True):
    """What comparing told: the pairs, how sharp each picture is, which stencils are their own mirror image."""

    pairs: list[Pair]
    sharpness: dict[str, float]
    symmetric: frozenset[str]


def _compare(facts: Mapping[str, ImageFacts], cache: Cache, progress: ProgressReporter) -> _Compared:
    """Compare what is new or changed; where nothing is, not even the descriptions are read."""
    versions = (str(VERSION), str(preparing.VERSION), str(_SYMMETRIC))
    parts = (text for path, fact in facts.items() for text in (path, fact.description or "", str(fact.taken)))
    key = Cache.key("all pictures compared", 1, *versions, *parts)
    known = cache.value(key, _Compared)
    if known is not None:
        cache.get(_PAIRS_KEY)  # still wanted when a picture changes
        return known
    items = list(archive_items(facts, cache.blobs))
    with progress.counter(say("Comparing pictures")) as count:
        pairs = find_pairs(items, cache.value(_PAIRS_KEY, Known), count)
    cache.put(_PAIRS_KEY, msgspec.json.encode(Known({item.key: item.prepared.digest for item in items}, pairs)))
    sharpness = {item.key: item.prepared.sharpness for item in items}
    symmetric = frozenset(item.key for item in items if item.is_stencil and _is_symmetric(item))
    compared = _Compared(pairs, sharpness, symmetric)
    cache.put(key, msgspec.json.encode(compared, order="deterministic"))
    return compared


class _Asked(Value, frozen=True):
    """The pairs that are a question unless they are decided, and what is needed to put their pictures in order."""

    pairs: tuple[Pair, ...]
    decided: Decided
    facts: Mapping[str, ImageFacts]
    sharpness: Mapping[str, float]

    def fullest_first(self, group: PictureGroup) -> tuple[str, ...]:
        """Put the picture first that is a part of no other and has the most pixels: the likeliest original."""
        parts = {pair.part for pair in group.pairs}
        pixels = {path: self.facts[path].width * self.facts[path].height for path in group.keys}
        return tuple(sorted(pixels, key=lambda path: (path in parts, -pixels[path], path != group.full, path)))

    def best_first(self, paths: Iterable[str]) -> tuple[str, ...]:
        """Put the sharpest first; what has less than half the pixels of the largest comes after."""
        pixels = {path: self.facts[path].width * self.facts[path].height for path in paths}
        most = max(pixels.values())
        return tuple(sorted(pixels, key=lambda path: (2 * pixels[path] < most, -self.sharpness[path], path)))


def _groups(asked: _Asked, known: Iterable[Pair]) -> Iterator[DoubleGroup]:
    decided = asked.decided
    by_path = _by_path(known)
    found = {(pair.a, pair.b) for pair in asked.pairs}
    for group in groups(pair for pair in asked.pairs if _is_open(pair, found, decided)):
        is_burst = all(pair.relation is Relation.BURST for pair in group.pairs)
        paths = asked.best_first(group.keys) if is_burst else asked.fullest_first(group)
        again = {text: None for pair in group.pairs if (text := decided.why_again(pair.a, pair.b))}
        yield DoubleGroup(
            paths=paths,
            mirrored=any(pair.mirrored for pair in group.pairs),
            pairs=_among(paths, by_path),  # also what is no question: it says how the pictures belong together
            sharpness=tuple(asked.sharpness[path] for path in paths),
            is_burst=is_burst,
            again=tuple(again),
        )


def _is_open(pair: Pair, found: set[tuple[str, str]], decided: Decided) -> bool:
    """Say whether a pair still asks: a copy that was decided about asks no more where the picture kept for it asks."""
    if decided.verdict(pair.a, pair.b) is not None:
        return False
    a, b = sorted((decided.standing_for(pair.a), decided.standing_for(pair.b)))
    if (a, b) == (pair.a, pair.b):
        return True
    return a != b and decided.verdict(a, b) is None and (a, b) not in found


def _settled(decided: Decided, pairs: Iterable[Pair]) -> Iterator[Settled]:
    entries = decided.settled
    if not entries:
        return
    by_path = _by_path(pairs)
    for entry in entries:
        among = _among(entry.decision.images, by_path)
        yield Settled(entry.decision, entry.same, entry.kept if entry.same else None, among)


def _by_path(pairs: Iterable[Pair]) -> Mapping[str, list[Pair]]:
    by_path: dict[str, list[Pair]] = {}
    for pair in pairs:
        by_path.setdefault(pair.a, []).append(pair)
    return by_path


def _among(paths: Iterable[str], by_path: Mapping[str, list[Pair]]) -> tuple[Pair, ...]:
    inside = set(paths)
    return tuple(pair for path in sorted(inside) for pair in by_path.get(path, ()) if pair.b in inside)


def _moments(asked: _Asked) -> Iterator[tuple[str, ...]]:
    """Gather the photos of one piece that show one moment, the one to show first: the kept one, else the sharpest."""
    decided = asked.decided
    for entry in decided.settled:
        photos = [path for path in dict.fromkeys(entry.decision.images) if path in asked.sharpness and _is_photo(path)]
        if entry.same and len(photos) > 1 and len({piece_of(path) for path in photos}) == 1:
            yield tuple(sorted(photos, key=lambda path: path != entry.kept))
    bursts = [
        pair
        for pair in asked.pairs
        if pair.relation is Relation.BURST
        and _is_photo(pair.a)
        and _is_photo(pair.b)
        and piece_of(pair.a) == piece_of(pair.b)
        and decided.verdict(pair.a, pair.b) is not False
    ]
    for group in groups(bursts):
        kept = {decided.standing_for(path) for path in group.keys if decided.standing_for(path) != path}
        yield tuple(sorted(asked.best_first(group.keys), key=lambda path: path not in kept))


def _as_one_moment(pair: Pair, facts: Mapping[str, ImageFacts]) -> Pair:
    """Call photos of one piece that the camera took within minutes what they are: an edited copy keeps its time."""
    if pair.relation is not Relation.EDITED or not (_is_photo(pair.a) and _is_photo(pair.b)):
        return pair
    one, two = (fact.taken if (fact := facts.get(path)) else None for path in (pair.a, pair.b))
    if one and two and one != two and piece_of(pair.a) == piece_of(pair.b) and abs(one - two) <= _ONE_MOMENT:
        return replace(pair, relation=Relation.BURST)
    return pair


def _is_photo(path: str) -> bool:
    return folder_of(path) == "photos"


def _is_symmetric(item: ComparedPicture) -> bool:
    if not item.prepared.views:
        return True
    ours = item.prepared.views[0].coefficients
    mirrored = turned_coefficients(ours, FIRST_MIRRORED)
    return float((ours * mirrored).sum() / max(float(np.square(ours).sum()), 1e-9)) > _SYMMETRIC
