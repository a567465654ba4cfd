"""How the edges of two pictures lie: what is a border, a cut, a move of the camera, a tilt."""

from types import SimpleNamespace

import numpy as np
import pytest

from archgen.twins.description.signature import PictureKind
from archgen.twins.description.turns import IDENTITY, box_transform
from archgen.twins.model import PictureBox
from archgen.twins.naming import edges
from archgen.twins.naming.alignment import Alignment
from archgen.twins.naming.edges import EdgePlace, Frame
from tests.unit.twins.pictures import kept

WIDE, TALL = SimpleNamespace(width=400, height=300), SimpleNamespace(width=300, height=400)
LARGE = SimpleNamespace(width=800, height=600)


# What a transform does to shapes.


def turned(degrees, longer=1.0, *, mirrored=False):
    angle = np.radians(degrees)
    spin = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    return spin @ np.diag([longer, 1.0]) @ np.diag([-1.0 if mirrored else 1.0, 1.0])


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize(("degrees", "angle"), [(0, 0), (3, 3), (93, 3), (-3, 87), (177, 87)])
def test_a_lean_is_told_up_to_quarters_of_a_turn(degrees, angle, mirrored):
    longer, shorter, found = edges._shape(turned(degrees, 1.25, mirrored=mirrored))
    assert (longer, shorter) == pytest.approx((1.25, 1))
    assert (found + 1e-9) % 90 == pytest.approx(angle, abs=1e-6)


def test_what_is_pressed_flat_has_no_side_of_nothing():
    assert edges._shape(np.array([[2.0, 0], [0, 0]]))[:2] == pytest.approx((2, 1e-6))


@pytest.mark.parametrize(("degrees", "lean"), [(3, 3), (-3, 3), (92, 2), (178, 2)])
def test_a_picture_leans_to_either_side(degrees, lean):
    square = SimpleNamespace(width=100, height=100)
    middle = np.array([[0.5], [0.5]]) - turned(degrees) @ [[0.5], [0.5]]
    frame = edges.frame_of(square, square, Alignment(0, np.hstack([turned(degrees), middle]), is_plain=False))
    assert frame.lean == pytest.approx(lean)
    assert frame.stretch == pytest.approx(0, abs=1e-9)


def test_how_far_edges_lie_apart_is_told_in_pixels_of_the_coarser_picture():
    cut = Alignment(0, box_transform(0.1, 0, 1, 1), is_plain=True)  # 40 of 400 columns
    for whole, part in ((WIDE, (360, 300)), (LARGE, (360, 300)), (WIDE, (720, 600))):
        part_size = SimpleNamespace(width=part[0], height=part[1])
        frame = edges.frame_of(whole, part_size, cut)
        assert frame.pixels == pytest.approx(40)
        assert (frame.b_in_a, frame.b_out, frame.stretch) == (PictureBox(0.1, 0, 1, 1), 0, pytest.approx(0))
        assert frame.a_out == pytest.approx(1 / 9)
        assert frame.a_in_b == PictureBox(0, 0, 1, 1)


def test_a_picture_beyond_the_first_is_told_in_pixels_too():
    below = Alignment(0, box_transform(0, 0.25, 1, 1.25), is_plain=True)
    frame = edges.frame_of(WIDE, WIDE, below)
    assert (frame.pixels, frame.b_out, frame.a_out) == (75, 0.25, 0.25)
    assert (frame.b_in_a, frame.a_in_b) == (PictureBox(0, 0.25, 1, 1), PictureBox(0, 0, 1, 0.75))
    assert edges.frame_of(LARGE, WIDE, below).pixels == 75
    assert edges.frame_of(WIDE, LARGE, below).pixels == 75


