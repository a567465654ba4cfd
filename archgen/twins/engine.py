"""Find all pairs of near-identical pictures: candidates by their vectors, then proof by alignment."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Mapping, Sequence
from itertools import chain

import numpy as np

from archgen.twins.description.signature import COEFFICIENTS, WINDOWS, PictureKind
from archgen.twins.description.turns import IDENTITY
from archgen.twins.model import ComparedPicture, Pair
from archgen.twins.naming.relation import Match, name_pair, same_pair
from archgen.twins.proving import LayingGuess, PairToProve, prove_all
from archgen.twins.search.candidates import Views, candidates
from archgen.twins.search.clusters import find_clusters, lie_on_each_other
from archgen.values.frozen import Value

# Raise with every change of which pairs are found or what is said of them.
VERSION = 7


class Known(Value, frozen=True):
    """What an earlier run found: the digest of each key then, and the pairs."""

    digests: Mapping[str, str]
    pairs: Sequence[Pair]


def find_pairs(
    items: Sequence[ComparedPicture], known: Known | None = None, progress: Callable[[int, int], None] | None = None
) -> list[Pair]:
    """Find the pairs among `items`, in the order of their keys.

    With `known`, pairs of two unchanged items are taken over and not compared again. Of a large heap of the same
    picture only the first is compared with the rest of the pictures, and each of the others with the first. `progress`
    is called with the number of comparisons done and their total.
    """
    items = sorted(items, key=lambda item: item.key)
    same = {index for index, item in enumerate(items) if known and known.digests.get(item.key) == item.prepared.digest}
    keys = {items[index].key for index in same}
    found = {(pair.a, pair.b): pair for pair in (known.pairs if known else ()) if {pair.a, pair.b} <= keys}
    followers = find_clusters(items)
    guesses = _guesses(items, same, followers)
    for follower, leader in followers.items():
        if not {follower, leader} <= same:
            guesses[leader, follower] = _heap_guesses(items, leader, follower)

    copies = {key: _pair_of_copies(items, *key) for key in guesses if followers.get(key[1]) == key[0]}
    open_pairs = [PairToProve(*key, rows) for key, rows in sorted(guesses.items()) if copies.get(key) is None]
    proved = chain(filter(None, copies.values()), prove_all(items, open_pairs))
    for done, pair in enumerate(proved, 1):
        if pair is not None:
            found[pair.a, pair.b] = pair
        if progress is not None:
            progress(done, len(guesses))
    return [found[key] for key in sorted(found)]


def _pair_of_copies(items: Sequence[ComparedPicture], first: int, second: int) -> Pair | None:
    """Pair two members of a heap that plainly lie on each other; ten thousand alignments would take minutes."""
    leader, follower = items[first], items[second]
    if leader.prepared.digest == follower.prepared.digest:
        return same_pair(leader, follower)
    if not lie_on_each_other(leader.prepared, follower.prepared):
        return None
    return name_pair(leader, follower, Match(IDENTITY, leader.prepared.views[0].kind, 1.0))


def _heap_guesses(items: Sequence[ComparedPicture], leader: int, follower: int) -> list[LayingGuess]:
    return [LayingGuess(items[leader].prepared.views[0].kind, (follower, 0), (leader, 0), 0, 0, 1.0)]


def _guesses(
    items: Sequence[ComparedPicture], same: set[int], left_out: Collection[int]
) -> dict[tuple[int, int], list[LayingGuess]]:
    out: dict[tuple[int, int], list[LayingGuess]] = defaultdict(list)
    some = [item for item in range(len(items)) if item not in left_out]
    every = [(item, view, chosen) for item in some for view, chosen in enumerate(items[item].prepared.views)]
    is_fresh = np.array([item not in same for item in range(len(items))], bool)
    for kind in PictureKind:
        rows = [row for row in every if row[2].kind is kind]
        if not rows:
            continue
        coefficients = np.concatenate([view.coefficients for _, _, view in rows])
        norms = np.concatenate([view.norms for _, _, view in rows])
        columns = Views(coefficients.reshape(-1, COEFFICIENTS, COEFFICIENTS), norms.reshape(-1, len(WINDOWS)))
        one = candidates(columns, kind, is_fresh[[item for item, _, _ in rows]])
        found = (one.part, one.whole, one.turn, one.window, one.cosine)
        for part, whole, turn, window, cosine in zip(*(column.tolist() for column in found), strict=True):
            guess = LayingGuess(kind, rows[part][:2], rows[whole][:2], turn, window, cosine)
            a, b = sorted((guess.part[0], guess.whole[0]))
            if a != b and not _differ_in_kind(items[a], items[b]):
                out[a, b].append(guess)
    return out


def _differ_in_kind(a: ComparedPicture, b: ComparedPicture) -> bool:
    """A stencil is not a copy of the photograph of the piece made with it."""
    return a.is_stencil is not None and b.is_stencil is not None and a.is_stencil != b.is_stencil
