"""Where a copy lies: over the whole, cut out without a turn, or as it was found."""

from types import SimpleNamespace

import cv2
import numpy as np
import pytest

from archgen.twins.description.turns import IDENTITY, box_transform, turn_transform, turned_picture
from archgen.twins.naming import placing
from archgen.twins.naming.placing import _is_cut, _misfit, _simpler, _Slide, settle
from tests.unit.twins.pictures import kept, soft_noise

SCENE = soft_noise(72, 96)


def cut(left, top, columns, rows):
    """A part of the scene, and where it lies."""
    part = np.ascontiguousarray(SCENE[top : top + rows, left : left + columns])
    return part, box_transform(left / 96, top / 72, (left + columns) / 96, (top + rows) / 72)


@pytest.mark.parametrize(
    ("sizes", "is_cut"),
    [
        (((100, 80), (100, 80)), False),
        (((100, 80), (99, 80)), True),
        (((100, 80), (100, 79)), True),
        (((100, 80), (88, 80)), True),
        (((100, 80), (87, 80)), False),
        (((80, 100), (80, 88)), True),
        (((80, 100), (80, 87)), False),
        (((88, 80), (100, 80)), False),  # 12 of 88
        (((100, 80), (93, 88)), True),
    ],
)
def test_sizes_that_differ_by_an_eighth_at_most_are_a_cut(sizes, is_cut):
    assert _is_cut(sizes) is is_cut


@pytest.mark.parametrize(("height", "same"), [(299, True), (298, False)])
def test_a_size_is_the_other_one_scaled_up_to_a_pixel(height, same):
    # 400 x 300 against 400 x 299 is apart by 400, a pixel by the long side.
    assert placing._one_shape(((400, 300), (400, height))) is same
    assert placing._one_shape(((300, 400), (height, 400))) is same


def test_a_pixel_by_the_longest_side_is_rounded_away():
    assert placing._one_shape(((100, 81), (21, 16)))  # apart by 101
    assert not placing._one_shape(((400, 300), (399, 298)))  # by 500 of 400


# How badly a part fits.


def test_a_part_fits_where_it_was_cut_out_and_nowhere_else():
    part, place = cut(24, 18, 48, 36)
    assert _misfit(SCENE, part, place) == pytest.approx(0, abs=1e-6)
    assert _misfit(SCENE, part, box_transform(0.3, 0.25, 0.8, 0.75)) > 0.05
    assert _misfit(SCENE, SCENE, IDENTITY) == pytest.approx(0, abs=1e-6)
    assert _misfit(SCENE, 1 - SCENE, IDENTITY) == pytest.approx(2, abs=1e-6)


def test_a_smaller_copy_fits_over_the_whole():
    half = cv2.resize(SCENE, (48, 36), interpolation=cv2.INTER_AREA)
    assert _misfit(SCENE, half, IDENTITY) < 1e-3


def test_a_part_that_sticks_out_is_judged_by_what_is_seen():
    part, place = cut(0, 0, 60, 72)
    framed = np.pad(part, ((0, 0), (36, 0)), constant_values=1)
    assert _misfit(SCENE, framed, box_transform(-36 / 96, 0, 60 / 96, 1)) < 1e-3
    assert place[0, 0] == 60 / 96


@pytest.mark.parametrize(("seen", "misfit"), [(0.45, pytest.approx(0, abs=0.01)), (0.25, 1.0)])
def test_of_what_is_hardly_seen_nothing_is_said(seen, misfit):
    columns = round(96 * seen)
    part = np.pad(SCENE[:, :columns], ((0, 0), (96 - columns, 0)))
    assert _misfit(SCENE, np.ascontiguousarray(part), box_transform(seen - 1, 0, seen, 1)) == misfit


def test_a_part_with_more_pixels_is_made_as_coarse_as_it_is_shown():
    part, place = cut(24, 18, 48, 36)
    large = cv2.resize(part, (96, 72))
    assert placing._as_coarse(large, SCENE, place).shape == (36, 48)
    assert placing._as_coarse(part, SCENE, place) is part
    # Up to a quarter more it is left as it is.
    assert placing._as_coarse(cv2.resize(part, (58, 44)), SCENE, place).shape == (44, 58)
    assert placing._as_coarse(cv2.resize(part, (64, 48)), SCENE, place).shape == (36, 48)