@pytest.mark.parametrize(
    ("box", "size", "pixels"),
    [
        ((0, 0, 1.2, 1), (480, 300), 80),
        ((0, -0.3, 1, 1), (400, 390), 90),
        ((0, 0, 1.2, 1), (240, 150), 40),
        ((0, -0.3, 1, 1), (200, 195), 45),
        ((0, 0, 1.2, 1), (960, 600), 80),
        ((0.2, 0, 1, 1), (320, 300), 80),
        ((0, 0.1, 1, 0.9), (400, 240), 30),
        ((0, 0.1, 1, 0.9), (200, 120), 15),
        ((0, 0.1, 1, 0.9), (800, 480), 30),
    ],
)
def test_only_the_way_in_which_a_picture_sticks_out_counts(box, size, pixels):
    other = SimpleNamespace(width=size[0], height=size[1])
    assert edges.frame_of(WIDE, other, Alignment(0, box_transform(*box), is_plain=True)).pixels == pytest.approx(pixels)


def test_a_box_is_told_to_a_hundredth_of_a_percent():
    box, across, down = edges._extent(box_transform(1 / 3, 0, 1, 2 / 3))
    assert box == PictureBox(0.3333, 0, 1, 0.6667)
    assert (across, down) == pytest.approx((0, 0))


def test_a_stretch_is_told_by_how_much_one_axis_is_longer():
    wider = Alignment(0, box_transform(0, 0, 1, 0.8), is_plain=True)
    assert edges.frame_of(WIDE, WIDE, wider).stretch == pytest.approx(0.25)


# How edges lie. Figures are those at which a copy becomes another kind of copy.


def place(*, b=WIDE, plain=True, a_out=0.0, b_out=0.0, pixels=40.0, lean=0.0, stretch=0.0, turn=0):
    """Judge edges of which so much was measured; around the smaller picture there is no border."""
    box = PictureBox(0, 0, 1, 1)
    frame = Frame(box, box, b_out, a_out, pixels, lean, stretch)
    return edges._place(WIDE, b, Alignment(turn, IDENTITY, plain), frame, PictureKind.PHOTO)


@pytest.fixture
def no_border(monkeypatch):
    monkeypatch.setattr(edges, "_is_framed", lambda *_: False)


@pytest.mark.parametrize(
    ("measured", "found"),
    [
        ({"lean": 1.7}, EdgePlace.SAME),
        ({"lean": 1.71}, EdgePlace.TILTED),
        ({"stretch": 0.0095}, EdgePlace.SAME),
        ({"stretch": 0.0096}, EdgePlace.TILTED),
    ],
)
def test_what_leans_or_is_slanted_is_tilted(measured, found):
    assert place(plain=False, **measured) is found
    assert place(plain=True, **measured) is EdgePlace.SAME


@pytest.mark.parametrize(
    ("measured", "found"),
    [
        ({"plain": True, "pixels": 1.6, "a_out": 0.05, "b_out": 0.02}, EdgePlace.SAME),
        ({"plain": True, "pixels": 1.7, "a_out": 0.05, "b_out": 0.02}, EdgePlace.MOVED),
        ({"plain": False, "pixels": 1.6, "a_out": 0.05, "b_out": 0.003}, EdgePlace.SAME),
        ({"plain": False, "pixels": 1.6, "a_out": 0.05, "b_out": 0.0031}, EdgePlace.MOVED),
        ({"plain": False, "pixels": 1.6, "a_out": 0.05, "b_out": 0.02, "b": LARGE}, EdgePlace.SAME),
        ({"plain": False, "pixels": 1.7, "a_out": 0.05, "b_out": 0.02, "b": LARGE}, EdgePlace.MOVED),
    ],
)
def test_edges_meet_that_are_apart_by_a_pixel_and_a_half(measured, found):
    assert place(**measured) is found


