"""Compare batch numbers as people write them down; knows numbers, not inks, needles or pieces.

A recall notice, a label and a hurried note spell one number in three ways. Capitals, spaces, hyphens and other
characters between, leading zeros and a word such as "Lot" in front do not count. What differs in more than that is
another number; what looks like a slip of the pen is only *near*, and is for a person to decide. All of this is common
practice, no source.

Hyphens may stand elsewhere, but not in a number that reads as a date: 2024-11-1 and 2024-1-11 are two days. Which
forms are dates follows ISO 8601 (calendar, week and ordinal dates) and, from common practice, the other orders of day,
month and year and month with year.
"""

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from enum import Enum
from functools import cached_property, lru_cache

from archgen.values.frozen import Value

# A part of a number shorter than this is in nearly every other number.
SHORTEST_PART = 4
# Two shorter numbers that differ in one character are near to everything.
SHORTEST_SLIP = 3


class Difference(Enum):
    """How two numbers that are not the same are near."""

    LOOK_ALIKE = "look-alike"
    SWAPPED = "swapped"
    ONE_DIGIT = "one-digit"
    ONE_LETTER = "one-letter"
    ONE_MORE = "one-more"
    PART = "part"
    MOVED_HYPHENS = "moved-hyphens"
    OTHER_ORDER = "other-order"


# What the numbers of neighbouring batches differ in anyway.
NEIGHBOURS = frozenset({Difference.ONE_DIGIT, Difference.ONE_LETTER, Difference.SWAPPED})

_WORD = r"(?:lots?|lote|lotto|batch(?:es)?|charge|chargen|partie)"
_NO = r"(?:no|nr|n°|num|numbers?|nummer|code)(?![^\W\d_])"
_SHORT = rf"(?:{_NO}|ch\.?\s*-?\s*b(?![^\W\d_])|ch(?:\.?\s*-?\s*nr)?(?![^\W\d_])|[bl]/n)"
_LABEL = re.compile(
    # 10 is the batch among the data fields of a GS1 barcode (GS1 General Specifications).
    r"\(10\)\s*"
    rf"|[\W_]*(?:(?:{_NO}[\s.:]*(?:de\s+|of\s+)?)?{_WORD}(?:[\s.:-]*{_NO})?(?:\s*[.:#=/)\]]+\s*|\s+)"
    rf"|{_SHORT}\s*[.:#=°]+[\s.:#=°-]*|n°\s*|#\s*)",
    re.IGNORECASE,
)
# A label, or the beginning of the number: LOT2231, LOT-2231, No 2231.
_PERHAPS_LABEL = re.compile(rf"{_WORD}(?:[\s.:-]*{_NO})?\s*-?\s*(?=\d)|{_SHORT}\s+(?=\w)")
_COMPONENT = re.compile(r"[^\W_]+")
_RUN = re.compile(r"\d+|[^\W\d_]+")
# Pairs that printed and written labels make hard to tell apart.
_LOOK_ALIKE = str.maketrans("oilsbzg", "0115826")


def without_label(number: str) -> str:
    """Take words such as "Lot", "Ch.-B.:" or "№" from in front of a number."""
    # These two would become letters.
    number = number.replace("№", "no.").replace("º", "°")
    number = unicodedata.normalize("NFKC", number).strip()
    while match := _LABEL.match(number):
        number = number[match.end() :]
    return number


class _Keys(Value, frozen=True):
    """The plain forms of a number.

    Attributes:
        own: One keeps where a part ends and drops the zeros in front of every part ("GW2-0231" is "GW2-231"). One
            forgets where parts end ("GW2-2231" is "GW22231"); a number with a date has none of these.
        dense: How the number looks when its date is written without hyphens; it can be several dates then, so two dense
            forms that are alike say nothing.
    """

    own: frozenset[str]
    dense: frozenset[str]


@lru_cache(maxsize=1 << 16)
def _keys(number: str) -> _Keys:
    own, dense = set(), set()
    for variant in _variants(number):
        components = _COMPONENT.findall(variant)
        own.add(_parted(components) if components else variant)
        if date := _date_at(components):
            before, parts, behind = date
            dense |= {_parted([*before, "".join(part.zfill(n) for part in parts), *behind]) for n in (1, 2)}
        elif components:
            own.add(f"={_compact(variant)}")
    return _Keys(frozenset(own), frozenset(dense))


