"""Stencils on sheets: nothing leaves the room, nothing overlaps, tiles cover everything."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archgen.errors import UsageError
from archgen.printing.layout import LayoutItem, Tile, lay_out
from archgen.printing.page import CUTTING_GAP_MM, OVERLAP_MM, Rect

AREA = Rect(14, 18, 191, 259)


def overlap(one, two):
    return one.left < two.right and two.left < one.right and one.top < two.bottom and two.top < one.bottom


def inside(area, box):
    slack = 1e-6
    return box.left >= area.left - slack and box.right <= area.right + slack and (
        box.top >= area.top - slack and box.bottom <= area.bottom + slack
    )  # fmt: skip


def test_one_stencil_is_centred():
    (page,) = lay_out(AREA, [LayoutItem(Rect(0, 0, 60, 90))])
    (placed,) = page.placements
    assert placed.x + 30 == pytest.approx(AREA.left + AREA.width / 2)
    assert placed.y + 45 == pytest.approx(AREA.top + AREA.height / 2)
    assert page.cuts == ()


def test_as_many_copies_as_fit_fill_one_sheet_and_one_more_needs_a_second():
    (page,) = lay_out(AREA, [LayoutItem(Rect(0, 0, 40, 38), None)])
    count = len(page.placements)
    assert count == 4 * 5  # (191 + 8) // 48 across, (259 + 8) // 46 down
    assert len(lay_out(AREA, [LayoutItem(Rect(0, 0, 40, 38), count + 1)])) == 2


@given(
    st.lists(st.tuples(st.floats(5, 500), st.floats(5, 700)), min_size=1, max_size=4),
    st.integers(1, 12),
)
def test_everything_stays_inside_and_apart(sizes, copies):
    fits = all(width <= AREA.width and height + 5 <= AREA.height for width, height in sizes)
    items = [LayoutItem(Rect(0, 0, width, height), copies if fits else 1) for width, height in sizes]
    placed = 0
    for page in lay_out(AREA, items):
        boxes = [one.box for one in page.placements]
        assert all(inside(AREA, box) for box in boxes)
        assert not any(overlap(one, two) for i, one in enumerate(boxes) for two in boxes[:i])
        for x1, y1, x2, y2 in page.cuts:
            cut = Rect(min(x1, x2), min(y1, y2), abs(x2 - x1), abs(y2 - y1))
            assert not any(overlap(Rect(cut.left, cut.top, cut.width + 1e-9, cut.height + 1e-9), box) for box in boxes)
        placed += len(boxes) if page.tile is None else 0
    if fits:
        assert placed == copies * len(sizes)


def test_copies_are_parted_by_the_cutting_gap():
    (page,) = lay_out(AREA, [LayoutItem(Rect(0, 0, 60, 90), 2)])
    one, two = page.placements
    assert two.x - one.box.right == pytest.approx(CUTTING_GAP_MM)
    assert page.cuts[0][0] == pytest.approx(one.box.right + CUTTING_GAP_MM / 2)


@given(st.floats(192, 900), st.floats(20, 900))
def test_tiles_cover_the_drawing_overlap_evenly_and_see_each_cross_twice(width, height):
    pages = lay_out(AREA, [LayoutItem(Rect(0, 0, width, height))])
    windows = [page.placements[0].window for page in pages]
    assert min(window.left for window in windows) == 0
    assert max(window.right for window in windows) == pytest.approx(width)
    assert max(window.bottom for window in windows) == pytest.approx(height)
    rows, columns = pages[0].tile.rows, pages[0].tile.columns
    assert len(pages) == rows * columns
    for left, right in pairwise(windows[:columns]):
        assert left.right - right.left == pytest.approx(OVERLAP_MM)
    seen: dict = {}
    for page in pages:
        (placed,) = page.placements
        for x, y in page.crosses:
            spot = round(x - placed.x + placed.window.left, 3), round(y - placed.y + placed.window.top, 3)
            seen[spot] = seen.get(spot, 0) + 1
    assert seen
    assert min(seen.values()) >= 2


def test_tiles_are_counted_from_the_upper_left():
    pages = lay_out(AREA, [LayoutItem(Rect(0, 0, 300, 400))])
    assert [page.tile for page in pages] == [Tile(1, 1, 2, 2), Tile(1, 2, 2, 2), Tile(2, 1, 2, 2), Tile(2, 2, 2, 2)]


@pytest.mark.parametrize("item", [
    LayoutItem(Rect(0, 0, 300, 400), 2), LayoutItem(Rect(0, 0, 300, 400), None), LayoutItem(Rect(0, 0, 30, 40), 0),
    LayoutItem(Rect(0, 0, 30, 40), 5000), LayoutItem(Rect(0, 0, 190, 250), 300),
])  # fmt: skip
def test_copies_that_make_no_sense_are_refused(item):
    with pytest.raises(UsageError):
        lay_out(AREA, [item])


def test_more_sheets_than_anyone_prints_are_refused():
    with pytest.raises(UsageError, match="sheets"):
        lay_out(Rect(0, 0, 50, 60), [LayoutItem(Rect(0, 0, 2000, 2000))])