@pytest.mark.parametrize(
    ("measured", "found"),
    [
        ({"a_out": 0.0154, "b_out": 0.0004}, EdgePlace.SAME),  # smaller about its middle: other outlines
        ({"a_out": 0.0155, "b_out": 0.0004}, EdgePlace.TILTED),
        ({"a_out": 0.0004, "b_out": 0.0155}, EdgePlace.TILTED),
        ({"a_out": 0.0031, "b_out": 0.0005}, EdgePlace.MOVED),
        ({"a_out": 0.003, "b_out": 0.0005}, EdgePlace.SAME),
        ({"a_out": 0.0031, "b_out": 0.0, "plain": False}, EdgePlace.MOVED),
        ({"a_out": 0.003, "b_out": 0.0, "plain": False}, EdgePlace.SAME),
        ({"a_out": 0.0999, "b_out": 0.05}, EdgePlace.MOVED),
        ({"a_out": 0.1, "b_out": 0.05}, EdgePlace.TILTED),
        ({"a_out": 0.1, "b_out": 0.0}, EdgePlace.B_IN_A),
        ({"a_out": 0.02, "b_out": 0.0, "b": TALL, "turn": 1, "plain": False}, EdgePlace.MOVED),
        ({"a_out": 0.02, "b_out": 0.0, "b": TALL, "plain": False}, EdgePlace.B_IN_A),
    ],
)
@pytest.mark.usefixtures("no_border")
def test_of_two_pictures_of_one_size_none_is_cut_out_of_the_other(measured, found):
    assert place(**measured) is found


@pytest.mark.parametrize(
    ("measured", "found"),
    [
        ({"a_out": 0.014, "b_out": 0.003}, EdgePlace.B_IN_A),
        ({"a_out": 0.014, "b_out": 0.0031}, EdgePlace.MOVED),
        ({"a_out": 4 * 0.01 + 0.003, "b_out": 0.01}, EdgePlace.B_IN_A),
        ({"a_out": 0.0429, "b_out": 0.01}, EdgePlace.MOVED),
        ({"a_out": 0.051, "b_out": 0.01, "plain": False}, EdgePlace.MOVED),
        ({"a_out": 0.053, "b_out": 0.01, "plain": False}, EdgePlace.B_IN_A),
        ({"a_out": 0.0999, "b_out": 0.05}, EdgePlace.MOVED),
        ({"a_out": 0.1, "b_out": 0.05}, EdgePlace.TILTED),
        ({"a_out": 0.003}, EdgePlace.SAME),
        ({"a_out": 0.0031}, EdgePlace.B_IN_A),
        ({"b_out": 0.0031}, EdgePlace.A_IN_B),
        ({"b_out": 0.012, "plain": False}, EdgePlace.SAME),
        ({"b_out": 0.0121, "plain": False}, EdgePlace.A_IN_B),
    ],
)
@pytest.mark.usefixtures("no_border")
def test_of_two_sizes_one_is_a_part_unless_each_shows_what_the_other_lacks(measured, found):
    assert place(b=LARGE, **measured) is found


def test_the_larger_of_two_is_looked_at_for_a_border(monkeypatch):
    asked = []
    monkeypatch.setattr(edges, "_is_framed", lambda large, placed, _: asked.append((large, placed.tolist())) or True)
    box = PictureBox(0, 0, 1, 1)
    for transform, outs in ((box_transform(0.25, 0, 0.75, 1), (0, 0.5)), (box_transform(-0.5, 0, 1.5, 1), (0.5, 0))):
        alignment = Alignment(0, transform, is_plain=True)
        frame = Frame(box, box, *outs, 100, 0, 0)
        assert edges._place(WIDE, LARGE, alignment, frame, PictureKind.PHOTO) is EdgePlace.FRAMED
    placed = box_transform(0.25, 0, 0.75, 1).tolist()
    assert asked == [(WIDE, placed), (LARGE, placed)]


# Borders.


def test_a_screen_shows_a_picture_over_its_whole_width_with_room_above_and_below():
    def is_screen(left, right, top, bottom):
        return edges._is_screen(np.array([left, right]), np.array([top, bottom]))

    assert is_screen(0.0, 1.0, -0.5, 1.5)
    assert is_screen(-0.029, 1.029, -0.061, 1.061)
    assert not is_screen(-0.031, 1.0, -0.5, 1.5)
    assert not is_screen(0.0, 1.031, -0.5, 1.5)
    assert not is_screen(-0.03, 1.0, -0.5, 1.5)
    assert not is_screen(0.0, 1.0, -0.06, 1.5)
    assert not is_screen(0.0, 1.0, -0.5, 1.059)


