"""Where two pictures lie on each other, and how their maps come to one grid."""

from types import SimpleNamespace

import numpy as np
import pytest

from archgen.twins.description.turns import IDENTITY, TURNS, box_transform, inverse, turned_picture
from archgen.twins.naming.alignment import (
    Alignment,
    brought_upright,
    edges_apart,
    ends,
    in_pixels,
    is_one_size,
    laid,
    look,
    magnification,
    scale_of,
    sides_of,
    small,
)
from tests.unit.twins.pictures import kept, soft_noise

NOISE = soft_noise(40, 60)


def ramp(rows, columns):
    """Gray that says where it is: each pixel is its place across, plus ten times its place down."""
    x, y = (np.arange(columns) + 0.5) / columns, (np.arange(rows) + 0.5) / rows
    return (x + 10 * y[:, None]).astype(np.float32)


def of_size(width, height):
    return SimpleNamespace(width=width, height=height)


@pytest.mark.parametrize("turn", TURNS)
def test_a_map_is_brought_upright_from_every_turn(turn):
    assert np.array_equal(brought_upright(turned_picture(NOISE, turn), turn), NOISE)


def test_points_of_a_turned_picture_are_brought_upright_before_they_are_laid():
    # A quarter clockwise: its top left corner was the bottom left one.
    placed = Alignment(1, box_transform(0.5, 0, 1, 0.5), is_plain=True).transform
    assert placed @ [0, 0, 1] == pytest.approx((0.5, 0.5))
    assert placed @ [1, 0, 1] == pytest.approx((0.5, 0))


@pytest.mark.parametrize("turn", TURNS)
def test_a_quarter_turn_has_the_width_for_height(turn):
    lies = turn in {1, 3, 5, 7}
    assert is_one_size(of_size(400, 300), of_size(300, 400), turn) is lies
    assert is_one_size(of_size(400, 300), of_size(400, 300), turn) is not lies
    assert not is_one_size(of_size(400, 300), of_size(400, 301), turn)


def test_a_scale_is_told_in_pixels():
    half = Alignment(0, box_transform(0.25, 0.25, 0.75, 0.75), is_plain=True)
    assert scale_of(of_size(400, 300), of_size(100, 75), half) == pytest.approx(2)
    assert scale_of(of_size(400, 300), of_size(400, 75), half) == pytest.approx(1)  # by 0.5 and by 2


def test_a_transform_is_turned_into_pixels_of_both_pictures():
    found = in_pixels(np.array([[0.2, 0.3, 9], [0.5, 0.7, 9]]), (100, 50), (20, 25))
    assert found == pytest.approx(np.array([[1, 1.2], [1.25, 1.4]]))


@pytest.mark.parametrize(("linear", "by"), [([[3, 1], [1, 2]], 5**0.5), ([[0, 2], [-2, 0]], 2), ([[0, 2], [2, 0]], 2)])
def test_what_a_transform_does_to_areas_is_its_magnification(linear, by):
    assert magnification(np.array(linear, float)) == pytest.approx(by)


@pytest.mark.parametrize(
    ("transform", "across", "down", "apart"),
    [
        (box_transform(0, 0, 1, 1), (0, 1), (0, 1), 0),
        (box_transform(0.1, 0.2, 0.95, 0.7), (0.1, 0.95), (0.2, 0.7), 0.3),
        (np.array([[1, 0.2, -0.4], [-0.3, 0.5, 0.3]]), (-0.4, 0.8), (0, 0.8), 0.4),
        (np.array([[-0.9, 0, 0.9], [0, -1, 1.25]]), (0, 0.9), (0.25, 1.25), 0.25),
    ],
)
def test_the_ends_of_a_picture_are_those_of_its_corners(transform, across, down, apart):
    assert np.array(ends(transform)) == pytest.approx(np.array([across, down]))
    assert edges_apart(transform) == pytest.approx(apart)


@pytest.mark.parametrize(
    ("shape", "factor", "sides"),
    [((40, 60), 0.5, (30, 20)), ((40, 60), 0.2, (12, 8)), ((40, 60), 0.1, (8, 8)), ((60, 40), 0.1, (8, 8))],
)
def test_no_side_of_a_map_gets_narrower_than_eight(shape, factor, sides):
    assert sides_of(shape, factor) == sides


