"""Say in an artist's words how pictures belong together."""

from collections.abc import Iterable, Sequence

from archgen.languages.house import say, say_all
from archgen.twins.model import Pair, PictureBox, Relation

# Line weights within this of each other are told without a figure.
_SAME_WEIGHT = 0.05


def group_words(pairs: Iterable[Pair]) -> str:
    """Say what a group of pictures is, in a few words: what sets them apart the most comes first."""
    pairs = tuple(pairs)
    relations = {pair.relation for pair in pairs}
    turned = [say("mirrored")] if any(pair.mirrored for pair in pairs) else []
    turned += [say("turned")] if any(pair.turned for pair in pairs) else []
    changed = turned + ([say("edited")] if Relation.EDITED in relations else [])
    is_part = Relation.CROPPED in relations
    if Relation.VERSION in relations:  # the other lines are the edit
        lines = say("with lines of different weight") if any(map(_is_heavier, pairs)) else say("drawn with other lines")
        return ", ".join([say("One drawing and a part of it") if is_part else say("One drawing"), lines, *turned])
    if Relation.BURST in relations:
        some = [say("cropped"), *changed] if is_part else changed
        return ", ".join([say("Photos of one moment"), *(say("some {how}", how=how) for how in some)])
    if changed:
        how = say_all(changed)
        return say("One picture and a part of it, {how}", how=how) if is_part else say("One picture, {how}", how=how)
    return say("One picture and a part of it") if is_part else say("The same picture twice or more")


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
                return say("compared with {which}: {how}", which=names[paths.index(other)], how=pair_words(pair, path))
        return ""

    return ("", *map(words, paths[1:]))


def pair_words(pair: Pair, second: str, first: str | None = None) -> str:
    """Say what the second picture is to the other one, which is called `first` here; "that picture" by itself."""
    same = {
        Relation.IDENTICAL: say("the same picture"),
        Relation.EDITED: say("an edited copy: other light, colours, sharpness or edges"),
        Relation.BURST: say("another frame of the same moment"),
    }
    if pair.relation is Relation.VERSION:
        what = _weight_words(pair, second)
    elif pair.relation is Relation.CROPPED:
        what = _part_words(pair, second, first or say("that picture"))
    else:
        what = same.get(pair.relation, "")
    return ", ".join(part for part in (what, _turn_words(pair)) if part)


def _turn_words(pair: Pair) -> str:
    parts = [say("mirrored")] if pair.mirrored else []
    parts += [say("turned by {turned}°", turned=pair.turned)] if pair.turned else []
    return say_all(parts)


def _is_heavier(pair: Pair) -> bool:
    return pair.weight is not None and abs(pair.weight - 1) >= _SAME_WEIGHT


def _weight_words(pair: Pair, second: str) -> str:
    if pair.weight is None or not _is_heavier(pair):
        return say("the same drawing with other lines")
    weight = pair.weight if second == pair.b else 1 / pair.weight
    if weight > 1:
        return say("the same drawing with lines {weight:.1f} times as heavy", weight=weight)
    return say("the same drawing with finer lines, {weight:.0%} of the weight", weight=weight)


def _part_words(pair: Pair, second: str, first: str) -> str:
    if pair.box is None:
        if pair.part == second:
            return say("a part of {which}", which=first)
        return say("shows more; {which} is a part of it", which=first)
    share = _area(pair.box)
    if pair.part == second:
        return say("a part of {which}, {share:.0%} of its area", which=first, share=share)
    return say("shows more; {which} is a part of it, {share:.0%} of its area", which=first, share=share)


def _area(box: PictureBox) -> float:
    return (box.right - box.left) * (box.bottom - box.top)
