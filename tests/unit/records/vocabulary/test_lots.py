"""When two lot numbers are one, and when they are only near."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archgen.records.vocabulary.lots import LotIndex, difference, is_same_lot, lot_keys

NUMBERS = st.text(alphabet="AaBOI019-. ", max_size=10)


@pytest.mark.parametrize(
    "written",
    ["GW2-2231", "gw2-2231", "GW2 2231", "gw2_2231", "GW22231", "GW02-2231", "GW2-02231", "Lot GW2-2231",
     "LOT NO. gw2/2231", " GW2–2231 ", "ＧＷ２−２２３１"],
)  # fmt: skip
def test_capitals_signs_zeros_and_the_word_lot_do_not_count(written):
    assert is_same_lot(written, "GW2-2231")


@pytest.mark.parametrize("other", ["GW2-2232", "GW2-2230", "GW3-2231", "BK-1042", "GW2-22310", "X"])
def test_another_number_is_another_lot(other):
    assert not is_same_lot(other, "GW2-2231")


def test_zeros_inside_a_number_count():
    assert not is_same_lot("GW20231", "GW2231")


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("GW2-2213", "two signs changed round"),
        ("GW2-223I", "signs that look alike, such as O and 0"),
        ("6W2-2231", "signs that look alike, such as O and 0"),
        ("GW2-22310", "one is a part of the other"),
        ("2231", "one is a part of the other"),
        ("GW2-231", "one sign more or less"),
        ("GV2-2231", "one letter differs"),
    ],
)
def test_a_slip_of_the_pen_is_near_and_named(written, words):
    assert difference(written, "GW2-2231") == words
    assert difference("GW2-2231", written) == words


@pytest.mark.parametrize("other", ["GW2-2232", "BK-1042", "GW2", "gw2 2231"])
def test_the_next_lot_a_strange_one_a_short_one_and_the_same_are_not_near(other):
    assert difference(other, "GW2-2231") is None


@pytest.mark.parametrize("number", ["", "-", "???", "0", "000", "Lot", "🖋"])
def test_strange_numbers_are_themselves(number):
    assert is_same_lot(number, number)
    assert not is_same_lot(number, "GW2-2231")


@given(st.lists(NUMBERS, max_size=12), NUMBERS)
def test_the_index_finds_what_comparing_all_with_all_finds(numbers, asked):
    index = LotIndex(numbers)
    assert index.same(asked) == tuple(sorted({n for n in numbers if is_same_lot(n, asked)}))
    assert index.near(asked) == tuple((n, words) for n in sorted(set(numbers)) if (words := difference(asked, n)))


@given(NUMBERS)
def test_a_plain_form_is_its_own_plain_form(number):
    compact = lot_keys(number)[0]
    assert lot_keys(compact)[0] == compact