def number_keys(number: str) -> frozenset[str]:
    """Give plain texts that two spellings of one number share; one that forgets where parts end begins with "="."""
    keys = _keys(number)
    return keys.own | keys.dense


def _variants(number: str) -> Iterator[str]:
    """Give the plain number without its label; twice when nobody can say whether the beginning is one."""
    plain = without_label(number).casefold()
    yield plain
    if (match := _PERHAPS_LABEL.match(plain)) and _COMPONENT.search(plain[match.end() :]):
        yield plain[match.end() :]


def _parted(components: Iterable[str]) -> str:
    return "-".join(_each_without_zeros(run for component in components for run in _RUN.findall(component)))


def _compact(plain: str) -> str:
    return "".join(_each_without_zeros(_RUN.findall("".join(_COMPONENT.findall(plain)))))


def _each_without_zeros(runs: Iterable[str]) -> Iterator[str]:
    return (run.lstrip("0") or "0" if run.isdigit() else run for run in runs)


def _date_at(components: Sequence[str]) -> tuple[list[str], list[str], list[str]] | None:
    """Split a number into what stands before a date, the date's parts and what stands behind; None without a date.

    Letters may stand right before and right behind it: L2024-11-1A. Two parts are no date when a third stands beside.
    """
    for length in (3, 2):
        for start in range(len(components) - length + 1):
            end = start + length
            around = [*components[max(start - 1, 0) : start], *components[end : end + 1]]
            first, last = _DATE_BEGINS.search(components[start]), _DATE_ENDS.match(components[end - 1])
            if first is None or last is None or (length == 2 and any(part.isdigit() for part in around)):
                continue
            parts = [first[0], *components[start + 1 : end - 1], last[0]]
            if _DATE.fullmatch("-".join(parts)):
                before = [*components[:start], components[start][: first.start()]]
                return before, parts, [components[end - 1][last.end() :], *components[end:]]
    return None


# One digit behind letters is not the first part of a date: GW2-22-31.
_DATE_BEGINS = re.compile(r"^\d+$|\d{2,}$")
_DATE_ENDS = re.compile(r"w?\d+")
_MONTH = r"0?[1-9]|1[0-2]"
_DAY = r"0?[1-9]|[12]\d|3[01]"
_YEAR = r"(?:19|20)\d\d"
_SHORT_YEAR = rf"{_YEAR}|\d\d"
_DATE = re.compile(
    "|".join(
        "-".join(f"(?:{part})" for part in parts)
        for parts in (
            (_SHORT_YEAR, _MONTH, _DAY),
            (_DAY, _MONTH, _SHORT_YEAR),
            (_MONTH, _DAY, _SHORT_YEAR),
            (_SHORT_YEAR, _MONTH),
            (_MONTH, _SHORT_YEAR),
            (_YEAR, r"\d{1,3}"),
            (_SHORT_YEAR, r"w\d\d?", r"[1-7]"),
            (_SHORT_YEAR, r"w\d\d?"),
        )
    )
)


def is_same_batch(one: str, other: str) -> bool:
    """Say whether two numbers are one, written differently."""
    a, b = _keys(one), _keys(other)
    return not (a.own.isdisjoint(b.own | b.dense) and a.dense.isdisjoint(b.own))


def difference(one: str, other: str) -> Difference | None:
    """Say how two numbers that are not the same are near; None when they are not near."""
    if is_same_batch(one, other):
        return None
    pairs = ((a, b) for a in _compacts(one) for b in _compacts(other) if min(len(a), len(b)) >= SHORTEST_SLIP)
    if near := next((near for a, b in pairs if (near := _difference(a, b))), None):
        return near
    if _is_part(one, other) or _is_part(other, one):
        return Difference.PART
    return Difference.OTHER_ORDER if _date_parts(one) and _date_parts(one) == _date_parts(other) else None


@lru_cache(maxsize=1 << 16)
def _compacts(number: str) -> tuple[str, ...]:
    return tuple(_compact(variant) for variant in _variants(number))


def _difference(a: str, b: str) -> Difference | None:
    short, long = sorted((a, b), key=len)
    if a == b:
        return Difference.MOVED_HYPHENS
    if _folded(a) == _folded(b):
        return Difference.LOOK_ALIKE
    if len(a) == len(b):
        return _difference_of_equal_length(a, b)
    if len(short) >= SHORTEST_PART and short in _shortened(long):
        return Difference.ONE_MORE
    return Difference.PART if short in _ends(long) else None


