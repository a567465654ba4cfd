"""What changed between two drawings, against drawings whose changes are known because they were drawn so."""

import numpy as np
import pytest
from PIL import Image, ImageDraw

from archgen.stencils.versions.changes import ADDED, KEPT, TAKEN, compare_drawings

# Twenty dots to the millimetre: 30 x 40 mm.
PX, WIDE, HIGH = 20, 600, 800
ROWS = tuple(range(100, 760, 60))


def drawn(rows=ROWS, weight=6, moved=None, circle=True):
    """A frame that never changes, level lines 20 mm long 3 mm apart, a ring."""
    picture = Image.new("L", (WIDE, HIGH), 255)
    pen = ImageDraw.Draw(picture)
    pen.rectangle((0, 0, WIDE - 1, HIGH - 1), outline=0, width=6)
    for row in rows:
        y = row + (moved or {}).get(row, 0)
        pen.line((100, y, 500, y), fill=0, width=weight)
    if circle:
        pen.ellipse((30, 20, 80, 70), outline=0, width=6)
    return picture


def compared(first, second, widths=(30.0, 30.0), shift=(0.0, 0.0)):
    return compare_drawings(first, second, widths, shift)


def test_the_same_drawing_has_no_changes():
    found = compared(drawn(), drawn()).changes
    assert found.first_mm == pytest.approx(2 * 30 + 2 * 40 + 20 * len(ROWS) + 7.5, rel=0.05)
    assert found.taken_out_mm == found.put_in_mm == found.moved_mm == found.thicker_mm == found.thinner_mm == 0
    assert found.kept_share == 1


def test_thicker_lines_are_told_with_how_much():
    found = compared(drawn(weight=6), drawn(weight=10)).changes
    assert found.thicker_mm == pytest.approx(20 * len(ROWS), rel=0.05)
    assert found.thicker_by_mm == pytest.approx(0.2, abs=0.03)
    assert found.thinner_mm == found.taken_out_mm == found.moved_mm == 0
    back = compared(drawn(weight=10), drawn(weight=6)).changes
    assert back.thinner_mm == pytest.approx(20 * len(ROWS), rel=0.05)
    assert back.thinner_by_mm == pytest.approx(0.2, abs=0.03)
    assert back.thicker_mm == 0


def test_a_change_of_width_that_cannot_be_told_is_not_told():
    assert compared(drawn(weight=6), drawn(weight=7)).changes.thicker_mm == 0


@pytest.mark.parametrize("gone", [ROWS[5:6], ROWS[:3]])
def test_lines_taken_out_and_put_in_are_counted_by_their_length(gone):
    left = tuple(row for row in ROWS if row not in gone)
    out, put = compared(drawn(), drawn(left)).changes, compared(drawn(left), drawn()).changes
    assert out.taken_out_mm == pytest.approx(20 * len(gone), rel=0.05)
    assert put.put_in_mm == pytest.approx(20 * len(gone), rel=0.05)
    assert out.put_in_mm == out.moved_mm == put.taken_out_mm == put.moved_mm == 0


def test_a_line_that_moved_is_neither_taken_out_nor_put_in():
    found = compared(drawn(), drawn(moved={ROWS[4]: 12})).changes
    assert found.moved_mm == pytest.approx(20, rel=0.05)
    assert found.moved_by_mm == pytest.approx(0.6, abs=0.05)
    assert found.taken_out_mm == found.put_in_mm == 0
    # Further than a millimetre it is another line.
    far = compared(drawn(), drawn(moved={ROWS[4]: 26})).changes
    assert (far.taken_out_mm, far.put_in_mm) == pytest.approx((20, 20), rel=0.05)
    assert far.moved_mm == 0


def test_one_of_two_near_lines_was_taken_out_and_did_not_move_onto_the_other():
    near = (*ROWS, ROWS[4] + 14)
    found = compared(drawn(near), drawn()).changes
    assert found.taken_out_mm == pytest.approx(20, rel=0.05)
    assert found.moved_mm == 0


def test_a_line_that_was_blacked_in_was_not_taken_out():
    second = drawn()
    ImageDraw.Draw(second).rectangle((90, ROWS[3] - 80, 510, ROWS[3] + 80), fill=0)
    found = compared(drawn(), second).changes
    assert found.taken_out_mm == pytest.approx(0, abs=0.5)


def test_in_a_large_drawing_small_changes_of_width_cannot_be_told():
    small = drawn().reduce(4)
    large = compared(small, small, widths=(300.0, 300.0)).changes
    assert large.told_from_mm == pytest.approx(0.8 / (1500 / 400))
    assert compared(drawn(), drawn()).changes.told_from_mm == 0.06


def test_the_second_is_pulled_onto_the_first_from_a_rough_place():
    part = drawn().crop((0, 0, WIDE, 500))
    found = compared(drawn(), part, shift=(0.25, -0.2))
    assert found.shift_mm == pytest.approx((0, 0), abs=0.03)
    assert found.changes.kept_share > 0.95
    lower = drawn().crop((0, 300, WIDE, HIGH))
    assert compared(drawn(), lower, shift=(0.1, 14.8)).shift_mm == pytest.approx((0, 15), abs=0.03)


def test_a_drawing_without_lines_has_none_in_common():
    blank = Image.new("L", (WIDE, HIGH), 255)
    found = compared(drawn(), blank).changes
    assert found.kept_share == 0
    assert found.taken_out_mm == found.first_mm > 0
    assert compared(blank, drawn()).changes.put_in_mm > 0


def color_at(picture, x_mm, y_mm):
    """The ink of the line nearest to a place: the median of what isn't paper there."""
    scale = (picture.width - 24) / (WIDE / PX)
    x, y = 12 + x_mm * scale, 12 + y_mm * scale
    around = np.asarray(picture.crop((int(x - 6), int(y - 6), int(x + 6), int(y + 6)))).reshape(-1, 3)
    inked = around[around.min(axis=1) < 215]
    return tuple(np.median(inked, axis=0).astype(int)) if len(inked) else None


def test_the_picture_shows_in_two_inks_what_was_taken_away_and_what_was_added():
    first = drawn(tuple(row for row in ROWS if row != ROWS[2]))
    second = drawn(tuple(row for row in ROWS if row != ROWS[6]), moved={ROWS[8]: 14})
    ImageDraw.Draw(second).rectangle((100, ROWS[9] - 2, 500, ROWS[9] + 12), fill=0)
    picture = compared(first, second).picture
    seen = {row: color_at(picture, 15, ROWS[row] / PX) for row in (0, 2, 6)}
    near = {"kept": KEPT, "added": ADDED, "taken": TAKEN}
    named = {
        row: min(near, key=lambda name: np.abs(np.subtract(near[name], color)).sum()) for row, color in seen.items()
    }
    assert named == {0: "kept", 2: "added", 6: "taken"}
    moved = [color_at(picture, 15, (ROWS[8] + by) / PX) for by in (0, 14)]
    assert moved == [pytest.approx(TAKEN, abs=40), pytest.approx(ADDED, abs=40)]


def test_what_is_filled_in_is_added_though_it_is_no_line():
    second = drawn()
    ImageDraw.Draw(second).rectangle((150, ROWS[2] + 8, 450, ROWS[9] - 8), fill=0)
    picture = compared(drawn(ROWS[:2] + ROWS[10:]), second).picture
    assert color_at(picture, 15, 20) == pytest.approx(ADDED, abs=20)
