"""How finely a file shows a stencil: dots, steps, blocks; coarse files are judged rightly or not at all."""

import numpy as np
import pytest
from PIL import Image

from archgen.stencils.resolution import block_px, is_stepped
from archgen.stencils.stroke_width import GaugeLimits, measure
from tests.drawn_lines import line_field, marks_of

LIMITS = GaugeLimits(stroke_mm=0.3, gap_mm=0.3)
WIDTHS = np.random.default_rng(11).uniform(0.12, 0.6, 40)


def field(dpi, *, one_bit=False):
    gray, k, truth = line_field(dpi, WIDTHS, seed=6, length_mm=7)
    return (np.where(gray >= 128, 255, 0).astype(np.uint8) if one_bit else gray), k, truth


@pytest.mark.parametrize("one_bit", [False, True])
@pytest.mark.parametrize("dpi", [75, 100, 150, 200, 254, 300, 400])
def test_lines_are_judged_rightly_or_not_at_all(dpi, one_bit):
    """What is missed or flagged wrongly is finer than the file is said to show, or within a dot of the limit."""
    gray, k, truth = field(dpi, one_bit=one_bit)
    marks = marks_of(gray)
    gauge = measure(marks, marks.width_px / k, LIMITS)
    assert gauge.dots.per_inch == pytest.approx(dpi)
    assert (gauge.thin_lines is None) == (dpi < (297 if one_bit else 212))
    if gauge.thin_lines is None:
        assert (gauge.thin, gauge.readable_from_mm) == ((), None)
        return
    wrong = [
        width
        for x, y, width in truth
        if (width < 0.3)
        != any(np.hypot(p.x_mm * k - x + marks.box[0], p.y_mm * k - y + marks.box[1]) < 4.5 * k for p in gauge.thin)
    ]
    known_to = gauge.dots.mm if one_bit else 0.01
    assert [w for w in wrong if w > gauge.dots.seen_from_mm and abs(w - 0.3) > known_to] == []


def test_a_picture_enlarged_dot_by_dot_tells_no_more_than_before():
    gray, k, _ = field(200)
    plain = marks_of(gray)
    large = marks_of(Image.fromarray(gray).resize((gray.shape[1] * 4, gray.shape[0] * 4), Image.Resampling.NEAREST))
    before, after = (measure(marks, plain.width_px / k, LIMITS) for marks in (plain, large))
    assert after.dots.per_inch == pytest.approx(200, abs=1)
    assert after.thin_lines is before.thin_lines is None


def test_a_drawing_cut_to_black_and_white_and_saved_in_grays_is_known_by_its_edges():
    gray, _, _ = field(300, one_bit=True)
    nearly = np.clip(gray.astype(int) + np.random.default_rng(2).integers(-12, 12, gray.shape), 0, 255)
    assert is_stepped(nearly.astype(np.uint8))
    assert not is_stepped(field(300)[0])


def test_blocks_are_found_whatever_their_side_and_only_where_there_are_some():
    gray, _, _ = field(100)
    for side in (2, 3, 7):
        assert block_px(np.kron(gray, np.ones((side, side), np.uint8))) == side
    assert block_px(gray) == 1
    assert block_px(np.pad(np.kron(gray, np.ones((3, 3), np.uint8)), ((1, 2), (1, 2)), constant_values=255)) == 1
    assert block_px(np.full((90, 90), 255, np.uint8)) == 1
