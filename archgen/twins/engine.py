"""Find all pairs of near-identical pictures: candidates by their vectors, then proof by alignment."""

from __future__ import annotations

from collections import OrderedDict, defaultdict
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from archgen.twins.description.signature import COEFFICIENTS, WINDOWS, PictureKind
from archgen.twins.description.turns import (
    IDENTITY,
    Affine,
    box_transform,
    compose,
    inverse,
    reversed_turn,
    turn_transform,
)
from archgen.twins.description.warp import flattened
from archgen.twins.model import ComparedPicture, Pair, Relation
from archgen.twins.naming.relation import Match, edges_apart, full_transform, is_other_day, name_pair, same_pair
from archgen.twins.proof.align import Working, align, bend
from archgen.twins.proof.compare import evidence_for, measure, score_of
from archgen.twins.proof.contents import other_content
from archgen.twins.search.candidates import Views, candidates
from archgen.twins.search.clusters import find_clusters, lie_on_each_other

# Raise with every change of which pairs are found or what is said of them.
VERSION = 7

# Guesses that are tried of a pair, and of each turn: two bare corners of drawings agree best, and say nothing.
MOST_GUESSES, MOST_OF_TURN = 5, 3
UNPACKED = 256


@dataclass(frozen=True, slots=True)
class Known:
    """What an earlier run found: the digest of each key then, and the pairs."""

    digests: Mapping[str, str]
    pairs: Sequence[Pair]


@dataclass(slots=True)
class _UnpackedViews:
    """Views unpacked lately; unpacking costs as much as an alignment."""

    items: Sequence[ComparedPicture]
    kept: OrderedDict[tuple[int, int], Working] = field(default_factory=OrderedDict)

    def get(self, item: int, view: int) -> Working:
        key = (item, view)
        if key in self.kept:
            self.kept.move_to_end(key)
            return self.kept[key]
        made = self.kept[key] = Working(self.items[item].prepared, view)
        if len(self.kept) > UNPACKED:
            self.kept.popitem(last=False)
        return made


def find_pairs(
    items: Sequence[ComparedPicture], known: Known | None = None, progress: Callable[[int, int], None] | None = None
) -> list[Pair]:
    """Find the pairs among `items`, in the order of their keys.

    With `known`, pairs of two unchanged items are taken over and not compared again. Of a large heap of the same
    picture only the first is compared with the rest of the pictures, and each of the others with the first. `progress`
    is called with the number of comparisons done and their total.
    """
    items = sorted(items, key=lambda item: item.key)
    desk = _UnpackedViews(items)
    same = {index for index, item in enumerate(items) if known and known.digests.get(item.key) == item.prepared.digest}
    keys = {items[index].key for index in same}
    found = {(pair.a, pair.b): pair for pair in (known.pairs if known else ()) if {pair.a, pair.b} <= keys}
    followers = find_clusters(items)
    guesses = _guesses(items, same, followers)
    for follower, leader in followers.items():
        if not {follower, leader} <= same:
            guesses[leader, follower] = _heap_guesses(items, leader, follower)

    def prove(guess: tuple[tuple[int, int], list[_Guess]]) -> Pair | None:
        (a, b), rows = guess
        pair = _pair_of_copies(items[a], items[b]) if followers.get(b) == a else None
        return pair or _prove(desk, a, b, rows)

    # Not in threads: the maps are so small that two threads wait for each other, and took half as long again as one.
    for done, pair in enumerate(map(prove, sorted(guesses.items())), 1):
        if pair is not None:
            found[pair.a, pair.b] = pair
        if progress is not None:
            progress(done, len(guesses))
    return [found[key] for key in sorted(found)]


def _pair_of_copies(leader: ComparedPicture, follower: ComparedPicture) -> Pair | None:
    """Pair two members of a heap that plainly lie on each other; ten thousand alignments would take minutes."""
    if leader.prepared.digest == follower.prepared.digest:
        return same_pair(leader, follower)
    if not lie_on_each_other(leader.prepared, follower.prepared):
        return None
    return name_pair(leader, follower, Match(IDENTITY, leader.prepared.views[0].kind, 1.0))


def _heap_guesses(items: Sequence[ComparedPicture], leader: int, follower: int) -> list[_Guess]:
    return [_Guess(items[leader].prepared.views[0].kind, (follower, 0), (leader, 0), 0, 0, 1.0)]


@dataclass(frozen=True, slots=True)
class _Guess:
    kind: PictureKind
    part: tuple[int, int]
    whole: tuple[int, int]
    turn: int
    window: int
    cosine: float


def _guesses(
    items: Sequence[ComparedPicture], same: set[int], left_out: Collection[int]
) -> dict[tuple[int, int], list[_Guess]]:
    out: dict[tuple[int, int], list[_Guess]] = defaultdict(list)
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
            guess = _Guess(kind, rows[part][:2], rows[whole][:2], turn, window, cosine)
            a, b = sorted((guess.part[0], guess.whole[0]))
            if a != b and not _differ_in_kind(items[a], items[b]):
                out[a, b].append(guess)
    return out


def _differ_in_kind(a: ComparedPicture, b: ComparedPicture) -> bool:
    """A stencil is not a copy of the photograph of the piece made with it."""
    return a.is_stencil is not None and b.is_stencil is not None and a.is_stencil != b.is_stencil


