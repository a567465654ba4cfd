"""Needle codes and trade words."""

import math

import pytest

from archgen.records.vocabulary.needle_forms.circles import packing_ratio, ring_ratio
from archgen.records.vocabulary.needle_forms.reader import read_needle
from archgen.records.vocabulary.needle_forms.words import Grouping, Taper
from archgen.records.vocabulary.needles import read_needles

RL, RS, HL = Grouping.ROUND_LINER, Grouping.ROUND_SHADER, Grouping.HOLLOW_LINER
MAG, STACKED, CURVED, FLAT = Grouping.MAGNUM, Grouping.STACKED_MAGNUM, Grouping.CURVED_MAGNUM, Grouping.FLAT


# None stands for a diameter that nobody wrote. Forms: common practice, no source.
@pytest.mark.parametrize(
    ("text", "diameter", "count", "grouping"),
    [
        ("1209RL", 0.35, 9, RL),
        ("1209 RL", 0.35, 9, RL),
        ("12-09RL", 0.35, 9, RL),
        ("9RL", None, 9, RL),
        ("9 RL", None, 9, RL),
        ("09RL", None, 9, RL),
        ("3RL", None, 3, RL),
        ("1RL", None, 1, RL),
        ("14RL", None, 14, RL),
        ("#10 9 round liner", 0.30, 9, RL),
        ("10s 9RL", 0.30, 9, RL),
        ("0.30 9RL", 0.30, 9, RL),
        ("0,30 9RL", 0.30, 9, RL),
        ("0.30mm 9 RL", 0.30, 9, RL),
        ("9 round liner", None, 9, RL),
        ("single needle", None, 1, RL),
        ("7 curved mag", None, 7, CURVED),
        ("7CM", None, 7, CURVED),
        ("7RM", None, 7, CURVED),
        ("15M1", None, 15, MAG),
        ("1015M1", 0.30, 15, MAG),
        ("23 mag", None, 23, MAG),
        ("9M2", None, 9, STACKED),
        ("13 soft edge mag", None, 13, CURVED),
        ("15SEM", None, 15, CURVED),
        ("15M1C", None, 15, CURVED),
        ("5F", None, 5, FLAT),
        ("9 flat", None, 9, FLAT),
        ("9 flat shader", None, 9, FLAT),
        ("1203RLST", 0.35, 3, RL),
        ("7RS LT", None, 7, RS),
        ("7 round shader", None, 7, RS),
        ("hollow 9RL", None, 9, HL),
        ("9HL", None, 9, HL),
        ("9 turbo", None, 9, HL),
        ("803RL", 0.25, 3, RL),
        ("603RL", 0.20, 3, RL),
        ("12 gauge 7RL", 0.35, 7, RL),
        ("7 weaved mag", None, 7, MAG),
        ("1207rl", 0.35, 7, RL),
    ],
)
def test_every_usual_form_is_read(text, diameter, count, grouping):
    reading = read_needle(text)
    assert (reading.count, reading.grouping) == (count, grouping)
    assert reading.diameter_is_assumed is (diameter is None)
    assert reading.diameter_mm == (0.35 if diameter is None else diameter)
    assert (reading.unknown, reading.warnings) == ((), ())


@pytest.mark.parametrize(
    ("text", "taper"),
    [
        ("1203RLST", Taper.SHORT),
        ("7RS LT", Taper.LONG),
        ("7RL-MT", Taper.MEDIUM),
        ("7RLXLT", Taper.EXTRA_LONG),
        ("7RL SLT", Taper.SUPER_LONG),
        ("7 round liner long taper", Taper.LONG),
        ("7 round liner extra long taper", Taper.EXTRA_LONG),
        ("7RL", None),
    ],
)
def test_taper(text, taper):
    assert read_needle(text).taper is taper