# Sliding a part to its place.


def slide(part, off, *, scale=1.0, is_free=False, start=1.0, limit=1e-5):
    """Start at the right place but for `off` pixels across and down, and a scale that is wrong by `start`."""
    left, top = 21, 17
    shares = np.array([part.shape[1] / scale / 96, part.shape[0] / scale / 72])
    middle = np.array([left + part.shape[1] / scale / 2, top + part.shape[0] / scale / 2]) / (96, 72)
    sliding = _Slide(SCENE, part, (part.shape[1] / 96, part.shape[0] / 72), middle + np.array(off) / (96, 72))
    misfit, placed = sliding.settle(start / scale, limit, is_free=is_free)
    return misfit, placed, np.array([[shares[0], 0, left / 96], [0, shares[1], top / 72]])


@pytest.mark.parametrize("off", [(2, 0), (0, -2), (-1.5, 2)])
def test_a_part_slides_to_where_it_was_cut_out(off):
    misfit, placed, wanted = slide(cut(21, 17, 48, 36)[0], off)
    assert placed == pytest.approx(wanted, abs=5e-4)
    assert misfit < 1e-3


@pytest.mark.parametrize("start", [0.95, 1.06])
@pytest.mark.parametrize("off", [(0, 0), (1, -1.5)])
def test_a_part_of_another_size_finds_its_scale(start, off):
    part = cv2.resize(cut(21, 17, 48, 36)[0], (72, 54), interpolation=cv2.INTER_CUBIC)
    misfit, placed, wanted = slide(part, off, scale=1.5, is_free=True, start=start)
    assert placed == pytest.approx(wanted, abs=2e-3)
    assert misfit < 2e-3


def test_a_scale_that_is_not_free_stays():
    _, placed, wanted = slide(cut(21, 17, 48, 36)[0], (1, 1), start=1.02)
    assert placed[[0, 1], [0, 1]] == pytest.approx(wanted[[0, 1], [0, 1]] * 1.02)
    assert placed[[0, 1], [1, 0]].tolist() == [0, 0]


def test_a_part_slides_although_light_and_contrast_changed():
    dark = (0.5 * cut(21, 17, 48, 36)[0] + 0.1).astype(np.float32)
    _, placed, wanted = slide(dark, (2, -1))
    assert placed == pytest.approx(wanted, abs=1e-3)


def test_a_part_beyond_the_edge_slides_by_what_is_seen():
    part = np.pad(SCENE[:50, :60], ((0, 0), (12, 0)), mode="edge")
    sliding = _Slide(SCENE, part, (72 / 96, 50 / 72), np.array([(24 + 1.5) / 96, (25 - 1) / 72]))
    misfit, placed = sliding.settle(1.0, 1e-5, is_free=False)
    assert placed[:, 2] == pytest.approx((-12 / 96, 0), abs=3e-3)
    assert misfit < 3e-3


def test_what_lies_outside_does_not_slide():
    part = cut(21, 17, 48, 36)[0]
    misfit, placed = _Slide(SCENE, part, (0.5, 0.5), np.array([-0.2, 0.5])).settle(1.0, 1e-5, is_free=False)
    assert misfit == 1
    assert placed == pytest.approx(box_transform(-0.45, 0.25, 0.05, 0.75))


@pytest.fixture
def looks(monkeypatch):
    """Count how often a map was looked up."""
    counted, look = [], placing.look
    monkeypatch.setattr(placing, "look", lambda *args: counted.append(args) or look(*args))
    return counted


def test_what_stays_hopeless_is_given_up_after_three_looks(looks):
    part = cv2.GaussianBlur(cut(21, 17, 48, 36)[0], (0, 0), 2)
    for off, limit in (((5, 5), 1e-9), ((5, 5), 1.0)):
        looks.clear()
        slide(part, off, limit=limit)
        counts = len(looks)
        assert (counts == 3) is (limit < 1)


def test_a_step_that_gains_next_to_nothing_is_the_last(looks):
    slide(cut(21, 17, 48, 36)[0], (0, 0))
    assert len(looks) == 2


START = box_transform(0.25, 0.25, 0.75, 0.75)