@dataclass(frozen=True, slots=True)
class _Proof:
    guess: _Guess
    transform: Affine  # between content boxes, from the part
    full: Affine  # between whole pictures, from the part
    fit: float
    turn: int
    misfit: float
    weighed: float
    is_bent: bool


def _prove(desk: _UnpackedViews, a: int, b: int, guesses: list[_Guess]) -> Pair | None:
    """Align the best guesses and keep the one that fits best."""
    first, second = desk.items[a], desk.items[b]
    if first.prepared.digest == second.prepared.digest:
        return same_pair(first, second)
    proofs: list[_Proof] = []
    for guess in _worth_trying(guesses):
        sure = [proof.guess for proof in proofs if proof.weighed > SURE]
        if sure and guess.cosine < sure[0].cosine - SURE_RANGE:
            break
        if any(_way(guess) == _way(other) for other in sure):
            continue
        proof = _try(desk, guess)
        if proof is not None:
            proofs.append(proof)
    if not proofs:
        return None
    best = min(proofs, key=_doubt)
    if best.weighed <= 0:
        best = max(proofs, key=lambda proof: proof.weighed)
    if best.weighed <= 0 or is_other_day(first, second, score_of(best.weighed)):
        return None
    full = inverse(best.full) if best.guess.part[0] == a else best.full
    match = Match(full, best.guess.kind, score_of(best.weighed), best.is_bent)
    pair = name_pair(first, second, match)
    if pair.relation in {Relation.BURST, Relation.CROPPED} and _is_in_perspective(desk, best):
        return name_pair(first, second, replace(match, is_bent=True))
    return pair


def _is_in_perspective(desk: _UnpackedViews, proof: _Proof) -> bool:
    """Tell a picture seen at a slant, whose edges lie as those of a burst or of a part do."""
    if edges_apart(proof.full) > MOST_SLANTED:
        return False
    bent, fit = bend(desk.get(*proof.guess.part), desk.get(*proof.guess.whole), proof.transform)
    is_slanted = float(np.abs(bent[2, :2]).max()) > LEAST_SLANT
    return is_slanted and fit > proof.fit + SLANT_GAIN


# What a perspective must bend, and add to the correlation, before a burst or a part is taken for a slanted view.
LEAST_SLANT, SLANT_GAIN = 0.015, 0.012
# Edges further apart than this were cut away.
MOST_SLANTED = 0.12


# A turned or mirrored reading must leave this much less misfit than the upright one; symmetric art fits both ways, and
# the noise of a new exposure then decides. A reading in which the edges of the pictures meet is the likelier one.
TURN_DOUBT, TURN_COST, EDGE_COST = 1.5, 0.002, 0.5


def _doubt(proof: _Proof) -> float:
    misfit = proof.misfit * TURN_DOUBT + TURN_COST if proof.turn else proof.misfit
    return misfit + EDGE_COST * min(edges_apart(proof.full), 0.1)


def _worth_trying(guesses: list[_Guess]) -> list[_Guess]:
    """Keep the best guesses of each turn, from other views, and of those the few that are not far behind the best."""
    by_turn: dict[int, list[_Guess]] = defaultdict(list)
    for guess in sorted(guesses, key=lambda one: -one.cosine):
        views = {guess.part, guess.whole}
        if all(views != {other.part, other.whole} for other in by_turn[_way(guess)]):
            by_turn[_way(guess)].append(guess)
    best = max(guess.cosine for guess in guesses)
    kept = [guess for some in by_turn.values() for guess in some[:MOST_OF_TURN] if guess.cosine > best - GUESS_RANGE]
    return sorted(kept, key=lambda one: -one.cosine)[:MOST_GUESSES]


def _way(guess: _Guess) -> int:
    """Give the turn as seen from the picture that comes first."""
    return guess.turn if guess.part[0] < guess.whole[0] else reversed_turn(guess.turn)


# How far in cosine a guess may lie behind the best one; and behind one that is proved already, where only
# another turn of symmetric art could fit as well.
GUESS_RANGE, SURE_RANGE = 0.12, 0.04


def _try(desk: _UnpackedViews, guess: _Guess) -> _Proof | None:
    part, whole = desk.get(*guess.part), desk.get(*guess.whole)
    start = compose(box_transform(*WINDOWS[guess.window]), inverse(turn_transform(guess.turn)))
    transform, fit = align(part, whole, start)
    if fit < LEAST_FIT:
        return None
    evidence = measure(part, whole, transform)
    weighed = evidence_for(evidence, guess.kind) if evidence else -10.0
    is_bent, laid = False, transform
    if -10.0 < weighed < SURE:
        bent, _ = bend(part, whole, transform)
        again = measure(part, whole, bent)
        after = evidence_for(again, guess.kind) if again else -10.0
        if again and again.is_other:  # what was only laid badly lies well now
            evidence, weighed = again, after
        elif after > weighed:
            is_bent = after > weighed + BENT_GAIN
            transform, evidence, weighed, laid = flattened(bent), again, after, bent
    if evidence is None:
        return None
    if weighed > 0:
        weighed -= other_content(part, whole, laid)
    views = [desk.items[item].prepared.views[view] for item, view in (guess.part, guess.whole)]
    full = full_transform(views[0].box, views[1].box, transform)
    return _Proof(guess, transform, full, fit, guess.turn, 1 - evidence.correlation, weighed, is_bent)


LEAST_FIT = 0.55
SURE = 3.0
# What a perspective must add to the evidence to be one.
BENT_GAIN = 1.0
