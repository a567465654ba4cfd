"""People are counted, not spellings of their codes."""

import pytest

from archgen.records.people import People


@pytest.mark.parametrize("written", ["C-0007", "c0007", "C 0007", "c-7", "C/07", "C7"])
def test_a_code_is_one_person_however_it_is_written(written):
    assert People(["C-0007", "C-0012"], [written]).code_of(written) == "C-0007"


@pytest.mark.parametrize("other", ["C-0070", "D-0007", "C-7-1", "C-0017", "7"])
def test_another_code_is_another_person(other):
    assert People(["C-0007"], [other]).code_of(other) == other


def test_the_register_tells_two_people_apart_whose_codes_are_alike():
    people = People(["C-7", "C-0007"], ["c07"])
    assert [people.code_of(code) for code in ("C-7", "C-0007", "c07")] == ["C-7", "C-0007", "c07"]


def test_without_a_register_the_first_spelling_stands_for_all():
    people = People([], ["c0007", "C-0007"])
    assert people.code_of("c0007") == people.code_of("C-0007") == people.code_of("c7") == "C-0007"


def test_codes_without_letters_and_digits_stay_apart():
    people = People([], ["?", "!"])
    assert (people.code_of("?"), people.code_of("!")) == ("?", "!")
