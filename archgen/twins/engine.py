"""Find all pairs of near-identical pictures: candidates by their vectors, then proof by alignment."""

from __future__ import annotations

from collections import OrderedDict, defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from archgen.twins.align import Working, align, unpack
from archgen.twins.candidates import Candidate, candidates
from archgen.twins.compare import Evidence, accepted, measure
from archgen.twins.model import Item, Pair
from archgen.twins.prepare import Kind
from archgen.twins.relation import full_transform, name_pair
from archgen.twins.signature import WINDOWS, coefficients_of
from archgen.twins.turns import Affine, box_transform, compose, inverse, turn_transform

MOST_GUESSES = 3
UNPACKED = 512


@dataclass(frozen=True, slots=True)
class Known:
    """What an earlier run found: the digest of each key then, and the pairs."""

    digests: Mapping[str, str]
    pairs: Sequence[Pair]


@dataclass(slots=True)
class _Desk:
    """Views unpacked lately; unpacking costs as much as an alignment."""

    items: Sequence[Item]
    kept: OrderedDict[tuple[int, int], Working] = field(default_factory=OrderedDict)

    def get(self, item: int, view: int) -> Working:
        key = (item, view)
        if key in self.kept:
            self.kept.move_to_end(key)
            return self.kept[key]
        self.kept[key] = unpack(self.items[item].prepared, view)
        if len(self.kept) > UNPACKED:
            self.kept.popitem(last=False)
        return self.kept[key]


def find_pairs(
    items: Sequence[Item], known: Known | None = None, progress: Callable[[int, int], None] | None = None
) -> list[Pair]:
    """Find the pairs among `items`, in the order of their keys.

    With `known`, pairs of two unchanged items are taken over and not compared again. `progress` is called with the
    number of comparisons done and their total.
    """
    items = sorted(items, key=lambda item: item.key)
    desk = _Desk(items)
    same = {index for index, item in enumerate(items) if known and known.digests.get(item.key) == item.prepared.digest}
    keys = {items[index].key for index in same}
    found = {(pair.a, pair.b): pair for pair in (known.pairs if known else ()) if {pair.a, pair.b} <= keys}
    guesses = _guesses(items, same)
    for done, ((a, b), rows) in enumerate(sorted(guesses.items())):
        pair = _prove(desk, a, b, rows)
        if pair is not None:
            found[pair.a, pair.b] = pair
        if progress is not None:
            progress(done + 1, len(guesses))
    return [found[key] for key in sorted(found)]


@dataclass(frozen=True, slots=True)
class _Guess:
    kind: Kind
    part: tuple[int, int]
    whole: tuple[int, int]
    turn: int
    window: int
    cosine: float


def _guesses(items: Sequence[Item], same: set[int]) -> dict[tuple[int, int], list[_Guess]]:
    out: dict[tuple[int, int], list[_Guess]] = defaultdict(list)
    for kind in Kind:
        rows = [
            (item, view)
            for item, entry in enumerate(items)
            for view, chosen in enumerate(entry.prepared.views)
            if chosen.kind is kind
        ]
        coefficients = coefficients_of([items[item].prepared.views[view] for item, view in rows])
        for batch in candidates(coefficients, kind):
            for guess in _named(batch, rows, kind):
                a, b = sorted((guess.part[0], guess.whole[0]))
                if a != b and not {a, b} <= same:
                    out[a, b].append(guess)
    return out


def _named(batch: Iterable[Candidate], rows: Sequence[tuple[int, int]], kind: Kind) -> Iterable[_Guess]:
    return (_Guess(kind, rows[one.part], rows[one.whole], one.turn, one.window, one.cosine) for one in batch)


def _prove(desk: _Desk, a: int, b: int, guesses: list[_Guess]) -> Pair | None:
    best: tuple[float, _Guess, Affine, Evidence] | None = None
    for guess in sorted(guesses, key=lambda one: -one.cosine)[:MOST_GUESSES]:
        part, whole = desk.get(*guess.part), desk.get(*guess.whole)
        start = compose(box_transform(*WINDOWS[guess.window]), inverse(turn_transform(guess.turn)))
        transform, coarse = align(part, whole, start)
        if coarse < 0.6:
            continue
        evidence = measure(part, whole, transform, coarse)
        score = accepted(evidence, guess.kind)
        if best is None or score > best[0]:
            best = (score, guess, transform, evidence)
    if best is None or best[0] < 0.5:
        return None
    score, guess, transform, evidence = best
    views = [desk.items[item].prepared.views[view] for item, view in (guess.part, guess.whole)]
    full = full_transform(views[0].box, views[1].box, transform)
    if guess.part[0] == a:
        full = inverse(full)
    return name_pair(desk.items[a], desk.items[b], full, evidence, guess.kind, score)