@pytest.mark.parametrize("text", ["9RL bugpin", "bugpin 9RL", "9 round liner bug pin"])
def test_bugpin_without_a_number_bounds_the_diameter_only(text):
    reading = read_needle(text)
    assert (reading.diameter_mm, reading.diameter_is_assumed, reading.diameter_at_most_mm) == (None, False, 0.30)
    assert reading.words() == "9 round liner, bugpin (0.30 mm or thinner)"


def test_a_bugpin_with_the_number_of_a_thicker_needle_says_neither():
    reading = read_needle("1207RL bugpin")
    assert (reading.diameter_mm, reading.bugpin, reading.diameter_at_most_mm) == (None, False, None)
    assert reading.words() == "7 round liner"
    assert read_needle("1007RL bugpin").words() == "7 round liner, 0.30 mm bugpin"


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("1307RL", "disputed-diameter"),
        ("#14 5 mag", "disputed-diameter"),
        ("1205RL bugpin", "not-bugpin"),
        ("4RL", "unusual-count"),
        ("6 mag", "unusual-count"),
        ("903RL", "unclear-digits"),
        ("1107RL", "unknown-diameter"),
        ("9XQ", "unknown-word"),
        ("9RL shiny", "unknown-word"),
        ("10 9RL", "unknown-word"),
        ("0RL", "unknown-word"),
        ("1209", "no-grouping"),
        ("liner", "no-count"),
    ],
)
def test_what_is_odd_is_a_warning(text, code):
    assert [warning.code for warning in read_needle(text).warnings] == [code]


def test_unknown_words_are_kept_as_written():
    assert read_needle("9RL Shiny").unknown == ("Shiny",)
    assert read_needle("9RL Shiny").words() == "9 round liner, Shiny"


def test_words_that_are_no_taper_are_known():
    assert read_needle("textured 9RL").features == ("textured",)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1009RL", "9 round liner, 0.30 mm"),
        ("9RL", "9 round liner, 0.35 mm assumed"),
        ("1203RLST", "3 round liner, 0.35 mm, short taper"),
        ("1001RL", "single needle, 0.30 mm"),
        ("my old one", "my old one"),
        ("1003RL?", "1003RL?"),
        ("15 mag whatever", "15 mag whatever"),
        ("2x 3RL", "3 round liner, 0.35 mm assumed, × 2"),
    ],
)
def test_words_for_people(text, words):
    assert read_needle(text).words() == words


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("3RL, 9RL + 15CM", [3, 9, 15]),
        ("3RL/7RL", [3, 7]),
        ("3RL,9RL", [3, 9]),
        ("0,30 9RL, 7RL", [9, 7]),
        ("3RL and 5 mag", [3, 5]),
        ("", []),
    ],
)
def test_lists(text, counts):
    assert [reading.count for reading in read_needles(text)] == counts


# Bundle diameters in mm for #8, #10 and #12 shafts: table "Circle packing in a circle" times the shaft's diameter.
@pytest.mark.parametrize(
    ("count", "widths"),
    [
        (3, (0.54, 0.65, 0.75)),
        (5, (0.68, 0.81, 0.95)),
        (7, (0.75, 0.90, 1.05)),
        (9, (0.90, 1.08, 1.26)),
        (11, (0.98, 1.18, 1.37)),
        (14, (1.08, 1.30, 1.51)),
        (18, (1.22, 1.46, 1.70)),
    ],
)
def test_width_of_a_round_bundle(count, widths):
    for code, width in zip(("08", "10", "12"), widths, strict=True):
        assert read_needle(f"{code}{count:02}RL").bundle_mm == pytest.approx(width, abs=0.0051)