@pytest.mark.parametrize(
    ("size", "box", "even"),
    [
        ((1000, 1000), (0.0147, 0.0147, 0.9853, 0.9853), True),
        ((1000, 1000), (0.0143, 0.0143, 0.9857, 0.9857), False),  # too narrow for a border
        ((1000, 1000), (0.0, 0.0147, 1.0, 0.9853), True),  # above and below only
        ((1000, 1000), (0.1, 0.1, 0.8925, 0.9), True),  # 7.5 pixels: by rounding
        ((1000, 1000), (0.1, 0.1, 0.8915, 0.9), False),  # 8.5 pixels
        ((1000, 1000), (0.1, 0.1, 0.9, 0.8915), False),
        ((1000, 1000), (0.1, 0.1085, 0.9, 0.9), False),
        ((1000, 400), (0.1, 0.25, 0.9, 0.7325), True),  # 7 pixels of 400, of a picture 1000 wide
        ((1000, 400), (0.1, 0.25, 0.9, 0.7275), False),  # 9 pixels
        ((1000, 500), (0.02, 0.04, 0.98, 0.96), True),  # 20 pixels all round
        ((1000, 500), (0.03, 0.03, 0.97, 0.97), False),  # the same share: a cut
        ((1000, 960), (0.1, 0.1, 0.9, 0.9), True),  # sides too much alike to tell
        ((1000, 940), (0.1, 0.1, 0.9, 0.9), False),
        ((1000, 500), (0.2, 0.15, 0.8, 0.85), True),  # neither: a mat
        ((1000, 500), (0.2, 0.165, 0.8, 0.835), False),
    ],
)
def test_a_border_is_as_wide_on_opposite_sides_and_in_pixels_rather_than_in_shares(size, box, even):
    large = SimpleNamespace(width=size[0], height=size[1])
    assert edges._is_even(box_transform(*box), large) is even


RNG = np.random.default_rng(7)
BOX = box_transform(0.25, 0.25, 0.75, 0.75)


def bordered(level=0.0, *, other=0, noise=0.0, side=96, marks=0):
    """A square picture with its middle half full of detail, `other` of its border pixels of another colour."""
    gray = np.full((side, side), level)
    around = np.ones((side, side), bool)
    quarter = side // 4
    around[quarter:-quarter, quarter:-quarter] = False
    flat = np.flatnonzero(around)
    gray.ravel()[flat[:other]] = level + 0.5 if level < 0.5 else level - 0.5
    gray.ravel()[flat[-marks - 1 : -1]] = 0
    gray[~around] = RNG.uniform(0, 1, (~around).sum())
    return kept(np.clip(gray * 255 + noise, 0, 255).round())


@pytest.mark.parametrize(("other", "framed"), [(1679, True), (1680, False)])
def test_a_border_has_one_colour_for_three_quarters(other, framed):
    around = 96 * 96 - 50 * 50  # a pixel all round, which the edge goes through, does not count
    assert around / 4 == 1679
    assert edges._is_framed(bordered(other=other), BOX, PictureKind.PHOTO) is framed


@pytest.mark.parametrize(("step", "framed"), [(12, True), (14, False)])
def test_a_border_has_one_colour_up_to_a_twentieth(step, framed):
    noise = np.where(RNG.uniform(0, 1, (96, 96)) < 0.4, step, 0)
    assert edges._is_framed(bordered(0.2, noise=noise), BOX, PictureKind.PHOTO) is framed


def columns(left, right, of=96):
    return [k for k in range(of) if k < left or k >= right]


