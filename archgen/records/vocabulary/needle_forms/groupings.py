"""What group of needles words and letters mean together: "mag" and "soft edge" a curved magnum, in any order.

Common practice, no source.
"""

from collections.abc import Iterable

from archgen.records.vocabulary.needle_forms.words import MAGNUMS, Grouping

KINDS = ("liner", "shader", "mag", "flat")
# What a kind may be besides; anything else beside it is a contradiction and asked.
MAKES = {
    "liner": {"round", "tight", "hollow", "line"},
    "shader": {"round", "loose", "shade"},
    "mag": {"round", "curved", "woven", "stacked"},
    "flat": set[str](),
}
# Makes that name a group by themselves.
_ALONE = {
    frozenset(words.split()): grouping
    for words, grouping in (
        ("hollow", Grouping.HOLLOW_LINER),
        ("hollow round", Grouping.HOLLOW_LINER),
        ("hollow line", Grouping.HOLLOW_LINER),
        ("round line", Grouping.ROUND_LINER),
        ("tight", Grouping.ROUND_LINER),
        ("tight round", Grouping.ROUND_LINER),
        ("loose round", Grouping.ROUND_SHADER),
        ("round shade", Grouping.ROUND_SHADER),
        ("curved", Grouping.CURVED_MAGNUM),
        ("stacked", Grouping.STACKED_MAGNUM),
        ("woven", Grouping.MAGNUM),
    )
}
_USUAL_ROUND = (1, 3, 5, 7, 9, 11, 14, 18)
_USUAL_MAGNUM = range(5, 51, 2)
_USUAL_FLAT = range(4, 16)


def usual_counts(grouping: Grouping) -> tuple[int, ...] | range:
    """Give the counts such groups are sold with; others are odd, not wrong."""
    if grouping is Grouping.FLAT:
        return _USUAL_FLAT
    return _USUAL_MAGNUM if grouping in MAGNUMS else _USUAL_ROUND


def grouping_of(said: Iterable[str]) -> Grouping | None:
    """Give the grouping that words together mean ("mag", "curved"); None when they mean none, or contradict."""
    words = set(said)
    kinds = words & set(KINDS)
    if words == {"flat", "shader"}:
        return Grouping.FLAT
    if not kinds:
        return _ALONE.get(frozenset(words))
    kind = kinds.pop()
    if words - {kind} - MAKES[kind]:  # another kind too
        return None
    if kind == "mag":
        return _magnum(words)
    if kind == "liner":
        return Grouping.HOLLOW_LINER if "hollow" in words else Grouping.ROUND_LINER
    return Grouping.FLAT if kind == "flat" else Grouping.ROUND_SHADER


def _magnum(words: set[str]) -> Grouping | None:
    is_curved, is_stacked = bool(words & {"curved", "round"}), "stacked" in words
    if is_stacked and (is_curved or "woven" in words):
        return None
    return Grouping.CURVED_MAGNUM if is_curved else Grouping.STACKED_MAGNUM if is_stacked else Grouping.MAGNUM