def steps(monkeypatch, looks, correlations, *, limit=1.0):
    """Slide over steps that fit so well; give how often was looked, the misfit, and of which step it is."""
    found = iter(correlations)
    monkeypatch.setattr(placing, "Sums", lambda *_: SimpleNamespace(correlation=next(found), light=(1.0, 0.0)))
    part = cut(24, 18, 48, 36)[0]
    sliding = _Slide(SCENE, part, (0.5, 0.5), np.array([0.52, 0.5]))
    misfit, placed = sliding.settle(1.0, limit, is_free=False)
    tried = [args[2].tolist() for args in looks]
    return len(looks), misfit, tried.index(placed.tolist())


@pytest.mark.parametrize(
    ("correlations", "limit", "found"),
    [
        ([0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7], 1.0, (6, 5)),
        ([0.5, 0.5], 1.0, (2, 0)),  # no better: the one before
        ([0.5, 0.4], 1.0, (2, 0)),
        ([0.5, 0.509], 1.0, (2, 1)),  # less than a fiftieth of what is left
        ([0.5, 0.511, 0.511], 1.0, (3, 1)),
        ([0.9999, 0.999904], 1.0, (2, 1)),
        ([0.9999, 0.999906, 0.999906], 1.0, (3, 1)),
        ([0.1, 0.2, 0.3, 0.4], 0.15, (3, 2)),  # over four times the limit after the third look
        ([0.1, 0.2, 0.3, 0.4, 0.5, 0.6], 0.18, (6, 5)),
    ],
)
def test_another_step_must_be_worth_its_time(monkeypatch, looks, correlations, limit, found):
    counted, misfit, step = steps(monkeypatch, looks, correlations, limit=limit)
    assert (counted, step) == found
    assert misfit == pytest.approx(1 - correlations[step])


# The simplest place that fits as well.


@pytest.fixture
def chosen(monkeypatch):
    """Choose between places that fit so badly; what is slid from where stands in `asked`."""

    def choose(sizes, *, fit=0.01, over_all=1.0, cut=1.0, free=1.0, found=START):
        asked.clear()

        class Sliding:
            def __init__(self, _whole, _part, shares, middle):
                asked.append((shares, middle.tolist()))

            def settle(self, scale, limit, *, is_free):
                asked.append((round(scale, 6), limit, is_free))
                return (free, "free") if is_free else (cut, "cut")

        monkeypatch.setattr(placing, "_Slide", Sliding)
        monkeypatch.setattr(placing, "_misfit", lambda *given: over_all if given[2] is IDENTITY else fit)
        place = _simpler(SCENE, SCENE, sizes, found)
        return "whole" if place is IDENTITY else place

    asked = []
    choose.asked = asked
    return choose


SAME, HALF = ((100, 80), (100, 80)), ((200, 160), (100, 80))
NARROWER, STRETCHED = ((100, 80), (95, 76)), ((100, 80), (100, 60))
NEAR, FAR = box_transform(0.029, 0, 1, 1), box_transform(0.031, 0, 1, 1)
AS_GOOD, WHOLE_AS_GOOD, FREE_AS_GOOD = 1.2 * 0.01 + 3e-5, 1.4 * 0.01 + 3e-5, 1.03 * 0.01 + 3e-5