# Closed forms as the published table gives them.
@pytest.mark.parametrize(
    ("count", "ratio"),
    [
        (1, 1.0),
        (2, 2.0),
        (3, 1 + 2 / math.sqrt(3)),
        (4, 1 + math.sqrt(2)),
        (5, 1 + math.sqrt(2 * (1 + 1 / math.sqrt(5)))),
        (6, 3.0),
        (7, 3.0),
        (8, 1 + 1 / math.sin(math.pi / 7)),
        (9, 1 + math.sqrt(2 * (2 + math.sqrt(2)))),
        (11, 1 + 1 / math.sin(math.pi / 9)),
        (13, 2 + math.sqrt(5)),
        (18, 1 + math.sqrt(2) + math.sqrt(6)),
        (19, 1 + math.sqrt(2) + math.sqrt(6)),
    ],
)
def test_published_packing_ratios(count, ratio):
    assert packing_ratio(count) == pytest.approx(ratio, abs=1e-6)


def test_more_circles_never_need_less_room_and_beat_the_area_bound():
    ratios = [packing_ratio(count) for count in range(1, 26)]
    assert ratios == sorted(ratios)
    assert all(ratio**2 >= count for count, ratio in enumerate(ratios, 1))
    assert (packing_ratio(0), packing_ratio(26)) == (None, None)


@pytest.mark.parametrize("count", range(1, 26))
def test_a_ring_is_never_narrower_than_the_tightest_packing(count):
    assert ring_ratio(count) >= packing_ratio(count) - 1e-6


@pytest.mark.parametrize(
    ("text", "least", "most"),
    [
        ("1009F", 2.7, 2.7),
        ("1009M1", 1.5, 2.7),
        ("1009M2", 1.5, 2.7),
        ("1009CM", 1.5, 2.7),
        ("9RL bugpin", None, 1.0839),
        ("1026RL", None, None),
        ("1200", None, None),
    ],
)
def test_bounds_of_flats_and_magnums(text, least, most):
    reading = read_needle(text)
    assert reading.bundle_at_least_mm == (pytest.approx(least, abs=1e-3) if least else None)
    assert reading.bundle_mm == (pytest.approx(most, abs=1e-3) if most else None)


@pytest.mark.parametrize(
    "text", ["1003RL?", "9RL shiny", "1003RL 0.35", "9 mag whatever", "1009M1?", "RL", "HL", "mag", "#10 9"]
)
def test_a_reading_in_doubt_has_no_bundle(text):
    reading = read_needle(text)
    assert (reading.bundle_mm, reading.bundle_at_least_mm, reading.is_asked) == (None, None, True)


def test_what_stands_once_in_a_list_is_asked_for_the_others():
    first, second = read_needles("#10 3RL + 7RL")
    assert (first.diameter_mm, first.is_asked) == (0.30, False)
    assert (second.diameter_mm, second.diameter_is_assumed) == (None, False)
    assert [warning.text for warning in second.warnings] == ['It does not say whether "#10" holds for this needle too.']


def test_bare_numbers_take_the_grouping_that_closes_their_list():
    assert [reading.text for reading in read_needles("3/5/7 RL")] == ["3 round liner", "5 round liner", "7 RL"]


@pytest.mark.parametrize(
    ("word", "count"),
    [("three", 3), ("five", 5), ("seven", 7), ("nine", 9), ("eleven", 11), ("fourteen", 14), ("fifteen", 15)],
)
def test_counts_are_read_as_words_too(word, count):
    (reading,) = read_needles(f"{word} RL")
    assert (reading.count, reading.grouping) == (count, RL)


def test_a_number_alone_is_a_count_and_one_that_fits_no_list_is_asked_about():
    (alone,) = read_needles("7")
    assert (alone.count, alone.unknown) == (7, ())
    _, listed = read_needles("1203RL, 7")
    assert (listed.count, listed.unknown) == (None, ("7",))


def test_what_stands_at_one_needle_is_asked_about_for_one_without_any_diameter():
    first, second = read_needles("RL, RL bugpin")
    assert "shared" in [warning.code for warning in first.warnings]
    assert "shared" not in [warning.code for warning in second.warnings]


