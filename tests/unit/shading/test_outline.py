import numpy as np
import pytest
from PIL import Image, ImageDraw

from archgen.shading.outline import find_outline, left_without, lines_of, opened, shrunk

PPM = 10


def ring(gap_mm, radius_mm=15.0, size_mm=50):
    """Draw a circle of 0.3 mm with a gap in it."""
    picture = Image.new("1", (size_mm * PPM,) * 2)
    middle = size_mm * PPM / 2
    box = [middle - radius_mm * PPM, middle - radius_mm * PPM, middle + radius_mm * PPM, middle + radius_mm * PPM]
    turn = np.degrees(gap_mm / radius_mm)
    ImageDraw.Draw(picture).arc(box, turn / 2, 360 - turn / 2, fill=1, width=3)
    return np.array(picture)


@pytest.mark.parametrize("gap", [0.0, 0.7, 1.5, 2.5, 5.0])
def test_a_circle_with_a_gap_encloses_its_disc(gap):
    found = find_outline(ring(gap), PPM, 3.7, 1.08)
    y, x = np.mgrid[:500, :500] + 0.5
    disc = np.hypot(x - 250, y - 250) <= 150
    assert (found.within & disc).sum() / (found.within | disc).sum() > 0.97
    assert gap <= found.gap_mm <= gap + 1.5


def test_what_is_too_narrow_for_the_needle_belongs_to_the_lines():
    ink = ring(0)
    ink[20:29, 20:400] = True
    found = find_outline(ink, PPM, 3.7, 1.08)
    assert not found.within[:40].any()
    assert find_outline(ink, PPM, 3.7, 0.5).within[:40].any() is np.False_  # narrower than a part: a bridge


def test_no_lines_enclose_nothing():
    assert not find_outline(np.zeros((100, 100), bool), PPM, 3.7, 1.08).within.any()


def test_a_cell_of_background_leaves_no_line_behind():
    ink = ring(0)
    y, x = np.mgrid[:500, :500] + 0.5
    away = np.hypot(x - 250, y - 250)
    ink |= np.abs(away - 70) < 1.5
    found = find_outline(ink, PPM, 3.7, 1.08)
    rest = left_without(found, away < 68, PPM, 3.7, 1.08)
    assert not rest.within[away < 68].any()
    assert rest.within[(away > 75) & (away < 145)].all()


def test_solid_black_is_no_line():
    ink = ring(0)
    ink[220:280, 220:280] = True
    lines = lines_of(ink, PPM)
    assert not lines[230:270, 230:270].any()
    assert lines[ring(0)].mean() > 0.95


@pytest.mark.parametrize("reach", [1.0, 4.5, 13.2])
def test_what_discs_cover_holds_them_and_nothing_is_added(reach):
    mask = np.random.default_rng(5).random((120, 90)) < 0.9
    mask[30:70, 20:60] = True
    found = opened(mask, reach)
    assert not (found & ~mask).any()
    assert not shrunk(np.ones((9, 9), bool), 5).any()