def _difference_of_equal_length(a: str, b: str) -> Difference | None:
    at = [i for i, (x, y) in enumerate(zip(a, b, strict=True)) if x != y]
    if len(at) == 2 and at[1] == at[0] + 1 and a[at[0]] == b[at[1]] and a[at[1]] == b[at[0]]:
        return Difference.SWAPPED
    if len(at) > 1:
        return None
    return Difference.ONE_DIGIT if a[at[0]].isdigit() and b[at[0]].isdigit() else Difference.ONE_LETTER


def _is_part(short: str, long: str) -> bool:
    """Say whether a number too short to be looked for anywhere stands alone in another: 77 in 77/78."""
    parts = [_compact(part) for part in without_label(long).casefold().split("/")]
    return any(len(compact) > 1 and compact in parts for compact in _compacts(short))


def _date_parts(number: str) -> tuple[str, ...]:
    """Give the parts of a number that holds a date, sorted; nothing for other numbers."""
    components = _components(number)
    return tuple(sorted(_parted(components).split("-"))) if _date_at(components) else ()


def _components(number: str) -> list[str]:
    return _COMPONENT.findall(without_label(number).casefold())


def _folded(compact: str) -> str:
    return _compact(compact.translate(_LOOK_ALIKE))


def _shortened(text: str) -> set[str]:
    return {text[:i] + text[i + 1 :] for i in range(len(text))}


def _ends(text: str) -> set[str]:
    """Give what a text starts and ends with, long enough to mean something, but not the text itself."""
    lengths = range(SHORTEST_PART, len(text))
    return {text[:n] for n in lengths} | {text[-n:] for n in lengths}


class BatchIndex:
    """Numbers sorted so that those near to one are found without comparing all with all."""

    def __init__(self, numbers: Iterable[str]) -> None:
        self._numbers = tuple(sorted(set(numbers)))

    @cached_property
    def _own(self) -> dict[str, set[str]]:
        return _sorted_by(lambda number: _keys(number).own, self._numbers)

    @cached_property
    def _dense(self) -> dict[str, set[str]]:
        return _sorted_by(lambda number: _keys(number).dense, self._numbers)

    @cached_property
    def _near(self) -> dict[str, set[str]]:
        return _sorted_by(lambda number: (*_near_keys(number), *(f"<{part}" for part in _parts(number))), self._numbers)

    def same(self, number: str) -> tuple[str, ...]:
        """Give the numbers that are this one, however written, in order."""
        keys = _keys(number)
        found = [self._own.get(key, ()) for key in keys.own | keys.dense]
        found += [self._dense.get(key, ()) for key in keys.own]
        return tuple(sorted(set().union(*found)))

    def near(self, number: str) -> tuple[tuple[str, Difference], ...]:
        """Give the numbers that are near to this one, each with the difference, in order."""
        keys = (*_near_keys(number), *_parts(number), *(f"<{compact}" for compact in _compacts(number)))
        found = set().union(*(self._near.get(key, ()) for key in keys))
        said = ((other, difference(number, other)) for other in sorted(found))
        return tuple((other, near) for other, near in said if near)

    def beginning_with(self, start: str) -> tuple[str, ...]:
        """Give the numbers that begin with these characters, in order."""
        starts = tuple(compact for compact in _compacts(start) if compact)
        return tuple(n for n in self._numbers if any(compact.startswith(starts) for compact in _compacts(n)))


def _sorted_by(keys: Callable[[str], Iterable[str]], numbers: Iterable[str]) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for number in numbers:
        for key in keys(number):
            found.setdefault(key, set()).add(number)
    return found


def _near_keys(number: str) -> Iterator[str]:
    """Give texts of which two near numbers share one, unless one is a part of the other."""
    for compact in _compacts(number):
        yield compact
        yield from _shortened(compact)
        yield f"={_folded(compact)}"
    if parts := _date_parts(number):
        yield f"+{parts}"


def _parts(number: str) -> Iterator[str]:
    """Give the parts in which a number is looked for: beginnings, ends and what stands between strokes."""
    for compact in _compacts(number):
        yield from _ends(compact)
    yield from map(_compact, without_label(number).casefold().split("/"))