@pytest.mark.parametrize(
    ("box", "across", "down"),
    [
        ((0.25, 0.5, 0.75, 1), columns(23, 73), columns(23, 48, 48)),
        ((24.45 / 96, 0, 71.55 / 96, 1), columns(24, 72), []),  # the edge goes through two pixels
        ((24.75 / 96, 0, 71.25 / 96, 1), columns(24, 72), []),
        ((0.2, 0, 1.5, 1), columns(18, 96), []),  # the error grows with the picture,
    ],
)
def test_pixels_that_an_edge_goes_through_are_no_border(box, across, down):
    outside, u, v = edges._outside(box_transform(*box), (48, 96))
    beside, above = np.isin(np.arange(96), across), np.isin(np.arange(48), down)
    assert np.array_equal(outside, beside[None] | above[:, None])
    (left, top, right, bottom) = box
    assert u[0, 10] == pytest.approx((10.5 / 96 - left) / (right - left), abs=1e-5)
    assert v[40, 10] == pytest.approx((40.5 / 48 - top) / (bottom - top), abs=1e-5)


def test_a_leaning_edge_goes_through_more_pixels():
    lean = np.array([[0.5, 0.5, 0.0], [-0.5, 0.5, 0.5]])  # a square on its corner
    outside, u, v = edges._outside(lean, (100, 100))
    x, y = np.meshgrid((np.arange(100) + 0.5) / 100, (np.arange(100) + 0.5) / 100)
    assert u == pytest.approx(x - y + 0.5, abs=1e-5)
    assert v == pytest.approx(x + y - 0.5, abs=1e-5)
    reach = 0.01 + 0.003  # half a pixel across and half a pixel down, and the error
    assert np.array_equal(outside, np.maximum(np.abs(u - 0.5), np.abs(v - 0.5)) > 0.5 + reach)


def test_a_picture_over_the_whole_has_no_border():
    assert not edges._is_framed(bordered(), IDENTITY, PictureKind.PHOTO)


def test_a_cut_out_part_has_no_border():
    assert not edges._is_framed(kept(RNG.uniform(0, 255, (96, 96))), BOX, PictureKind.PHOTO)


@pytest.mark.parametrize("sides", [(0.25, 0.25, 0.75, 0.85), (0.2, 0.25, 0.75, 0.75)])
def test_an_uneven_border_of_one_colour_is_a_cut(sides):
    assert not edges._is_framed(kept(np.zeros((96, 96))), box_transform(*sides), PictureKind.PHOTO)


@pytest.mark.parametrize(
    ("level", "marks", "kind", "framed"),
    [
        (1.0, 0, PictureKind.LINE, True),
        (1.0, 400, PictureKind.LINE, False),  # lines of the drawing outside: cut off
        (1.0, 3, PictureKind.LINE, True),  # specks
        (1.0, 400, PictureKind.PHOTO, True),
        (0.55, 400, PictureKind.LINE, False),
        (0.45, 400, PictureKind.LINE, True),  # too dark for paper
    ],
)
def test_paper_around_a_drawing_is_a_border_only_where_nothing_is_drawn_on_it(level, marks, kind, framed):
    assert edges._is_framed(bordered(level, marks=marks), BOX, kind) is framed


@pytest.mark.parametrize(("marks", "framed"), [(0.004, True), (0.009, False)])
def test_a_speck_of_ink_outside_is_no_cut(marks, framed):
    gray = np.full((96, 96), 255.0)
    gray[36:60, 36:60] = 0  # 576 pixels of ink
    gray[4, 4 : 4 + round(576 * marks)] = 0
    assert edges._is_framed(kept(gray), BOX, PictureKind.LINE) is framed


def test_buttons_above_and_below_a_drawing_on_a_screen_are_no_cut():
    gray = np.full((96, 48), 255.0)
    gray[24:72] = RNG.uniform(0, 255, (48, 48))
    gray[2:8, 4:44] = gray[88:94, 4:44] = 0
    assert edges._is_framed(kept(gray), box_transform(0, 0.25, 1, 0.75), PictureKind.LINE)
