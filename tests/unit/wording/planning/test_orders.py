"""What is said of an order of work."""

from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from archgen.records.vocabulary.needles import read_needles
from archgen.shading.plan import Doubt, LaidReference, PlanWish, make_plan
from archgen.supplies.past_use import InkKind, PastInk, PastNeedle, PastUse
from archgen.wording.planning.orders import (
    NeedleAtHand,
    NeedleReason,
    area_words,
    order_words,
    share_words,
    step_numbers,
)
from tests.unit.shading import a_vase

NINE = NeedleAtHand("1009RL", read_needles("1009RL")[0], NeedleReason.OWN)
PAST = PastUse(
    (
        PastNeedle("3RL", 0.75, "lines", 7, shades=False),
        PastNeedle("9RL bugpin", 1.08, "soft shade", 14, shades=True),
        PastNeedle("9CM", 3.15, "wash", 1, shades=True),
    ),
    (
        PastInk("dense black", InkKind.BLACK, "", 9),
        PastInk("grey wash 2", InkKind.WASH, "", 3),
        PastInk("grey wash 1", InkKind.WASH, "", 1),
        PastInk("opaque white", InkKind.WHITE, "", 2),
    ),
)


@pytest.fixture(scope="module")
def plan():
    reference = a_vase.reference()
    laid = LaidReference(reference, a_vase.stencil(), Image.new("L", reference.size, 255), 50.0)
    return make_plan(laid, PlanWish(bundle_mm=1.08, tones=4))


def test_rows_go_from_the_lines_over_the_tones_to_the_whites(plan):
    rows = order_words(plan, PAST, NINE).rows
    assert [row.number for row in rows] == ["1", "2", "3", "4", "5", "", "6"]
    assert [row.where for row in rows] == [
        "all lines, lightly",
        "centre",
        "top right",
        "bottom centre",
        "centre",
        "bare skin, or one lightest wash",
        "whites last: 1 light left open",
    ]
    grays = [row.gray for row in rows[1:6]]
    assert grays == sorted(grays)
    assert rows[5].gray == 255
    assert [row.begins for row in rows[1:5]] == [True, True, True, False]


def test_needles_and_inks_are_said_as_the_artist_used_them(plan):
    rows = order_words(plan, PAST, NINE).rows
    assert rows[0].needle == "3RL: lines, 7 pieces"
    assert rows[0].ink == rows[1].ink == "dense black: 9 pieces"
    assert rows[1].needle == "9CM: wash, 1 piece"
    assert rows[2].ink == "grey wash, 1 of 2"
    assert (rows[-1].needle, rows[-1].ink) == ("fresh needle", "opaque white: 2 pieces")


def test_a_needle_works_every_area_it_is_proposed_for(plan):
    widths = {"3RL": 0.75, "9RL bugpin": 1.08, "9CM": 3.15}
    rows = [row for row in order_words(plan, PAST, NINE).rows if row.number not in ("", "1", "6")]
    for row, step in zip(rows, plan.steps, strict=True):
        if row.begins and ";" not in row.needle:
            width = widths[row.needle.split(":")[0]]
            for area in (plan.areas[index] for index in step):
                assert 2 * area.depth_mm >= width
                assert area.size_mm2 >= np.pi * width**2


def test_small_areas_of_a_tone_get_a_finer_needle(plan):
    (step, *_) = (step for step in plan.steps if plan.areas[step[0]].tone == 2)
    small = replace(plan.areas[step[0]], size_mm2=4.0, share=0.001, depth_mm=0.6)
    two = replace(plan, areas=(*plan.areas, small), steps=((*step, len(plan.areas)),))
    assert order_words(two, PAST, NINE).rows[1].needle == "9CM: wash, 1 piece; 1 small one: 9RL bugpin"


def test_without_records_nothing_is_made_up(plan):
    said = order_words(plan, PastUse(), NINE)
    assert {row.needle for row in said.rows} == {"", "1009RL", "fresh needle"}
    assert not any("Your grey washes" in line for line in said.rests_on)


def test_what_it_rests_on_is_said(plan):
    said = order_words(plan, PAST, NINE)
    text = " ".join(said.rests_on)
    assert "3.7 mm²" in text
    assert "disc of 1.08 mm. That is the bound of 1009RL, the finest recorded for shading on this piece." in text
    assert "A geometric bound from the shafts of 9 round liner, 0.30 mm side by side" in text
    assert "bands of 20 mm" in text
    assert "common practice, no source" in text
    assert "grey wash 1: 1 piece, grey wash 2: 3 pieces" in text
    assert "sq in" in " ".join(order_words(plan, PAST, NINE, "in").rests_on)


def test_of_a_magnum_half_the_shafts_stand_side_by_side(plan):
    magnum = NeedleAtHand("1215CM", read_needles("1215CM")[0], NeedleReason.PAST)
    assert "half the shafts, one of two rows, of 15 curved magnum" in " ".join(order_words(plan, PAST, magnum).rests_on)


def test_what_is_to_be_asked_is_said(plan):
    assert order_words(plan, PAST, NINE).doubts == ()
    doubtful = replace(plan, doubts=(Doubt(45.0, 5.0, 0.1),), is_bare_lost=True, is_dark_behind=True)
    asked, lost, behind = order_words(doubtful, PAST, NINE).doubts
    assert asked.startswith("Marked ?: top right.")
    assert "No skin" in lost
    assert "soften behind" in behind


def test_every_area_that_is_worked_has_the_number_of_its_row(plan):
    numbers = step_numbers(plan)
    assert set(numbers) == {index for index, area in enumerate(plan.areas) if area.tone < plan.bare_tone}
    assert sorted(set(numbers.values())) == list(range(2, len(plan.steps) + 2))


def test_shares_and_sizes():
    assert (share_words(0.004), share_words(0.25)) == ("<1%", "25%")
    assert (area_words(83.2, "mm"), area_words(645.16, "in")) == ("0.83 cm²", "1.00 sq in")