@pytest.mark.parametrize(
    ("sizes", "misfits", "place"),
    [
        # One size: the found place leans to what was edited.
        (SAME, {"over_all": WHOLE_AS_GOOD}, "whole"),
        (SAME, {"over_all": WHOLE_AS_GOOD + 1e-5, "cut": 0.0}, None),
        (SAME, {"over_all": 1e-5, "fit": 0.0}, "whole"),
        (SAME, {"free": FREE_AS_GOOD}, "free"),
        (SAME, {"free": FREE_AS_GOOD + 1e-5}, None),
        (SAME, {"free": 1e-5, "fit": 0.0}, "free"),
        # One shape.
        (HALF, {"over_all": AS_GOOD, "cut": 0.0}, "whole"),
        (HALF, {"over_all": 1e-5, "fit": 0.0}, "whole"),
        (HALF, {"over_all": AS_GOOD + 1e-5}, None),
        (HALF, {"cut": AS_GOOD}, "cut"),
        (HALF, {"cut": AS_GOOD + 1e-5, "free": 0.0}, "free"),
        (HALF, {"cut": 0.0, "found": box_transform(0.2, 0.2, 0.755, 0.755)}, "cut"),  # larger by 0.11
        (HALF, {"cut": 0.0, "found": box_transform(0.2, 0.2, 0.645, 0.645)}, "cut"),
        (HALF, {"cut": 0.0, "found": box_transform(0.2, 0.2, 0.765, 0.765)}, None),  # by 0.13
        (HALF, {"cut": 0.0, "found": box_transform(0.2, 0.2, 0.635, 0.635)}, None),
        # A few pixels fewer: a cut, if it fits better.
        (NARROWER, {"over_all": 0.008, "cut": 0.007, "found": NEAR}, "cut"),
        (NARROWER, {"over_all": 0.008, "cut": 0.008, "found": NEAR}, "whole"),
        (NARROWER, {"over_all": 0.008, "cut": 0.009, "found": NEAR}, "whole"),
        (NARROWER, {"over_all": 0.5, "cut": 0.009, "found": NEAR}, "cut"),
        # Another shape: over the whole only as well as what was found, and where edges are near.
        (STRETCHED, {"over_all": 0.01, "found": NEAR}, "whole"),
        (STRETCHED, {"over_all": 0.0101, "found": NEAR}, None),
        (STRETCHED, {"over_all": 0.0, "found": FAR}, None),
        (STRETCHED, {"cut": 0.0, "found": box_transform(0, 0.1, 1, 0.85)}, "cut"),
        # Not cut out of what is smaller.
        (((100, 80), (90, 85)), {"cut": 0.0, "found": box_transform(0, 0, 0.9, 1.06)}, None),
    ],
)
def test_the_simplest_place_that_fits_as_well_is_chosen(chosen, sizes, misfits, place):
    assert chosen(sizes, **misfits) == place


def test_a_part_is_slid_from_where_it_was_found(chosen):
    chosen(((200, 100), (80, 60)), found=box_transform(0.1, 0.2, 0.5, 0.8))
    start, cut, free = chosen.asked
    assert start == ((0.4, 0.6), pytest.approx([0.3, 0.5]))
    assert cut == (1, pytest.approx(AS_GOOD), False)
    assert free == (1, pytest.approx(AS_GOOD), True)
    chosen(((200, 100), (160, 60)), found=box_transform(0.1, 0.2, 0.9, 1.7))
    assert chosen.asked[-1][0] == pytest.approx(2.5**0.5, abs=1e-6)


SIZES = ((960, 720), (480, 360))


def simpler(part, sizes, found):
    return _simpler(SCENE, part, sizes, found)


def test_a_copy_over_the_whole_is_found_there():
    found = box_transform(0.01, 0.005, 1.008, 0.995)
    assert simpler(SCENE, ((960, 720), (960, 720)), found) is IDENTITY
    half = cv2.resize(SCENE, (48, 36), interpolation=cv2.INTER_AREA)
    assert simpler(half, SIZES, found) is IDENTITY


def test_a_stretched_copy_lies_over_the_whole_where_it_fits_better_than_what_was_found():
    wide = cv2.resize(SCENE, (96, 48), interpolation=cv2.INTER_AREA)
    assert simpler(wide, ((960, 720), (960, 480)), box_transform(0.01, 0.02, 1.01, 1.0)) is IDENTITY
    # Where the edges are further apart nothing is tried.
    assert simpler(wide, ((960, 720), (960, 480)), box_transform(0.04, 0.02, 1.01, 1.0)) is not IDENTITY


def test_a_cut_keeps_its_pixels():
    part, place = cut(24, 18, 48, 36)
    found = simpler(part, SIZES, box_transform(0.26, 0.24, 0.77, 0.76))
    assert found == pytest.approx(place, abs=2e-3)
    assert found[0, 0] == 0.5


def test_a_cut_by_a_few_pixels_is_not_the_whole_made_smaller():
    part, place = cut(2, 1, 94, 71)
    found = simpler(part, ((96, 72), (94, 71)), box_transform(0.015, 0.01, 1.0, 0.99))
    assert found == pytest.approx(place, abs=2e-3)


