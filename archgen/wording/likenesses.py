"""Say in an artist's words how pictures belong together."""

from collections.abc import Iterable, Sequence

from archgen.twins.model import Pair, PictureBox, Relation

# Line weights within this of each other are told without a figure.
_SAME_WEIGHT = 0.05


def group_words(pairs: Iterable[Pair]) -> str:
    """Say what a group of pictures is, in a few words: what sets them apart the most comes first."""
    pairs = tuple(pairs)
    relations = {pair.relation for pair in pairs}
    turned = ["mirrored"] if any(pair.mirrored for pair in pairs) else []
    turned += ["turned"] if any(pair.turned for pair in pairs) else []
    changed = turned + (["edited"] if Relation.EDITED in relations else [])
    part = " and a part of it" if Relation.CROPPED in relations else ""
    if Relation.VERSION in relations:  # the other lines are the edit
        lines = "with lines of different weight" if any(map(_is_heavier, pairs)) else "drawn with other lines"
        return ", ".join([f"One drawing{part}", lines, *turned])
    if Relation.BURST in relations:
        return ", some ".join(["Photos of one moment", *(["cropped"] if part else []), *changed])
    if changed:
        return f"One picture{part}, {' and '.join(changed)}"
    return f"One picture{part}" if part else "The same picture twice or more"


def member_words(paths: Sequence[str], pairs: Iterable[Pair], names: Sequence[str]) -> tuple[str, ...]:
    """Say of each picture of a group what it is to the first, which has no words itself.

    Two pictures of a group that were not paired with each other have a third in common: then it is named, as
    "compared with the third: ...". `names` are what the pictures are called in such a sentence.
    """
    by_keys = {frozenset((pair.a, pair.b)): pair for pair in pairs}
    near = [path for path in paths if frozenset((paths[0], path)) in by_keys]

    def words(path: str) -> str:
        if pair := by_keys.get(frozenset((paths[0], path))):
            return pair_words(pair, path, names[0])
        for other in (*near, *paths):
            if pair := by_keys.get(frozenset((other, path))):
                return f"compared with {names[paths.index(other)]}: {pair_words(pair, path)}"
        return ""

    return ("", *map(words, paths[1:]))


def pair_words(pair: Pair, second: str, first: str = "that picture") -> str:
    """Say what the second picture is to the other one of a pair, which is called `first` here."""
    same = {
        Relation.IDENTICAL: "the same picture",
        Relation.EDITED: "an edited copy: other light, colours, sharpness or edges",
        Relation.BURST: "another frame of the same moment",
    }
    if pair.relation is Relation.VERSION:
        what = _weight_words(pair, second)
    elif pair.relation is Relation.CROPPED:
        what = _part_words(pair, second, first)
    else:
        what = same.get(pair.relation, "")
    return ", ".join(part for part in (what, _turn_words(pair)) if part)


def _turn_words(pair: Pair) -> str:
    parts = ["mirrored"] if pair.mirrored else []
    parts += [f"turned by {pair.turned}°"] if pair.turned else []
    return " and ".join(parts)


def _is_heavier(pair: Pair) -> bool:
    return pair.weight is not None and abs(pair.weight - 1) >= _SAME_WEIGHT


def _weight_words(pair: Pair, second: str) -> str:
    if pair.weight is None or not _is_heavier(pair):
        return "the same drawing with other lines"
    weight = pair.weight if second == pair.b else 1 / pair.weight
    if weight > 1:
        return f"the same drawing with lines {weight:.1f} times as heavy"
    return f"the same drawing with finer lines, {weight:.0%} of the weight"


def _part_words(pair: Pair, second: str, first: str) -> str:
    share = f", {_area(pair.box):.0%} of its area" if pair.box else ""
    return f"a part of {first}{share}" if pair.part == second else f"shows more; {first} is a part of it{share}"


def _area(box: PictureBox) -> float:
    return (box.right - box.left) * (box.bottom - box.top)
