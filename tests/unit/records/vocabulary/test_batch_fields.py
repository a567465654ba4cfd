"""What the field for a batch number says: numbers, a doubt, or nothing."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archgen.records.vocabulary.batch_fields import LONGEST_FIELD, LONGEST_NUMBER, BatchField, read_batch_field

NOTHING = (
    "unknown", "Unknown", "UNKNOWN", "?", "??", "-", "—", "...", "n/a", "N/A", "n.a.", "see label photo", "see photo 2",
    "see label", "label torn off", "lost label", "forgot", "not recorded", "none", "TBC", "tba", "illegible", "ditto",
    "same as owl", "LOT", "Lot:", "batch", "Batch no.", "LOT unknown", "Lot: ?", "no", "NO", "unbekannt", "exp 08/2027",
    "opened 2024-01-10", "bottle", "black bottle", "AB CD", "000", "0", "(?)", "/", "the", "no batch", "unknown lot",
)  # fmt: skip


@pytest.mark.parametrize("text", NOTHING)
def test_words_and_marks_name_no_number(text):
    assert read_batch_field(text) == BatchField((), is_certain=False)


@pytest.mark.parametrize(
    "text",
    ["GW2-2231", "gw2 2231", "BK 1042", "bk 1042", "LINER 1042", "5520 0008", "12/24", "2024-11-1", "77/78", "122/124",
     "L2401/A123", "GW2-2231 A", "2231 b", "2231 ABC", "77", "NO-1042", "NO 1042", "N-88213", "GW2.2231", "GW2-2231/2"],
)  # fmt: skip
def test_one_number_is_one_number_with_its_gaps(text):
    assert read_batch_field(text) == BatchField((text,), is_certain=True)


@pytest.mark.parametrize("text", ["12 / 24", "2024 / 11 / 1", "2231 / 2232"])
def test_a_date_with_wide_strokes_is_one_number(text):
    assert read_batch_field(text).numbers == (text.replace(" ", ""),)


@pytest.mark.parametrize("text", ["A12 / B34", "22310 / 22320"])
def test_what_is_no_date_with_wide_strokes_is_two_numbers(text):
    assert read_batch_field(text).numbers == tuple(text.split(" / "))


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("Lot: GW2-2231", ("GW2-2231",)),
        ("Ch.-B. 5512", ("5512",)),
        ("№ 1042", ("1042",)),
        ("grey wash GW2-2231", ("GW2-2231",)),
        ("Brackwater 12024", ("12024",)),
        ("the bottle with GW2 2231 on it", ("GW2 2231",)),
        ("GW2-2231 exp 08/2027", ("GW2-2231",)),
        ("GW2-2231, opened 2024-01-10", ("GW2-2231",)),
        ("GW2-2231 best before 2027-08", ("GW2-2231",)),
        ("dense black of BK-1042", ("BK-1042",)),
        ("2231 ABCD", ("2231",)),
    ],
)
def test_words_around_a_number_are_not_of_it(text, numbers):
    assert read_batch_field(text) == BatchField(numbers, is_certain=True)


@pytest.mark.parametrize(
    "between",
    [", ", ",", "; ", ";", " + ", "+", " & ", "&", " / ", "/", " | ", " ", "  ", " and ", " AND ", " or ", " then ",
     " und ", " oder ", " et ", " ou ", " plus ", "\n", "\t", " • ", " LOT ", " Lot: ", ", batch ", " (", " ch.-b. "],
)  # fmt: skip
def test_two_numbers_in_one_field_both_count(between):
    assert read_batch_field(f"GW2-2231{between}GW2-2498") == BatchField(("GW2-2231", "GW2-2498"), is_certain=True)


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("73814402 73816402", ("73814402", "73816402")),
        ("AB1234/AB1300", ("AB1234", "AB1300")),
        ("BK-1042/GW2-2231", ("BK-1042", "GW2-2231")),
        ("N-88213 / S-19", ("N-88213", "S-19")),
        ("LOT 2231 LOT 2498", ("2231", "2498")),
        ("GW2-2231 and 2498", ("GW2-2231", "2498")),
        ("A1, B2, C3", ("A1", "B2", "C3")),
        ("77, 77", ("77",)),
    ],
)
def test_numbers_beside_each_other_are_told_apart_when_each_is_whole(text, numbers):
    assert read_batch_field(text) == BatchField(numbers, is_certain=True)


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("GW2-2231?", ("GW2-2231?",)),
        ("maybe GW2-2231", ("GW2-2231",)),
        ("GW2-2231 (not sure)", ("GW2-2231",)),
        ("GW2-22??", ("GW2-22??",)),
        ("GW2-22xx", ("GW2-22xx",)),
        ("GW2-22*1", ("GW2-22*1",)),
        ("GW2-22…", ("GW2-22...",)),
        ("GW2-22..", ("GW2-22..",)),
        ("GW2-2__1", ("GW2-2__1",)),
        ("unknown 2024", ("2024",)),
        ("2 bottles", ("2",)),
        ("black A12", ("A12",)),
        ("AKBZ", ("AKBZ",)),
        ("GW2-2231, ?", ("GW2-2231",)),
        ("GW2-2231, unknown", ("GW2-2231",)),
        ("GW2-2231, 000", ("GW2-2231",)),
    ],
)
def test_a_doubt_beside_a_number_keeps_it_and_is_not_certain(text, numbers):
    assert read_batch_field(text) == BatchField(numbers, is_certain=False)


def test_what_is_too_long_is_no_number_and_takes_no_time():
    assert read_batch_field("9" * LONGEST_NUMBER).numbers == ("9" * LONGEST_NUMBER,)
    assert read_batch_field("9" * (LONGEST_NUMBER + 1)) == BatchField((), is_certain=False)
    assert read_batch_field("GW2-2231 " + "9" * (LONGEST_NUMBER + 1)) == BatchField((), is_certain=False)
    for text in ("lot " * 30_000, "#" * 100_000, "1," * 50_000, " " * 100_000, "GW2-2231," * 60):
        assert read_batch_field(text) == BatchField((), is_certain=False)
    assert read_batch_field(f"{'GW2-2231,' * 100}"[:LONGEST_FIELD]).numbers[0] == "GW2-2231"


@given(st.text(alphabet="ABab12-/ ,?.", max_size=30))
def test_the_numbers_of_any_text_stand_in_it(text):
    field = read_batch_field(text)
    signs = "".join(sign for sign in text if sign.isalnum())
    assert all("".join(sign for sign in number if sign.isalnum()) in signs for number in field.numbers)
    assert field.is_certain <= bool(field.numbers)


@pytest.mark.parametrize(
    ("written", "numbers"),
    [
        ("123456 654321", ("123456", "654321")),
        ("12345 54321", ("12345 54321",)),  # five digits may be half a number
        ("123456 12345", ("123456 12345",)),  # of two lengths
        ("A123 B456", ("A123", "B456")),
        ("A12 B45", ("A12 B45",)),
        ("A1234 123456", ("A1234 123456",)),
    ],
)
def test_numbers_of_one_shape_beside_each_other_are_told_apart_when_each_may_be_whole(written, numbers):
    assert read_batch_field(written) == BatchField(numbers, is_certain=True)


@pytest.mark.parametrize(
    ("written", "numbers"),
    [
        ("PC4 - 1412", ("PC4-1412",)),
        ("GWB - 141", ("GWB-141",)),
        ("G21859 - W", ("G21859-W",)),
        ("K – 13072", ("K-13072",)),
        ("DX - 9806 - 3", ("DX-9806-3",)),
        ("LOT 2913M - 02", ("2913M-02",)),
    ],
)
def test_spaces_around_hyphens_do_not_break_a_number(written, numbers):
    assert read_batch_field(written).numbers == numbers


def test_two_whole_numbers_with_a_dash_between_stay_two_and_words_join_nothing():
    assert read_batch_field("GW2-2231 - GW2-2232").numbers == ("GW2-2231", "GW2-2232")
    assert read_batch_field("PC41 - PC42").numbers == ("PC41", "PC42")
    assert read_batch_field("bk 10 - 42").numbers == ("bk 10", "42")
    assert read_batch_field("GWBX - 141").numbers == ("141",)  # four letters say what it is of
    assert "GW2-2231" in read_batch_field("GW2-2231 - 2 bottles").numbers