# A ring of n touching circles: the polygon of their centres and half a circle on each side.
@pytest.mark.parametrize(
    ("count", "ratio"),
    [(1, 1), (2, 2), (3, 1 + 2 / math.sqrt(3)), (4, 1 + math.sqrt(2)), (6, 3), (12, 1 + math.sqrt(2) + math.sqrt(6))],
)
def test_width_of_a_ring(count, ratio):
    assert ring_ratio(count) == pytest.approx(ratio)
    assert read_needle(f"10{count:02}HL").bundle_mm == pytest.approx(0.30 * ratio)


@pytest.mark.parametrize("count", range(3, 26))
def test_the_tightest_packing_fills_more_than_six_tenths_of_its_circle(count):
    assert 0.64 < count / packing_ratio(count) ** 2 < math.pi / math.sqrt(12)


# Usual counts: what cartridges are sold with; common practice, no source.
@pytest.mark.parametrize(
    ("letters", "usual", "odd"),
    [
        ("RL", (1, 3, 5, 7, 9, 11, 14, 18), (2, 4, 8, 10, 12, 13, 15, 17, 19)),
        ("RS", (1, 3, 5, 7, 9, 11, 14, 18), (2, 4, 8, 10, 12, 13, 15, 17, 19)),
        ("HL", (1, 3, 5, 7, 9, 11, 14, 18), (2, 4, 19)),
        ("M1", (5, 7, 9, 11, 13, 15, 17, 19, 21, 23, 25, 27, 29, 35, 39, 45, 49), (3, 4, 6, 14, 48, 50, 51)),
        ("M2", (5, 7, 9, 49), (3, 4, 6, 51)),
        ("CM", (5, 7, 9, 49), (3, 4, 6, 51)),
        ("F", (4, 5, 6, 7, 8, 9, 10, 11, 13, 15), (1, 2, 3, 16, 17)),
    ],
)
def test_counts_that_are_not_sold_are_pointed_out_and_kept(letters, usual, odd):
    for count in (*usual, *odd):
        reading = read_needle(f"{count}{letters}")
        warned = [warning.code for warning in reading.warnings]
        assert (reading.count, warned) == (count, ["unusual-count"] if count in odd else []), count


@pytest.mark.parametrize(
    ("text", "features"),
    [
        ("3RL x1", ()),
        ("3RL x2", ("× 2",)),
        ("6x 3RL", ("× 6",)),
        ("7RL textured, membrane", ("textured", "membrane")),
        ("disposable sterile 7RL", ("disposable", "sterile")),
    ],
)
def test_what_changes_no_figure_is_told(text, features):
    (reading,) = read_needles(text)
    assert (reading.features, reading.unknown) == (features, ())


@pytest.mark.parametrize("text", ["3RL x7", "3RL x0"])
def test_a_number_of_uses_that_cannot_be_is_kept_as_written(text):
    assert read_needle(text).unknown == (text[-2:],)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1107RL", "'11' isn't a diameter code I know (06, 08, 10, 12, 13, 14)."),
        ("703RL", '"703" may be diameter and count, but one digit is missing.'),
        ("M15", '"M15" may be M and its count, or M1 or M2 and its count.'),
        ("RL 10", '"10" may be the count or the diameter code.'),
        ("9RL shiny", '"shiny" was not understood and is kept as written.'),
        ("1003RL?", '"?" leaves it open.'),
        ("#13 7RL", "#13 is read as 0.40 mm; makers disagree about codes 13 and 14."),
        ("1207RL bugpin", "It says bugpin, but 0.35 mm is thicker than 0.30 mm."),
        ("1209", "It does not say how the needles stand."),
        ("RL", "It does not say how many needles there are."),
        ("4RL", "4 is an unusual number for a round liner."),
        ("0RL", '"0" was not understood and is kept as written.'),
        ("7RL #10 #12", '"#10", "#12" was not understood and is kept as written.'),
    ],
)
def test_each_warning_is_told_once_and_in_words(text, said):
    assert [warning.text for warning in read_needle(text).warnings] == [said]


