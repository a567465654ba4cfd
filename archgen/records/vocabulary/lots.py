"""Compare lot and batch numbers as people write them down; knows numbers, not inks, needles or pieces.

A recall notice, a label and a hurried note spell one number in three ways. Capitals, spaces, hyphens and other signs
between, leading zeros and a word such as "Lot" in front do not count. What differs in more than that is another
number; what looks like a slip of the pen is only *near*, and is for a person to decide. Two whole numbers that differ
in one digit are not near: lots are numbered one after the other. All of this is common practice, no source.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from functools import lru_cache

SHORTEST_NEAR = 4  # shorter numbers are near to everything

_LABEL = re.compile(r"(?:lot|batch|charge)(?:\s*(?:no|nr|number))?[\s.:#]+", re.IGNORECASE)
_RUN = re.compile(r"\d+|[^\W\d_]+")
# Pairs that printed and written labels make hard to tell apart.
_LOOK_ALIKE = str.maketrans("oilsbzg", "0115826")


@lru_cache(maxsize=1 << 16)
def lot_keys(number: str) -> tuple[str, str]:
    """Give the two plain forms of a number; numbers that share one are the same lot.

    The first forgets where signs stood between ("GW2-2231" is "GW22231"), the second drops the zeros in front of every
    part ("GW2-0231" is "GW2-231"). A number of signs alone is its own plain form.
    """
    plain = _plain(number)
    runs = _RUN.findall(plain)
    if not runs:
        return plain, plain
    return _without_zeros(_RUN.findall("".join(runs))), "-".join(_each_without_zeros(runs))


def is_same_lot(one: str, other: str) -> bool:
    """Say whether two numbers are one, written differently."""
    return not set(lot_keys(one)).isdisjoint(lot_keys(other))


def difference(one: str, other: str) -> str | None:
    """Say in plain words how two numbers that are not the same are near; None when they are not near."""
    a, b = lot_keys(one)[0], lot_keys(other)[0]
    if is_same_lot(one, other) or min(len(a), len(b)) < SHORTEST_NEAR:
        return None
    if _folded(one) == _folded(other):
        return "signs that look alike, such as O and 0"
    if len(a) == len(b):
        return _difference_of_equal_length(a, b)
    short, long = sorted((a, b), key=len)
    if long.startswith(short) or long.endswith(short):
        return "one is a part of the other"
    return "one sign more or less" if short in _shortened(long) else None


def _difference_of_equal_length(a: str, b: str) -> str | None:
    at = [i for i, (x, y) in enumerate(zip(a, b, strict=True)) if x != y]
    if len(at) == 2 and at[1] == at[0] + 1 and a[at[0]] == b[at[1]] and a[at[1]] == b[at[0]]:
        return "two signs changed round"
    if len(at) == 1 and not (a[at[0]].isdigit() and b[at[0]].isdigit()):
        return "one letter differs"
    return None


class LotIndex:
    """Numbers sorted so that those near to one are found without comparing all with all."""

    def __init__(self, numbers: Iterable[str]) -> None:
        self._same: dict[str, set[str]] = {}
        self._shortened: dict[str, set[str]] = {}
        self._folded: dict[str, set[str]] = {}
        self._ends: dict[str, set[str]] = {}
        for number in set(numbers):
            compact = lot_keys(number)[0]
            for key in lot_keys(number):
                self._same.setdefault(key, set()).add(number)
            for key in (compact, *_shortened(compact)):
                self._shortened.setdefault(key, set()).add(number)
            for key in _ends(compact):
                self._ends.setdefault(key, set()).add(number)
            self._folded.setdefault(_folded(number), set()).add(number)

    def same(self, number: str) -> tuple[str, ...]:
        """Give the numbers that are this one, however written, in order."""
        return tuple(sorted(set().union(*(self._same.get(key, ()) for key in lot_keys(number)))))

    def near(self, number: str) -> tuple[tuple[str, str], ...]:
        """Give the numbers that are near to this one, each with the difference, in order."""
        compact = lot_keys(number)[0]
        found = set(self._folded.get(_folded(number), ())) | self._ends.get(compact, set())
        for key in (compact, *_shortened(compact)):
            found |= self._shortened.get(key, set())
        for key in _ends(compact):
            found |= self._same.get(key, set())
        said = ((other, difference(number, other)) for other in sorted(found))
        return tuple((other, words) for other, words in said if words)


def _plain(number: str) -> str:
    plain = unicodedata.normalize("NFKC", number).casefold().strip()
    return _LABEL.sub("", plain, count=1) if _LABEL.match(plain) else plain


def _without_zeros(runs: Iterable[str]) -> str:
    return "".join(_each_without_zeros(runs))


def _each_without_zeros(runs: Iterable[str]) -> Iterator[str]:
    return (run.lstrip("0") or "0" if run.isdigit() else run for run in runs)


def _folded(number: str) -> str:
    runs = "".join(_RUN.findall(_plain(number))).translate(_LOOK_ALIKE)
    return _without_zeros(_RUN.findall(runs))


def _shortened(text: str) -> set[str]:
    return {text[:i] + text[i + 1 :] for i in range(len(text))}


def _ends(text: str) -> set[str]:
    """Give what a text starts and ends with, long enough to mean something, but not the text itself."""
    lengths = range(SHORTEST_NEAR, len(text))
    return {text[:n] for n in lengths} | {text[-n:] for n in lengths}
