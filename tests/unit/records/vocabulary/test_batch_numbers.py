"""When two batch numbers are one, and when they are only near."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archgen.records.vocabulary.batch_numbers import BatchIndex, Difference, difference, is_same_batch, without_label

NUMBERS = st.text(alphabet="AaBOI019-. w/", max_size=10)


@pytest.mark.parametrize(
    "written",
    ["GW2-2231", "gw2-2231", "GW2 2231", "gw2_2231", "GW22231", "GW22-231", "GW02-2231", "GW2-02231", " GW2–2231 ",
     "ＧＷ２−２２３１"],
)  # fmt: skip
def test_capitals_characters_between_and_zeros_in_front_do_not_count(written):
    assert is_same_batch(written, "GW2-2231")


@pytest.mark.parametrize("other", ["GW2-2232", "GW2-2230", "GW3-2231", "BK-1042", "GW2-22310", "X"])
def test_another_number_is_another_batch(other):
    assert not is_same_batch(other, "GW2-2231")


def test_zeros_inside_a_number_count():
    assert not is_same_batch("GW20231", "GW2231")


LABELS = (
    "LOT {}", "Lot: {}", "lot#{}", "LOT NO. {}", "Lot-Nr. {}", "lot n° {}", "N° de lot: {}", "no. of lot {}",
    "Lots {}", "lote {}", "lotto {}", "Batch {}", "batch no {}", "Batch number: {}", "batch code {}", "Batches: {}",
    "BATCH/LOT: {}", "Charge {}", "Chargen-Nr.: {}", "Ch.-B. {}", "Ch.-B.: {}", "ChB.: {}", "Ch.B. {}", "Ch-B {}",
    "Ch.-Nr. {}", "Ch. {}", "Ch {}", "Partie {}", "No. {}", "No {}", "Nr. {}", "Nr {}", "nummer: {}", "num. {}",
    "number {}", "code: {}", "№ {}", "№{}", "N° {}", "n°{}", "Nº {}", "#{}", "# {}", "(10){}", "(Lot) {}", "[LOT] {}",
    "– Lot {}", "L/N: {}", "B/N {}", "LOT = {}", "Lot. Ch.-B.: {}",
)  # fmt: skip


@pytest.mark.parametrize("number", ["GW2-2231", "5512", "A1"])
@pytest.mark.parametrize("label", LABELS)
def test_words_in_front_of_a_number_do_not_count(label, number):
    assert is_same_batch(label.format(number), number)


@pytest.mark.parametrize("number", ["LOT2231", "LOT-2231", "Lot-No-2231", "BATCH 2231", "batch2231"])
def test_a_label_that_may_be_a_part_of_the_number_is_read_both_ways(number):
    assert is_same_batch(number, "2231")
    assert is_same_batch(number, number.replace("-", "").replace(" ", ""))


@pytest.mark.parametrize(
    "number",
    ["LOTUS-12", "NO-1042", "CH-2231", "CH-B2231", "CHARGER 12", "NORTH 7", "B-12", "CODEX.5", "LOTTE 9", "NRB-8"],
)
def test_no_label_is_eaten_out_of_a_number(number):
    assert without_label(number) == number
    assert not is_same_batch(number, number.lstrip("ABCDEFGHLNORSTUX-. "))


def test_letters_that_are_only_an_abbreviation_of_number_are_read_both_ways():
    assert is_same_batch("NO 1042", "NO-1042")
    assert is_same_batch("NO 1042", "1042")
    assert not is_same_batch("NO-1042", "1042")


def test_a_label_alone_is_no_number():
    assert without_label("Lot: ") == ""
    assert not is_same_batch("Lot", "Lot: 5")


@pytest.mark.parametrize(
    ("written", "how"),
    [
        ("GW2-2213", Difference.SWAPPED),
        ("GW2-223I", Difference.LOOK_ALIKE),
        ("6W2-2231", Difference.LOOK_ALIKE),
        ("GW2-2237", Difference.ONE_DIGIT),
        ("GW3-2231", Difference.ONE_DIGIT),
        ("GV2-2231", Difference.ONE_LETTER),
        ("GWA-2231", Difference.ONE_LETTER),
        ("GW2-22310", Difference.ONE_MORE),
        ("GW2-231", Difference.ONE_MORE),
        ("GW2-22315", Difference.ONE_MORE),
        ("2231", Difference.PART),
        ("GW2-22", Difference.PART),
        ("GW2-2231/BK-1042", Difference.PART),
    ],
)
def test_a_slip_of_the_pen_is_near_and_named(written, how):
    assert difference(written, "GW2-2231") is how
    assert difference("GW2-2231", written) is how


@pytest.mark.parametrize(
    "other",
    ["GW2-2245", "GW2-2331-1", "BK-1042", "GW2", "31", "gw2 2231", "WG2-2213", "GW2-1232", "GW2-9931", "lot gw2-2231"],
)
def test_two_slips_a_strange_one_a_short_one_and_the_same_are_not_near(other):
    assert difference(other, "GW2-2231") is None


def test_short_numbers_are_near_only_with_three_characters_and_stand_alone_with_two():
    assert difference("A12", "A13") is Difference.ONE_DIGIT
    assert difference("77", "78") is None
    assert difference("A12", "A123") is None
    assert difference("77", "77/78") is Difference.PART
    assert difference("77", "177/78") is None
    assert difference("7", "7/8") is None


MOVED = [
    ("2024-11-1", "2024-1-11"),
    ("12/24", "122-4"),
    ("1/24", "12/4"),
    ("24-11-1", "24-1-11"),
    ("1.11.2024", "11.1.2024"),
    ("L2024-11-1", "L2024-1-11"),
    ("BK-24-11-1", "BK-24-1-11"),
    ("2024-11-1A", "2024-1-11A"),
    ("2024-W11-1", "2024-W1-11"),
    ("2024-111", "2024-11-1"),
    ("2024 1101", "2024-11-01"),
    ("7-2024", "72-024"),
    ("7-AB-2024-11", "7-AB-20-2411"),
    ("2024-11-AB-7", "20-2411-AB-7"),
]


@pytest.mark.parametrize(("one", "other"), MOVED)
def test_hyphens_move_in_no_number_that_reads_as_a_date(one, other):
    assert not is_same_batch(one, other)
    assert difference(one, other) is Difference.MOVED_HYPHENS
    assert difference(other, one) is Difference.MOVED_HYPHENS


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("GW22-231", "GW2-2231"), ("GW2-22-31", "GW2-2231"), ("122-42", "12242"), ("2531-13", "25-3113"),
        ("1899-4", "18-994"), ("13-13", "131-3"), ("24-13-1", "241-31"), ("2024-W12-8", "2024-W1-28"),
    ],
)  # fmt: skip
def test_hyphens_move_in_all_other_numbers(one, other):
    assert is_same_batch(one, other)


@pytest.mark.parametrize(
    "written", ["2024-11-01", "2024/11/1", "2024.11.01", "2024 11 1", "20241101", "2024111", "lot 2024-11-1"]
)
def test_a_date_is_one_however_its_parts_are_set_apart(written):
    assert is_same_batch(written, "2024-11-1")


@pytest.mark.parametrize(
    ("one", "other"), [("GW2-2024-11-01", "GW2-20241101"), ("GW2-2024", "GW22024"), ("12/24", "1224")]
)
def test_a_date_without_its_hyphens_is_the_same(one, other):
    assert is_same_batch(one, other)


@pytest.mark.parametrize("other", ["11-1-2024", "1-11-2024", "2024-01-11"])
def test_a_date_in_another_order_is_near(other):
    assert difference("2024-11-01", other) is Difference.OTHER_ORDER


def test_other_numbers_are_not_near_in_another_order():
    assert difference("71-1042-83", "83-71-1042") is None


@pytest.mark.parametrize("number", ["", "-", "???", "0", "000", "Lot", "🖋"])
def test_strange_numbers_are_themselves(number):
    assert is_same_batch(number, number)
    assert not is_same_batch(number, "GW2-2231")
    assert difference(number, "GW2-2231") is None


@given(st.lists(NUMBERS, max_size=12), NUMBERS)
def test_the_index_finds_what_comparing_all_with_all_finds(numbers, asked):
    index = BatchIndex(numbers)
    assert index.same(asked) == tuple(sorted({n for n in numbers if is_same_batch(n, asked)}))
    assert index.near(asked) == tuple((n, how) for n in sorted(set(numbers)) if (how := difference(asked, n)))


@pytest.mark.parametrize(("one", "other"), [*MOVED, ("2024-01-11", "2024-11-01"), ("77", "77/78"), ("NO 1042", "1043")])
def test_the_index_finds_rare_neighbours_from_both_sides(one, other):
    assert BatchIndex([one]).near(other) == ((one, difference(one, other)),)
    assert BatchIndex([other]).near(one) == ((other, difference(one, other)),)


def test_numbers_are_found_by_how_they_begin():
    index = BatchIndex(["GW2-2231", "gw2 2498", "GW12-1", "BK-GW2", "LOT GW2-9"])
    assert index.beginning_with("Gw-2") == ("GW2-2231", "LOT GW2-9", "gw2 2498")
    assert index.beginning_with("-") == ()


@given(NUMBERS, NUMBERS)
def test_being_the_same_and_being_near_do_not_depend_on_who_is_asked(one, other):
    assert is_same_batch(one, other) == is_same_batch(other, one)
    assert difference(one, other) == difference(other, one)
