"""Needles as artists write them: 700 forms in seven languages, each with what it means or that it has to be asked.

The forms and their meanings stand in words/needle_forms.txt; the source is named over each group.
"""

from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pytest

from archgen.records.vocabulary.needle_forms.reading import NeedleReading
from archgen.records.vocabulary.needle_forms.words import Grouping, Taper
from archgen.records.vocabulary.needles import read_needles

FORMS = Path(__file__).parent / "words" / "needle_forms.txt"
GROUPINGS = {
    "RL": Grouping.ROUND_LINER, "RS": Grouping.ROUND_SHADER, "HL": Grouping.HOLLOW_LINER, "MAG": Grouping.MAGNUM,
    "M2": Grouping.STACKED_MAGNUM, "CM": Grouping.CURVED_MAGNUM, "F": Grouping.FLAT,
}  # fmt: skip
TAPERS = {
    "ST": Taper.SHORT, "MT": Taper.MEDIUM, "LT": Taper.LONG, "XLT": Taper.EXTRA_LONG, "SLT": Taper.SUPER_LONG,
}  # fmt: skip


@dataclass(frozen=True)
class Case:
    """A form, what its needles claim, and whether it has to be asked."""

    form: str
    claims: tuple[frozenset[object], ...]
    is_asked: bool


def _claims_of(words: str) -> frozenset[object]:
    claims: set[object] = set()
    for word in words.split():
        if word in GROUPINGS or word in TAPERS:
            claims.add(GROUPINGS.get(word) or TAPERS[word])
        elif word == "-":
            claims.add("assumed")
        elif word.endswith("bp"):
            claims |= {"bugpin", *([float(word[:-2])] if word != "bp" else [])}
        elif word != ".":
            claims.add(float(word) if "." in word else int(word))
    return frozenset(claims)


def read_cases():
    cases = []
    for line in FORMS.read_text(encoding="utf-8").splitlines():
        form, arrow, meaning = line.partition(" => ")
        if arrow and not line.startswith("#  "):
            is_asked = meaning.startswith("?")
            needles = meaning.removeprefix("?").split(" + ")
            cases.append(Case(form, tuple(_claims_of(needle) for needle in needles), is_asked))
    return cases


def claims(reading: NeedleReading) -> frozenset[object]:
    """List what a reading says firmly."""
    said = {reading.count, reading.grouping, reading.taper, "bugpin" if reading.bugpin else None}
    said |= {"assumed"} if reading.diameter_is_assumed else {reading.diameter_mm}
    return frozenset(said - {None})


def verdict(case: Case) -> str:
    """Judge a form: right, asked though it could be read, or silently wrong."""
    readings = read_needles(case.form)
    said = tuple(claims(reading) for reading in readings)
    is_asked = any(warning.is_unread for reading in readings for warning in reading.warnings)
    if not is_asked:
        return "right" if said == case.claims and not case.is_asked else "wrong"
    allowed = case.claims
    if len(said) != len(allowed):
        allowed = (frozenset().union(*allowed),) * len(said)
    if any(one - most for one, most in zip(said, allowed, strict=True)):
        return "wrong"
    return "right" if case.is_asked else "asked"


CASES = read_cases()


def test_the_table_is_long_and_says_each_form_once():
    assert len(CASES) >= 500
    assert [form for form, number in Counter(case.form for case in CASES).items() if number > 1] == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.form)
def test_a_form_means_what_the_trade_means_by_it(case):
    assert verdict(case) == "right", [(claims(reading), reading.warnings) for reading in read_needles(case.form)]
