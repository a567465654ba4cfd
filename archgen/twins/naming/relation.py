"""Name how two aligned pictures belong together.

Looks at where the edges of one lie in the other, at what lies outside, at light, colour and sharpness, and at the
weight of the lines. Knows prepared pictures and the transform between them.
"""

from __future__ import annotations

from dataclasses import dataclass

from archgen.twins.description.prepared import Prepared
from archgen.twins.description.signature import Kind
from archgen.twins.description.turns import FIRST_MIRRORED, Affine, box_transform, compose, inverse
from archgen.twins.model import Item, Pair, Relation
from archgen.twins.naming.alignment import Lie, edges_apart, is_one_size
from archgen.twins.naming.edges import Place, place_of
from archgen.twins.naming.placing import settle
from archgen.twins.naming.tone import Tone
from archgen.twins.naming.weight import Weight, is_cut, weigh

__all__ = ("Match", "edges_apart", "full_transform", "is_other_day", "name_pair", "same_pair")

# Pictures taken within this many seconds of each other are of one moment.
BURST_SECONDS = 20.0
# Exposures further apart are another sitting, or the healed piece; from this score on they are one picture even so.
OTHER_DAY_SECONDS, SURE_SCORE = 3600.0, 0.95


@dataclass(frozen=True, slots=True)
class Match:
    """How two pictures were found to agree.

    `transform` sends points of the second to points of the first, in fractions of each; `is_bent` says that they agree
    only when seen in perspective.
    """

    transform: Affine
    kind: Kind
    score: float
    is_bent: bool = False


def name_pair(a: Item, b: Item, match: Match) -> Pair:
    """Make the pair of two items."""
    # A dense drawing is looked at both ways; as a drawing it tells more.
    kind = Kind.LINE if all(_is_drawing(one.prepared) for one in (a, b)) else match.kind
    lie = settle(a.prepared, b.prepared, match.transform)
    place, frame = place_of(a.prepared, b.prepared, lie, kind)
    if match.is_bent and (place is Place.MOVED or not lie.is_plain):
        place = Place.TILTED
    weight = None
    if kind is Kind.LINE and place is not Place.FRAMED:
        weight = weigh(a.prepared, b.prepared, lie, is_sure=lie.is_plain and place in _CERTAIN)
    relation = _relation(a, b, lie, place, weight)
    xx, xy, x0, yx, yy, y0 = (round(float(value), 5) for value in lie.transform.ravel())
    return Pair(
        a=a.key,
        b=b.key,
        relation=relation,
        mirrored=lie.turn >= FIRST_MIRRORED,
        turned=lie.turn % FIRST_MIRRORED * 90,
        transform=(xx, xy, x0, yx, yy, y0),
        score=round(match.score, 3),
        part={Place.A_IN_B: a.key, Place.B_IN_A: b.key}.get(place),
        box={Place.A_IN_B: frame.a_in_b, Place.B_IN_A: frame.b_in_a}.get(place),
        weight=round(weight.ratio, 3) if weight else None,
    )


# The lines of a picture that moved are blurred; and a border changes what is paper and what is black.
_CERTAIN = {Place.SAME, Place.A_IN_B, Place.B_IN_A}


def same_pair(a: Item, b: Item) -> Pair:
    """Make the pair of two items of which the same was kept."""
    return Pair(a.key, b.key, Relation.IDENTICAL, False, 0, (1.0, 0.0, 0.0, 0.0, 1.0, 0.0), 1.0)


def _is_drawing(prepared: Prepared) -> bool:
    return any(view.kind is Kind.LINE for view in prepared.views)


def is_other_day(a: Item, b: Item, score: float) -> bool:
    """Tell two photographs of one subject on different days, alike but not certainly the same picture.

    An edited copy keeps the moment of exposure of its original, or has none.
    """
    if a.taken is None or b.taken is None:
        return False
    return abs(a.taken - b.taken) > OTHER_DAY_SECONDS and score < SURE_SCORE


def _relation(a: Item, b: Item, lie: Lie, place: Place, weight: Weight | None) -> Relation:
    if weight and weight.is_other:
        return Relation.VERSION
    if place in {Place.A_IN_B, Place.B_IN_A}:
        return Relation.CROPPED
    if lie.turn:
        return Relation.MIRRORED if lie.turn >= FIRST_MIRRORED else Relation.TURNED
    return Relation.BURST if _is_burst(a, b, lie, place) else _edit(a.prepared, b.prepared, lie, place, weight)


def _is_burst(a: Item, b: Item, lie: Lie, place: Place) -> bool:
    if a.taken is not None and b.taken is not None:
        return a.taken != b.taken and abs(a.taken - b.taken) <= BURST_SECONDS
    return place is Place.MOVED and Tone(a.prepared, b.prepared, lie).is_one_moment()


def _edit(a: Prepared, b: Prepared, lie: Lie, place: Place, weight: Weight | None) -> Relation:
    """Tell what was done to an upright copy that shows the whole."""
    if place is not Place.SAME:
        return Relation.EDITED
    tone = Tone(a, b, lie)
    if is_one_size(a, b, lie.turn) and is_cut(a, b, weight.shift if weight else 0.0, tone.light):
        return Relation.VERSION
    return Relation.IDENTICAL if tone.is_same() else Relation.EDITED


Fractions = tuple[float, float, float, float]


def full_transform(part_box: Fractions, whole_box: Fractions, transform: Affine) -> Affine:
    """Turn a transform between content boxes into one between whole pictures."""
    return compose(box_transform(*whole_box), compose(transform, inverse(box_transform(*part_box))))
