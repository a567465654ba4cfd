"""Say in an artist's words how two pictures belong together."""

from collections.abc import Iterable

from archgen.twins.model import Box, Pair, Relation

# Line weights within this of each other are told without a figure.
_SAME_WEIGHT = 0.05


def group_words(pairs: Iterable[Pair]) -> str:
    """Say what a group of pictures is, in a few words."""
    relations = {pair.relation for pair in pairs}
    if relations == {Relation.BURST}:
        return "Photos of one moment"
    if relations == {Relation.IDENTICAL}:
        return "The same picture twice or more"
    if Relation.VERSION in relations:
        return "One drawing, with lines of different weight"
    words = {
        Relation.CROPPED: "a part of it",
        Relation.MIRRORED: "mirrored",
        Relation.TURNED: "turned",
        Relation.EDITED: "edited",
        Relation.BURST: "another frame",
        Relation.IDENTICAL: "copied",
    }
    return f"One picture, {' and '.join(word for relation, word in words.items() if relation in relations)}"


def pair_words(pair: Pair, second: str) -> str:
    """Say what the second picture is to the other one of a pair."""
    turn = _turn_words(pair)
    if pair.relation is Relation.VERSION:
        return ", ".join(part for part in (_weight_words(pair, second), turn) if part)
    if pair.relation is Relation.CROPPED:
        return ", ".join(part for part in (_part_words(pair, second), turn) if part)
    if pair.relation is Relation.IDENTICAL:
        return "the same picture"
    if pair.relation is Relation.EDITED:
        return "an edited copy: other light, colours, sharpness or edges"
    if pair.relation is Relation.BURST:
        return "another frame of the same moment"
    return turn


def _turn_words(pair: Pair) -> str:
    parts = ["mirrored"] if pair.mirrored else []
    parts += [f"turned by {pair.turned}°"] if pair.turned else []
    return " and ".join(parts)


def _weight_words(pair: Pair, second: str) -> str:
    if pair.weight is None or abs(pair.weight - 1) < _SAME_WEIGHT:
        return "the same drawing with other lines"
    weight = pair.weight if second == pair.b else 1 / pair.weight
    if weight > 1:
        return f"the same drawing with lines {weight:.1f} times as heavy"
    return f"the same drawing with finer lines, {weight:.0%} of the weight"


def _part_words(pair: Pair, second: str) -> str:
    share = f", {_area(pair.box):.0%} of it" if pair.box else ""
    return f"a part of the first{share}" if pair.part == second else f"shows more; the first is a part of it{share}"


def _area(box: Box) -> float:
    return (box.right - box.left) * (box.bottom - box.top)
