"""Name how two aligned pictures belong together.

Looks at where the edges of one lie in the other, at what lies outside, at light, colour and sharpness, and at the
weight of the lines. Knows prepared pictures and the transform between them.
"""

from __future__ import annotations

from archgen.twins.description.prepared import Prepared
from archgen.twins.description.signature import PictureKind
from archgen.twins.description.turns import FIRST_MIRRORED, Affine, box_transform, compose, inverse
from archgen.twins.model import ComparedPicture, Pair, Relation
from archgen.twins.naming.alignment import Alignment, edges_apart, is_one_size
from archgen.twins.naming.edges import EdgePlace, place_of
from archgen.twins.naming.placing import settle
from archgen.twins.naming.tone import ToneDifference
from archgen.twins.naming.weight import Weight, is_cut, weigh
from archgen.values.frozen import Value

__all__ = ("Match", "edges_apart", "full_transform", "is_other_day", "name_pair", "same_pair")

# Pictures taken within this many seconds of each other are of one moment.
BURST_SECONDS = 20.0
# Exposures further apart are another sitting, or the healed piece; from this score on they are one picture even so.
OTHER_DAY_SECONDS, SURE_SCORE = 3600.0, 0.95


class Match(Value, frozen=True):
    """How two pictures were found to agree.

    `transform` sends points of the second to points of the first, in fractions of each; `is_bent` says that they agree
    only when seen in perspective.
    """

    transform: Affine
    kind: PictureKind
    score: float
    is_bent: bool = False


def name_pair(a: ComparedPicture, b: ComparedPicture, match: Match) -> Pair:
    """Make the pair of two items."""
    # A dense drawing is looked at both ways; as a drawing it tells more.
    kind = PictureKind.LINE if all(_is_drawing(one.prepared) for one in (a, b)) else match.kind
    alignment = settle(a.prepared, b.prepared, match.transform)
    place, frame = place_of(a.prepared, b.prepared, alignment, kind)
    if match.is_bent and (place is EdgePlace.MOVED or not alignment.is_plain):
        place = EdgePlace.TILTED
    weight = None
    if kind is PictureKind.LINE and place is not EdgePlace.FRAMED:
        weight = weigh(a.prepared, b.prepared, alignment, is_sure=alignment.is_plain and place in _CERTAIN)
    relation = _relation(a, b, alignment, place, weight)
    xx, xy, x0, yx, yy, y0 = (round(float(value), 5) for value in alignment.transform.ravel())
    return Pair(
        a=a.key,
        b=b.key,
        relation=relation,
        mirrored=alignment.turn >= FIRST_MIRRORED,
        turned=alignment.turn % FIRST_MIRRORED * 90,
        transform=(xx, xy, x0, yx, yy, y0),
        score=round(match.score, 3),
        part={EdgePlace.A_IN_B: a.key, EdgePlace.B_IN_A: b.key}.get(place),
        box={EdgePlace.A_IN_B: frame.a_in_b, EdgePlace.B_IN_A: frame.b_in_a}.get(place),
        weight=round(weight.ratio, 3) if weight else None,
    )


# The lines of a picture that moved are blurred; and a border changes what is paper and what is black.
_CERTAIN = {EdgePlace.SAME, EdgePlace.A_IN_B, EdgePlace.B_IN_A}


def same_pair(a: ComparedPicture, b: ComparedPicture) -> Pair:
    """Make the pair of two items of which the same was kept."""
    return Pair(a.key, b.key, Relation.IDENTICAL, False, 0, (1.0, 0.0, 0.0, 0.0, 1.0, 0.0), 1.0)


def _is_drawing(prepared: Prepared) -> bool:
    return any(view.kind is PictureKind.LINE for view in prepared.views)


def is_other_day(a: ComparedPicture, b: ComparedPicture, score: float) -> bool:
    """Tell two photographs of one subject on different days, alike but not certainly the same picture.

    An edited copy keeps the moment of exposure of its original, or has none.
    """
    if a.taken is None or b.taken is None:
        return False
    return abs(a.taken - b.taken) > OTHER_DAY_SECONDS and score < SURE_SCORE


def _relation(
    a: ComparedPicture, b: ComparedPicture, alignment: Alignment, place: EdgePlace, weight: Weight | None
) -> Relation:
    if weight and weight.is_other:
        return Relation.VERSION
    if place in {EdgePlace.A_IN_B, EdgePlace.B_IN_A}:
        return Relation.CROPPED
    if alignment.turn:
        return Relation.MIRRORED if alignment.turn >= FIRST_MIRRORED else Relation.TURNED
    return (
        Relation.BURST if _is_burst(a, b, alignment, place) else _edit(a.prepared, b.prepared, alignment, place, weight)
    )


def _is_burst(a: ComparedPicture, b: ComparedPicture, alignment: Alignment, place: EdgePlace) -> bool:
    if a.taken is not None and b.taken is not None:
        return a.taken != b.taken and abs(a.taken - b.taken) <= BURST_SECONDS
    return place is EdgePlace.MOVED and ToneDifference(a.prepared, b.prepared, alignment).is_one_moment()


def _edit(a: Prepared, b: Prepared, alignment: Alignment, place: EdgePlace, weight: Weight | None) -> Relation:
    """Tell what was done to an upright copy that shows the whole."""
    if place is not EdgePlace.SAME:
        return Relation.EDITED
    tone = ToneDifference(a, b, alignment)
    if is_one_size(a, b, alignment.turn) and is_cut(a, b, weight.shift if weight else 0.0, tone.light):
        return Relation.VERSION
    return Relation.IDENTICAL if tone.is_same() else Relation.EDITED


Fractions = tuple[float, float, float, float]


def full_transform(part_box: Fractions, whole_box: Fractions, transform: Affine) -> Affine:
    """Turn a transform between content boxes into one between whole pictures."""
    return compose(box_transform(*whole_box), compose(transform, inverse(box_transform(*part_box))))
