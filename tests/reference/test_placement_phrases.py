"""Places as artists write them: 1200 phrases in seven languages, each with the place or that it has to be asked.

The phrases and their meanings stand in words/placement_phrases.txt; the source is named over each group.
"""

from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pytest

from archgen.records.vocabulary.placements import PLACES, find_placement

PHRASES = Path(__file__).parent / "words" / "placement_phrases.txt"


@dataclass(frozen=True)
class Case:
    """A phrase with its place and side, or, when it has to be asked, the places offered: all of them, or some."""

    phrase: str
    place: str | None
    side: str | None
    detail: str
    offered: frozenset[str]
    is_every: bool = False


def read_cases():
    cases = []
    for line in PHRASES.read_text(encoding="utf-8").splitlines():
        phrase, arrow, meaning = line.partition(" => ")
        if not arrow or line.startswith("#  "):
            continue
        plain, _, detail = meaning.partition(" ~")
        if plain.startswith("?"):
            cases.append(Case(phrase, None, None, "", frozenset(plain.lstrip("?=").split()), plain.startswith("?=")))
        else:
            place, _, side = plain.partition(" ")
            cases.append(Case(phrase, place, side or None, detail, frozenset()))
    return cases


def verdict(case: Case) -> str:
    """Judge a phrase: right, asked though it could be read, or wrong (a wrong place, side or offer)."""
    found = find_placement(case.phrase)
    offered = {place.id for place in found.choices} | ({found.nearest} - {None})
    if found.place is None:
        if case.place is not None:
            return "asked" if not offered or case.place in offered else "wrong"
        if case.is_every:
            return "right" if offered == case.offered else "wrong"
        return "right" if offered <= case.offered and bool(offered) == bool(case.offered) else "wrong"
    side = found.side.value if found.side else None
    is_right = (found.place.id, side, found.detail) == (case.place, case.side, case.detail)
    return "right" if is_right else "wrong"


CASES = read_cases()


def test_the_table_is_long_and_says_each_phrase_once():
    assert len(CASES) >= 500
    assert [phrase for phrase, number in Counter(case.phrase for case in CASES).items() if number > 1] == []
    named = {place for case in CASES for place in ({case.place} - {None}) | case.offered}
    assert named <= set(PLACES)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.phrase)
def test_a_phrase_means_what_people_mean_by_it(case):
    assert verdict(case) == "right", find_placement(case.phrase)
