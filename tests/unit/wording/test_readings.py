"""What is said of how a stencil reads: what was measured, and what to do."""

import pytest

from archgen.picture_facts.facts import Derivative
from archgen.picture_facts.gauge_facts import GaugeFacts
from archgen.wording.readings import what_to_do


def facts(**changes):
    known = {
        "width_mm": 60.0, "height_mm": 80.0, "finest_mm": 0.2, "narrowest_mm": 0.3, "thin": 0, "tight": 0, "closing": 0,
        "thin_share": 0.0, "tight_share": 0.0, "places": (), "readable_from_mm": None, "mostly_from_mm": None,
        "screen": Derivative(blob="a.webp", width=10, height=10),
    }  # fmt: skip
    return GaugeFacts(**{**known, **changes})


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
            {"thin": 2},
            "Thicken 2 lines. Not at this design: even at twice the size too much of it stays below the limits.",
        ),
    ],
)
def test_what_to_do_names_a_size_only_while_it_is_sensible(changes, said):
    assert what_to_do(facts(**changes)) == said
