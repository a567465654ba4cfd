"""Thin lines thickened: how wide they come out, that nothing else moves, and which gaps close by it."""

import numpy as np
import pytest
from PIL import Image, ImageDraw
from skimage.measure import LineModelND

from archgen.errors import UsageError
from archgen.stencils.stroke_width import GaugeLimits, look, measure
from archgen.stencils.thickening.lines import thicken
from archgen.stencils.thickening.picture import WIDTH_PX, draw_before_and_after
from tests.drawn_lines import line_field, marks_of

WIDTHS = np.random.default_rng(3).uniform(0.13, 0.6, 30)
LEAST_MM = 0.3
K = 24.0


@pytest.fixture(scope="module", params=[300, 600])
def grown(request):
    gray, k, truth = line_field(request.param, WIDTHS, seed=2, length_mm=7)
    marks = marks_of(gray)
    width_mm = marks.width_px / k
    return marks, k, truth, width_mm, thicken(marks, width_mm, LEAST_MM)


def lines_of(grown):
    """Give for each drawn line its width, and the points measured on it afterwards in mm of the drawing before."""
    marks, k, truth, width_mm, after = grown
    seen = look(after.marks, after.width_mm)
    mm = after.width_mm / seen.width_px
    # Where the old drawing begins in the new picture: it is the old box with a margin.
    was = marks_of(after.before).box
    per_mm = (was[2] - was[0]) / width_mm
    dx, dy = ((after.marks.box[side] - was[side]) / per_mm for side in (0, 1))
    x, y = seen.strokes.x * mm + dx, seen.strokes.y * mm + dy
    for true_x, true_y, width in truth:
        middle = (true_x - marks.box[0]) / k, (true_y - marks.box[1]) / k
        near = np.hypot(x - middle[0], y - middle[1]) < 3
        yield width, middle, np.stack([x[near], y[near]], axis=1), seen.strokes.width[near] * mm


def test_thin_lines_come_out_as_wide_as_asked_and_wide_ones_as_they_were(grown):
    for width, _, _, found in lines_of(grown):
        assert np.median(found) == pytest.approx(max(width, LEAST_MM + 0.012), abs=0.006)
        assert found.min() > min(width, LEAST_MM) - 0.02 or width > LEAST_MM


def test_centre_lines_stay_within_two_hundredths_of_a_millimetre(grown):
    """The middle of each drawn line lies so near to the straight line that scikit-image fits to what is measured."""
    for _, middle, points, _ in lines_of(grown):
        model = LineModelND.from_estimate(points)
        assert model
        assert model.residuals(np.array([middle]))[0] < 0.02
        assert model.residuals(points).max() < 0.02


def test_what_was_wide_enough_keeps_every_pixel(grown):
    marks, k, truth, _, after = grown
    was, now = np.asarray(after.before), np.asarray(after.marks.gray)
    box = marks_of(after.before).box
    per_px = (box[2] - box[0]) / marks.width_px
    for x, y, width in truth:
        at = [int((v - marks.box[i]) * per_px + box[i]) for i, v in enumerate((x, y))]
        reach = int(3 * k * per_px)
        part = np.s_[at[1] - reach : at[1] + reach, at[0] - reach : at[0] + reach]
        assert (was[part] == now[part]).all() == (width >= LEAST_MM)


def test_as_many_lines_are_counted_as_are_thinner_and_the_gauge_finds_none_after(grown):
    _, _, _, _, after = grown
    assert after.lines == (WIDTHS < LEAST_MM).sum()
    assert measure(after.marks, after.width_mm, GaugeLimits(stroke_mm=LEAST_MM)).thin_lines == 0


def test_the_scale_stays_when_an_outermost_line_grows(grown):
    marks, _, _, width_mm, after = grown
    was = marks_of(after.before).box
    assert after.width_mm / (after.marks.box[2] - after.marks.box[0]) == pytest.approx(width_mm / (was[2] - was[0]))
    assert after.width_mm > width_mm
    assert marks.gray.size != after.marks.gray.size


def drawn(draw, size=(960, 720), over=6):
    image = Image.new("L", (size[0] * over, size[1] * over), 255)
    draw(ImageDraw.Draw(image), over)
    marks = marks_of(image.reduce(over))
    return marks, marks.width_px / K


def test_gaps_that_would_close_are_named_and_others_not():
    def pairs(pen, over):
        for left, gap in ((200, 3), (500, 12)):
            for x in (left, left + 4 + gap):
                pen.rectangle((x * over, 200 * over, (x + 4) * over - 1, 500 * over), fill=0)
        pen.rectangle((60 * over, 60 * over, 900 * over, 72 * over), fill=0)

    marks, width_mm = drawn(pairs)
    after = thicken(marks, width_mm, 0.3)  # the lines are 4 px, 0.17 mm; 3.2 px more close a gap of 3
    (place,) = after.closing
    assert (after.lines, after.closing_count) == (4, 1)
    assert place.mm == pytest.approx(3 / K, abs=0.02)
    assert place.x_mm == pytest.approx((205.5 - marks.box[0]) / K, abs=0.1)
    picture = draw_before_and_after(after, 0.3)
    assert picture.width == WIDTH_PX
    assert (214, 120, 20) in {color for _, color in picture.getcolors(1 << 22)}


def test_lines_grow_through_their_crossings_and_a_wide_one_keeps_its_corners():
    def crossing(pen, over):
        pen.rectangle((100 * over, 300 * over, 800 * over, 304 * over - 1), fill=0)
        pen.rectangle((400 * over, 100 * over, 404 * over - 1, 600 * over), fill=0)
        pen.rectangle((850 * over, 100 * over, 880 * over, 650 * over), fill=0)

    marks, width_mm = drawn(crossing)
    after = thicken(marks, width_mm, 0.35)  # 8.4 px
    was = marks_of(after.before).box
    ink = np.asarray(after.marks.gray)[round(was[1]) :, round(was[0]) :] < 128
    assert ink[:490, 300 - 2 : 304 + 2].all()  # the upright line at its new width, through the crossing
    assert ink[:296, 750:780].all()
    assert not ink[:, 782:].any()
    assert not ink[560:, 735:748].any()


def test_dots_and_strokes_that_run_out_are_left():
    def strokes(pen, over):
        pen.polygon([(100 * over, 340 * over), (100 * over, 360 * over), (800 * over, 350 * over)], fill=0)
        pen.ellipse((400 * over, 500 * over, 404 * over, 504 * over), fill=0)

    marks, width_mm = drawn(strokes)
    after = thicken(marks, width_mm, 0.3)
    assert (after.lines, after.tapers, after.dots) == (0, 1, 1)
    assert np.array_equal(np.asarray(after.before), np.asarray(after.marks.gray))
    assert after.width_mm == pytest.approx(width_mm)


@pytest.mark.parametrize("least_mm", [0.01, 3.0])
def test_a_width_that_is_none_for_a_line_is_refused(least_mm):
    marks, width_mm = drawn(lambda pen, over: pen.rectangle((0, 0, 90 * over, 9 * over), fill=0))
    with pytest.raises(UsageError, match="can't be asked for"):
        thicken(marks, width_mm, least_mm)


def test_a_file_too_coarse_to_know_its_thin_lines_is_refused():
    gray, k, _ = line_field(100, WIDTHS, seed=2, length_mm=7)
    marks = marks_of(gray)
    with pytest.raises(UsageError, match="100 dots per inch at this size, too coarse"):
        thicken(marks, marks.width_px / k, 0.3)
