"""Prove pairs: lay the best guesses of how two pictures lie on each other, and keep what fits best.

Many pairs are proved by child processes: the maps are so small that two threads wait for each other, and took half as
long again as one.
"""

from __future__ import annotations

from collections import OrderedDict, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import chain
from typing import Any

import msgspec
import numpy as np

from archgen.isolation.child import MOST_CHILDREN, RaisedError, WorkFailedError, call
from archgen.isolation.limits import WorkLimits
from archgen.storage import jobs
from archgen.twins.description.prepared import Prepared
from archgen.twins.description.signature import WINDOWS, PictureKind
from archgen.twins.description.turns import Affine, box_transform, compose, inverse, reversed_turn, turn_transform
from archgen.twins.description.warp import flattened
from archgen.twins.model import ComparedPicture, Pair, Relation
from archgen.twins.naming.relation import Match, edges_apart, full_transform, is_other_day, name_pair, same_pair
from archgen.twins.proof.align import Working, align, bend
from archgen.twins.proof.compare import evidence_for, measure, score_of
from archgen.twins.proof.contents import other_content
from archgen.values.frozen import Value

# Guesses that are tried of a pair, and of each turn: two bare corners of drawings agree best, and say nothing.
MOST_GUESSES, MOST_OF_TURN = 5, 3
UNPACKED = 256

# Fewer pairs than this are proved sooner than children start; so many go to a child at once, half a second's work.
FEW, PART = 500, 100
_LIMITS = WorkLimits(cpu_s=120.0, memory_bytes=600_000_000, wall_s=600.0)


class LayingGuess(Value, frozen=True):
    """How a part of one picture may lie on another: `part` and `whole` give the picture and which of its views.

    `turn` is one of `description.turns`, `window` one of `signature.WINDOWS`, `cosine` how like the two look there.
    """

    kind: PictureKind
    part: tuple[int, int]
    whole: tuple[int, int]
    turn: int
    window: int
    cosine: float


class PairToProve(Value, frozen=True):
    """Two pictures, by their places in a list, and what is guessed of them."""

    a: int
    b: int
    guesses: list[LayingGuess]


def prove_all(items: Sequence[ComparedPicture], pairs: Sequence[PairToProve]) -> Iterator[Pair | None]:
    """Prove each pair, in their order: None where the two are not one picture."""
    if len(pairs) < FEW:
        yield from _proved(items, pairs)
        return

    def apart(some: Sequence[PairToProve]) -> list[Pair | None]:
        try:
            return _proved_apart(items, some)
        except (WorkFailedError, RaisedError):  # a child has less memory than we
            return list(_proved(items, some))

    parts = [pairs[at : at + PART] for at in range(0, len(pairs), PART)]
    yield from chain.from_iterable(jobs.run(apart, parts, min(MOST_CHILDREN, jobs.default_workers())))


def _proved(items: Sequence[ComparedPicture], pairs: Sequence[PairToProve]) -> Iterator[Pair | None]:
    desk = UnpackedViews(items)
    return (_prove(desk, one.a, one.b, one.guesses) for one in pairs)


def _proved_apart(items: Sequence[ComparedPicture], pairs: Sequence[PairToProve]) -> list[Pair | None]:
    wanted = sorted({item for one in pairs for item in (one.a, one.b)})
    at = {item: place for place, item in enumerate(wanted)}
    pictures = [(one.key, one.prepared.to_bytes(), one.is_stencil, one.taken) for one in map(items.__getitem__, wanted)]
    asked = [_with_places(one, at) for one in pairs]
    found, _ = call("archgen.twins.proving:_prove_here", list[Pair | None], _LIMITS, pictures=pictures, pairs=asked)
    return found


def _with_places(pair: PairToProve, at: Mapping[int, int]) -> PairToProve:
    """Name the two pictures by other places."""
    guesses = [replace(one, part=_placed(one.part, at), whole=_placed(one.whole, at)) for one in pair.guesses]
    return PairToProve(at[pair.a], at[pair.b], guesses)


def _placed(view: tuple[int, int], at: Mapping[int, int]) -> tuple[int, int]:
    return at[view[0]], view[1]


def _prove_here(pictures: list[tuple[str, bytes, bool | None, float | None]], pairs: Any) -> Any:
    """Do in a child process what `_proved` does, on what `_proved_apart` sent."""
    items = [
        ComparedPicture(key, Prepared.from_bytes(raw), is_stencil, taken) for key, raw, is_stencil, taken in pictures
    ]
    return list(_proved(items, msgspec.convert(pairs, list[PairToProve]))), b""


@dataclass(slots=True)
class UnpackedViews:
    """Views unpacked lately; unpacking costs as much as an alignment."""

    items: Sequence[ComparedPicture]
    kept: OrderedDict[tuple[int, int], Working] = field(default_factory=OrderedDict)

    def get(self, item: int, view: int) -> Working:
        """Give a view of a picture, unpacked."""
        key = (item, view)
        if key in self.kept:
            self.kept.move_to_end(key)
            return self.kept[key]
        made = self.kept[key] = Working(self.items[item].prepared, view)
        if len(self.kept) > UNPACKED:
            self.kept.popitem(last=False)
        return made


class _Proof(Value, frozen=True):
    guess: LayingGuess
    transform: Affine  # between content boxes, from the part
    full: Affine  # between whole pictures, from the part
    fit: float
    turn: int
    misfit: float
    weighed: float
    is_bent: bool


def _prove(desk: UnpackedViews, a: int, b: int, guesses: list[LayingGuess]) -> Pair | None:
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


def _is_in_perspective(desk: UnpackedViews, proof: _Proof) -> bool:
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


def _worth_trying(guesses: list[LayingGuess]) -> list[LayingGuess]:
    """Keep the best guesses of each turn, from other views, and of those the few that are not far behind the best."""
    by_turn: dict[int, list[LayingGuess]] = defaultdict(list)
    for guess in sorted(guesses, key=lambda one: -one.cosine):
        views = {guess.part, guess.whole}
        if all(views != {other.part, other.whole} for other in by_turn[_way(guess)]):
            by_turn[_way(guess)].append(guess)
    best = max(guess.cosine for guess in guesses)
    kept = [guess for some in by_turn.values() for guess in some[:MOST_OF_TURN] if guess.cosine > best - GUESS_RANGE]
    return sorted(kept, key=lambda one: -one.cosine)[:MOST_GUESSES]


def _way(guess: LayingGuess) -> int:
    """Give the turn as seen from the picture that comes first."""
    return guess.turn if guess.part[0] < guess.whole[0] else reversed_turn(guess.turn)


# How far in cosine a guess may lie behind the best one; and behind one that is proved already, where only
# another turn of symmetric art could fit as well.
GUESS_RANGE, SURE_RANGE = 0.12, 0.04


def _try(desk: UnpackedViews, guess: LayingGuess) -> _Proof | None:
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