@pytest.mark.parametrize(
    ("text", "unread"), [("4RL", False), ("1307RL", False), ("1207RL bugpin", False), ("9RL shiny", True), ("RL", True)]
)
def test_only_what_was_not_understood_is_asked(text, unread):
    assert read_needle(text).is_asked is unread


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("7RL/RS", [7, None]),
        ("7RL, curved", [7]),
        ("single needle, 7RL", [1, 7]),
        ("RL, 0.30 mm", [None]),
        ("9RL, cartridge", [9]),
        ("9RL, shiny", [9, None]),
        ("9RL, 1209", [9, 9]),
        ("LT, 9RL", [9]),
    ],
)
def test_a_grouping_without_a_count_is_a_needle_and_a_make_or_a_diameter_none(text, counts):
    assert [reading.count for reading in read_needles(text)] == counts


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("#10 3RL + 7RL", [False, True]),
        ("3RL + 7RL #10", [True, False]),
        ("3RL + 7RL #12 bugpin", [True, False]),
        ("3RL + #10 7RL", [False, False]),
        ("3RL #10 + 7RL", [False, False]),
        ("#10 single needle + 7RL", [False, True]),
        ("7RL + #10 single needle", [False, False]),
        ("7RL + single needle #10", [True, False]),
        ("#10 3RL + 7RL #12", [False, False]),
        ("LT 3RL + 7RL", [False, True]),
        ("BP3RL + 7RL", [False, True]),
        ("3RL + 7RL#10", [True, False]),
        ("3RL + 7RL LT", [False, False]),
        ("3RL, 7RL, bugpin", [True, True]),
        ("3/5/7 RL bugpin", [True, True, False]),
        ("bugpin RL 3/5/7", [False, True, True]),
        ("3/5/7 RL", [False, False, False]),
    ],
)
def test_what_stands_at_an_end_of_a_list_is_asked_about_at_the_other_needles(text, asked):
    readings = read_needles(text)
    assert ["shared" in [warning.code for warning in reading.warnings] for reading in readings] == asked
    assert all(len({warning.text for warning in reading.warnings}) == len(reading.warnings) for reading in readings)


@pytest.mark.parametrize(("beside", "grouping"), [("0.30 mm", MAG), ("bugpin", MAG), ("curved", None)])
def test_only_a_make_beside_a_list_puts_its_groupings_in_doubt(beside, grouping):
    assert [reading.grouping for reading in read_needles(f"5 mag, 7 mag, {beside}")] == [grouping, grouping]


@pytest.mark.parametrize(
    ("text", "unknown"),
    [
        ("M27", {"M27"}),
        ("9RL RS", {"RL", "RS"}),
        ("something 9", {"something", "9"}),
        ("10 9RL", {"10", "9"}),
        ("9RL #10 #12", {"#10", "#12"}),
        ("7RL LT ST", {"LT", "ST"}),
        ("1003RL 0.35", {"1003", "0.35"}),
        ("7RL long", {"long"}),
        ("not 9RL", {"not"}),
        ("3RL 0.5 mm", {"0.5 mm"}),
        ("0RL", {"0"}),
        ("RL 10", {"10"}),
        ("1207RL 9", {"1207", "9"}),
    ],
)
def test_what_is_not_read_is_all_kept_and_each_word_once(text, unknown):
    (reading,) = read_needles(text)
    assert (set(reading.unknown), len(reading.unknown)) == (unknown, len(unknown))


def test_a_bugpin_is_as_thick_as_it_says_and_one_too_thick_has_no_width():
    assert read_needle("0803RL bugpin").diameter_at_most_mm == 0.25
    thick = read_needle("1207RL bugpin")
    assert (thick.bundle_mm, thick.bundle_at_least_mm, thick.is_asked) == (None, None, False)