def test_places_are_tried_on_maps_of_ninety_six_pixels():
    assert small(kept(np.full((128, 256), 255))).shape == (48, 96)
    assert small(kept(np.full((256, 64), 255))).shape == (96, 24)
    as_it_is = np.arange(60 * 50).reshape(50, 60) % 256
    assert small(kept(as_it_is)) == pytest.approx(as_it_is / 255)


def test_a_look_over_the_whole_is_the_map_itself():
    seen, inside = look(NOISE, NOISE.shape, IDENTITY)
    assert seen is NOISE
    assert inside.min() == 1
    again, inside = look(NOISE, NOISE.shape, IDENTITY.copy())
    assert again == pytest.approx(NOISE, abs=1e-5)
    assert inside.min() == 1


@pytest.mark.parametrize("transform", [IDENTITY, box_transform(0.25, 0.5, 0.75, 1), box_transform(0.1, 0.2, 0.7, 0.9)])
@pytest.mark.parametrize("shape", [(40, 60), (30, 50)])
def test_a_part_is_looked_up_where_it_lies(transform, shape):
    seen, inside = look(ramp(60, 90), shape, transform)
    x, y = (np.arange(shape[1]) + 0.5) / shape[1], (np.arange(shape[0]) + 0.5) / shape[0]
    (scale_x, _, left), (_, scale_y, top) = transform
    wanted = left + scale_x * x + 10 * (top + scale_y * y[:, None])
    assert seen[1:-1, 1:-1] == pytest.approx(wanted[1:-1, 1:-1], abs=0.02)
    assert inside[1:-1, 1:-1].min() == 1


def test_nothing_is_seen_beyond_the_edge():
    seen, inside = look(np.full((40, 60), 0.7, np.float32), (40, 60), box_transform(-0.5, 0, 0.5, 1))
    assert (inside[:, :30].max(), inside[:, 30:].min()) == (0, 1)
    assert (seen[:, :30].max(), seen[:, 30:].min()) == pytest.approx((0, 0.7))


def test_fine_lines_do_not_fall_between_the_pixels_of_a_smaller_grid():
    lines = np.tile(np.float32([0, 0, 0, 1]), (48, 12))
    # At two thirds of the size each pixel has the share of the line that falls into it.
    two_thirds = [0, 0, 2 / 3, 0, 1 / 3, 1 / 3, 0, 2 / 3]
    assert look(lines, (32, 32), IDENTITY)[0][0] == pytest.approx(np.tile(two_thirds, 4), abs=1e-5)
    # At five sixths it is looked up at points.
    assert look(lines, (40, 40), IDENTITY)[0].max() == pytest.approx(0.9, abs=1e-5)


def test_two_maps_meet_on_the_grid_of_the_coarser():
    fine, coarse = ramp(60, 90), ramp(20, 30)
    one, two, inside = laid(fine, coarse, IDENTITY)
    assert two is coarse
    assert (one.shape, inside.min()) == (coarse.shape, 1)
    assert one == pytest.approx(coarse, abs=0.1)
    one, two, inside = laid(coarse, fine, IDENTITY)
    assert one is coarse
    assert two == pytest.approx(coarse, abs=0.1)
    # A quarter of the fine one has still more pixels than the coarse one; a tenth has fewer.
    part = box_transform(0.5, 0.5, 1, 1)
    assert laid(fine, coarse, part)[0].shape == coarse.shape
    assert laid(fine, coarse, box_transform(0, 0, 0.1, 0.1))[0].shape == fine.shape


def test_maps_that_lie_over_each_other_are_left_as_they_are():
    one, two, inside = laid(NOISE, NOISE, IDENTITY)
    assert (one is NOISE, two is NOISE, inside) == (True, True, None)
    moved = laid(NOISE, NOISE, box_transform(0.25, 0, 1.25, 1))
    assert moved[1] is NOISE
    assert moved[0][:, :40] == pytest.approx(NOISE[:, 15:55], abs=1e-4)
    assert moved[2][:, -10:].max() == 0


def test_the_coarser_map_sees_the_other_through_the_transform_reversed():
    part = box_transform(0.5, 0.25, 1, 0.75)
    coarse = ramp(20, 30)
    cut = 0.5 + 0.5 * ramp(60, 90) % 1
    seen = laid(coarse, cut.astype(np.float32), part)[1]
    assert seen[5:15, 15:] == pytest.approx(look(cut.astype(np.float32), coarse.shape, inverse(part))[0][5:15, 15:])