def test_a_part_made_larger_has_a_scale_of_its_own():
    part, place = cut(24, 18, 48, 36)
    large = cv2.resize(part, (96, 72), interpolation=cv2.INTER_CUBIC)
    found = simpler(large, ((960, 720), (960, 720)), box_transform(0.26, 0.24, 0.77, 0.76))
    assert found == pytest.approx(place, abs=4e-3)


def test_what_fits_nowhere_else_stays_as_it_was_found():
    lean = np.array([[0.6, 0.08, 0.15], [-0.08, 0.6, 0.25]])
    part = np.asarray(placing.look(SCENE, (43, 58), lean)[0])
    assert simpler(part, ((960, 720), (580, 430)), lean) is None


# Pictures.


def picture(map_, size=None):
    return kept(np.rint(map_ * 255), size)


def test_where_there_is_nothing_to_see_a_turn_stays():
    even = picture(np.full((40, 40), 0.5))
    assert settle(even, even, turn_transform(2)).turn == 2


@pytest.mark.parametrize("turn", [0, 1, 3, 6])
def test_a_turned_copy_lies_over_the_whole(turn):
    found = settle(picture(SCENE), picture(turned_picture(SCENE, turn)), turn_transform(turn) + 0.004)
    assert (found.turn, found.is_plain) == (turn, True)
    assert found.upright is IDENTITY


@pytest.mark.parametrize("is_swapped", [False, True])
@pytest.mark.parametrize("turn", [0, 1])
def test_a_turned_part_lies_where_it_was_cut_out(turn, is_swapped):
    part, place = cut(24, 18, 48, 36)
    if is_swapped:
        whole = picture(turned_picture(SCENE, turn))
        inside = np.array([[2, 0, -0.5], [0, 2, -0.5]])
        wanted, found = inside, settle(picture(part), whole, placing.compose(inside + 0.01, turn_transform(turn)))
    else:
        turned = picture(turned_picture(part, turn))
        wanted, found = place, settle(picture(SCENE), turned, placing.compose(place + 0.004, turn_transform(turn)))
    assert (found.turn, found.is_plain) == (turn, True)
    assert found.upright == pytest.approx(wanted, abs=0.01)


def test_what_leans_is_not_plain():
    lean = np.array([[0.6, 0.08, 0.15], [-0.08, 0.6, 0.25]])
    part = np.asarray(placing.look(SCENE, (43, 58), lean)[0])
    found = settle(picture(SCENE), picture(part), lean)
    assert (found.turn, found.is_plain) == (0, False)
    assert found.upright == pytest.approx(lean)


def test_art_that_fits_better_upright_was_not_turned():
    symmetric = SCENE + SCENE[::-1] + SCENE[:, ::-1] + SCENE[::-1, ::-1]
    marked = symmetric / symmetric.max()
    marked[4:10, 4:14] = 0
    found = settle(picture(marked), picture(marked), turn_transform(2))
    assert (found.turn, found.is_plain) == (0, True)
    assert found.upright is IDENTITY
    # One that was turned fits the turn better; and of another shape nothing can be said.
    assert settle(picture(marked), picture(turned_picture(marked, 2)), turn_transform(2)).turn == 2
    assert settle(picture(marked, (96, 72)), picture(marked, (96, 90)), turn_transform(2)).turn == 2


@pytest.mark.parametrize("turn", [1, 2, 3, 4, 7])
def test_the_sizes_of_a_turned_picture_are_those_upright(turn):
    part, place = cut(24, 18, 60, 45)
    turned = picture(turned_picture(part, turn))
    found = settle(picture(SCENE), turned, placing.compose(place + 0.008, turn_transform(turn)))
    # A cut keeps its pixels, which only the size upright can tell.
    assert found.upright[[0, 1], [0, 1]].tolist() == [0.625, 0.625]


def test_the_smaller_of_two_is_cut_out_of_the_larger_whichever_comes_first():
    part, _ = cut(24, 18, 60, 45)
    found = settle(picture(part), picture(SCENE), np.array([[1.6, 0, -0.41], [0, 1.6, -0.39]]))
    assert found.upright == pytest.approx(np.array([[1.6, 0, -0.4], [0, 1.6, -0.4]]), abs=5e-3)
    assert found.upright[[0, 1], [0, 1]] == pytest.approx([1.6, 1.6], abs=1e-12)
