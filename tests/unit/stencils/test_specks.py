"""A speck far beside a drawing is named; what belongs to the drawing isn't."""

import numpy as np
import pytest

from archgen.picture_facts.facts import Role
from archgen.stencils.marks import read_marks
from archgen.stencils.specks import find_speck
from tests.unit.images.pictures import codes, line_art, read_one


def drawing(*more):
    ink = np.zeros((1000, 1200), bool)
    ink[300:900, 300:303] = ink[300:900, 1097:1100] = ink[300:303, 300:1100] = True
    for top, left, size in more:
        ink[top : top + size, left : left + size] = True
    return ink


@pytest.mark.parametrize(("place", "share"), [((10, 20, 1), 280 / 1080), ((990, 1190, 2), 92 / 892)])
def test_a_speck_on_either_side_is_found_with_what_it_costs(place, share):
    found = find_speck(drawing(place))
    assert (found.top, found.left) == place[:2]
    assert found.share == pytest.approx(share)


def test_specks_on_both_sides_count_together():
    assert find_speck(drawing((10, 20, 1), (990, 1190, 2))).share == pytest.approx(1 - 800 / 1172)


@pytest.mark.parametrize("more", [
    (), ((500, 600, 1),), ((500, 290, 1),), ((10, 20, 6),), ((10, 700, 1),),
], ids=["nothing", "inside", "near", "a dot", "above"])  # fmt: skip
def test_what_is_of_the_drawing_or_does_not_widen_it_is_none(more):
    assert find_speck(drawing(*more)) is None


def test_dots_alone_are_a_drawing():
    ink = np.zeros((500, 500), bool)
    ink[10, ::100] = True
    assert find_speck(ink) is None


def test_many_small_dots_are_more_than_a_speck():
    ink = drawing()
    ink[::50, 20] = True
    assert find_speck(ink) is None


def test_the_picture_stage_and_the_print_tell_of_it(tmp_path):
    folder = tmp_path / "in"
    folder.mkdir()
    art = line_art(900, 600, (300, 40, 860, 560))
    art.putpixel((12, 9), 0)
    art.save(folder / "s.png")
    found = read_one(folder, "s.png", Role.STENCIL)
    assert codes(found) == ["image.speck"]
    assert "12 pixels from the left" in found.findings[0].problem
    assert any("12 pixels from the left" in sentence for sentence in read_marks(folder / "s.png").warnings)
    assert codes(read_one(folder, "s.png", Role.PHOTO)) == []
