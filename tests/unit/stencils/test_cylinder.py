"""Wrap and view on a cylinder, against the formulas worked by hand and by summing small steps."""

import math

import numpy as np
import pytest
from PIL import Image

from archgen.errors import UsageError
from archgen.records.vocabulary.girths import POPULATION_GIRTHS, GirthKind
from archgen.stencils.cylinder import fit, straight_ahead


# 80 mm round the ANSUR II means (NATICK/TR-15/007), men and women, in whole degrees, as tabled.
@pytest.mark.parametrize(("name", "men", "women"), [
    ("wrist", 164, 186), ("hand", 136, 154), ("forearm", 93, 109), ("arm", 80, 94), ("thigh", 46, 47),
    ("lower-thigh", 70, 72), ("calf", 73, 77), ("ankle", 126, 133), ("neck", 72, 87), ("head", 50, 51),
    ("chest", 27, 30), ("waist", 31, 33), ("buttock", 28, 28),
])  # fmt: skip
def test_80_mm_wraps_the_population_means_as_tabled(name, men, women):
    girth = POPULATION_GIRTHS[GirthKind(name)]
    angles = [round(fit(80, people.mean_mm).angle_deg) for people in (girth.men, girth.women)]
    assert angles == [men, women]


@pytest.mark.parametrize(("girth", "seen"), [(310, 71.5), (176, 55.5)])
def test_80_mm_seen_from_straight_ahead(girth, seen):
    assert fit(80, girth).seen_mm == pytest.approx(seen, abs=0.05)


def test_the_visible_width_is_the_sum_of_its_foreshortened_steps():
    """Each step of skin counts with the cosine of its turn; beyond a quarter turn it is hidden."""
    for width, girth in ((60.0, 268.0), (140.0, 176.0), (200.0, 200.0)):
        steps = np.linspace(-width / 2, width / 2, 200_001)
        turn = np.abs((steps[1:] + steps[:-1]) / 2) * 2 * math.pi / girth
        seen = np.where(turn < math.pi / 2, np.cos(turn), 0).sum() * (steps[1] - steps[0])
        assert fit(width, girth).seen_mm == pytest.approx(seen, abs=0.01)


def test_what_cannot_be_seen_and_what_overlaps_is_said():
    assert fit(100, 176).hidden_mm == pytest.approx(12)
    assert "cannot be seen" in fit(100, 176).words
    assert "overlap by 24 mm" in fit(200, 176).words


@pytest.mark.parametrize(("width", "girth"), [(80, 0), (80, 29), (80, 3000), (0, 200), (-5, 200)])
def test_girths_and_widths_that_are_none_are_refused(width, girth):
    with pytest.raises(UsageError):
        fit(width, girth)


def test_the_view_is_as_wide_as_the_formula_says():
    flat = Image.new("L", (800, 400), 255)
    flat.paste(0, (0, 0, 20, 400))
    flat.paste(0, (780, 0, 800, 400))
    view = np.asarray(straight_ahead(flat, (0.0, 0.0, 800.0, 400.0), 80, 310, height_px=1300))
    per_mm = 1300 / (40 * 1.3)
    row = view[650] < 100
    places = np.flatnonzero(row)
    assert (places[-1] + 1 - places[0]) / per_mm == pytest.approx(71.5, abs=0.1)


def test_the_middle_keeps_its_width_and_the_sides_narrow():
    flat = Image.new("L", (900, 300), 255)
    for left in (0, 400, 800):
        flat.paste(0, (left, 0, left + 100, 300))
    row = np.asarray(straight_ahead(flat, (0.0, 0.0, 900.0, 300.0), 90, 200, height_px=780))[390] < 90
    edges = np.flatnonzero(np.diff(row.astype(int)))
    left, middle, right = edges[1::2] - edges[::2]
    per_mm = 780 / (30 * 1.3)
    assert middle / per_mm == pytest.approx(10, abs=0.15)
    # From 35 to 45 mm of arc on a radius of 31.83 mm.
    radius = 200 / (2 * math.pi)
    expected = radius * (math.sin(45 / radius) - math.sin(35 / radius))
    assert (left / per_mm, right / per_mm) == pytest.approx((expected, expected), abs=0.15)


def test_a_design_wider_than_half_the_girth_is_cut_by_the_limb():
    view = np.asarray(straight_ahead(Image.new("L", (500, 200), 0), (0.0, 0.0, 500.0, 200.0), 150, 176, 400))
    dark = np.flatnonzero((view < 100).any(axis=0))
    assert dark.size / (400 / (60 * 1.3)) == pytest.approx(176 / math.pi, rel=0.03)
