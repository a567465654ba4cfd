"""What is said of how a stencil reads: what was measured, and what to do."""

import pytest

from archgen.config import Limits
from archgen.picture_facts.gauge_facts import GaugeFigures, PlaceFacts
from archgen.pieces.materials import FinestNeedle
from archgen.wording.stencils.readings import gauge_lines, what_to_do

LIMITS = Limits(stroke_mm=0.3, gap_mm=1.0)


def facts(**changes):
    known = {
        "width_mm": 60.0, "height_mm": 80.0, "finest_mm": 0.2, "narrowest_mm": 0.3, "thin": 0, "tight": 0, "closing": 0,
        "thin_share": 0.0, "tight_share": 0.0, "places": (), "readable_from_mm": None, "mostly_from_mm": None,
        "judged_to_mm": 400.0, "dots_per_inch": 600.0, "is_stepped": False, "seen_from_mm": 0.057,
    }  # fmt: skip
    return GaugeFigures(**{**known, **changes})


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"tight": 3, "readable_from_mm": 73.2}, "Open 3 gaps, or print it 74 mm wide or more."),
        ({"thin": 1, "readable_from_mm": 120.0}, "Thicken 1 line, or print it 120 mm wide or more."),
        (
            {"thin": 2, "tight": 1, "readable_from_mm": 120.1, "mostly_from_mm": 119.2},
            "Open 1 gap and thicken 2 lines. Printed 120 mm wide or more, 95 % of it keeps the limits.",
        ),
        (
            {"thin": 2, "readable_from_mm": 900.0, "mostly_from_mm": 120.5},
            "Thicken 2 lines. Not at this design: even at twice the size too much of it stays below the limits.",
        ),
        (
            {"thin": 2, "mostly_from_mm": 110.0, "judged_to_mm": 109.0},
            "Thicken 2 lines. Whether a larger print would do can't be told from a file this coarse.",
        ),
        (
            {"thin": 2},
            "Thicken 2 lines. Not at this design: even at twice the size too much of it stays below the limits.",
        ),
    ],
)
def test_what_to_do_names_a_size_only_while_it_is_sensible(changes, said):
    assert what_to_do(facts(**changes)) == said


def said_of(**changes):
    return list(gauge_lines(facts(**changes), None, LIMITS))


def test_what_keeps_the_limits_is_said_with_what_they_rest_on():
    assert said_of()[1:] == [
        "Every line and gap keeps your limits of 0.3 and 1 mm.",
        "Limits: lines 0.3 mm, gaps 1 mm; ink is taken to spread 0.3 mm on each side. Common practice, no source; "
        "yours to set.",
    ]


def test_single_lines_and_gaps_are_counted_and_what_no_name_stands_for():
    places = (PlaceFacts("A", 1, 2, 0.1),)
    said = said_of(thin=12, thin_share=0.28, tight=3, tight_share=0.1, closing=2, places=places, named=4)
    assert said[1:3] == [
        "12 lines under 0.3 mm, 28% of the length of all lines.",
        "3 gaps under 1 mm, 10% of the length of all gaps; 2 may close up when ink spreads.",
    ]
    assert "The worst are named; 11 more are marked." in said
    assert not [line for line in said_of(thin=4, places=places, named=4) if "more are marked" in line]


def test_a_file_too_coarse_for_a_limit_is_declined_in_words_and_never_called_sound():
    coarse = {"thin": None, "dots_per_inch": 120.0, "seen_from_mm": 0.286, "judged_to_mm": 34.0}
    said = " ".join(said_of(**coarse))
    assert (
        "Lines can't be judged: at this size the file has 120 dots per inch, too coarse for your limit of 0.3 mm. "
        "Save it with 212 or more."
    ) in said
    assert "keeps your limits" not in said
    assert "finer than" not in said
    both = " ".join(
        said_of(**coarse | {"tight": None, "dots_per_inch": 50.0, "judged_to_mm": 14.2, "is_stepped": True})
    )
    assert "Gaps can't be judged: at this size the file has 50 dots per inch, ink and paper only, too" in both


def test_what_a_file_can_only_just_show_is_said():
    assert "At this size the file has 230 dots per inch: what is finer than 0.16 mm may be missed." in said_of(
        dots_per_inch=230.0, seen_from_mm=0.158
    )
    stepped = said_of(dots_per_inch=400.0, seen_from_mm=0.127, is_stepped=True)
    assert "At this size the file has 400 dots per inch, ink and paper only: widths are known to 0.06 mm." in stepped
    both = said_of(dots_per_inch=300.0, seen_from_mm=0.169, is_stepped=True)
    assert (
        "At this size the file has 300 dots per inch, ink and paper only: what is finer than 0.17 mm may be missed, "
        "and widths are known to 0.08 mm."
    ) in both


def test_a_bundle_that_rests_on_an_assumed_shaft_says_so():
    for is_assumed in (True, False):
        needle = FinestNeedle("9RL", 1.26, is_assumed)
        said = " ".join(gauge_lines(facts(thinner_than_bundle=0.5), needle, LIMITS))
        assert ("a shaft of 0.35 mm assumed" in said) == is_assumed
        assert "1.26 mm wide at most" in said
