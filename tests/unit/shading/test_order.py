from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archgen.shading.numbers import DISC_MM, Anchor, place_numbers, spread
from archgen.shading.order import BANDS_MM, Placed, Start, ordered

SIZE = (80.0, 120.0)
PLACES = st.lists(
    st.builds(Placed, st.integers(0, 5), st.floats(0, 79.9), st.floats(0, 119.9)), min_size=1, max_size=60
)


def from_start(area, start):
    return {Start.BOTTOM: SIZE[1] - area.y, Start.LEFT: area.x, Start.RIGHT: SIZE[0] - area.x}[start]


@given(PLACES, st.sampled_from(Start))
def test_dark_comes_before_light_and_within_a_tone_what_is_nearer_the_start(areas, start):
    found = ordered(areas, SIZE, start)
    assert sorted(index for step in found.steps for index in step) == list(range(len(areas)))
    keys = []
    for step in found.steps:
        assert len({areas[index].tone for index in step}) == 1
        keys += [(areas[index].tone, from_start(areas[index], start)) for index in step]
        assert keys[-1][1] - keys[-len(step)][1] <= found.band_mm * (1 + 0.1 * len(step))
    assert keys == sorted(keys)
    assert len(found.steps) <= 25
    assert found.band_mm >= BANDS_MM[0]


def test_bands_grow_only_where_steps_would_be_too_many():
    few = [Placed(tone, 10, 10 + 40 * row) for tone in range(4) for row in range(3)]
    assert ordered(few, SIZE, Start.BOTTOM).band_mm == BANDS_MM[0]
    many = [Placed(tone, 10, 5 + 22 * row) for tone in range(6) for row in range(6)]
    wider = ordered(many, SIZE, Start.BOTTOM)
    assert BANDS_MM[0] < wider.band_mm <= 32
    assert 12 < len(wider.steps) <= 25


def test_two_that_lie_side_by_side_are_worked_one_after_the_other():
    wings = [Placed(0, 15, 81), Placed(0, 65, 79.5)]
    both = ordered([Placed(0, 40, 100), *wings, Placed(0, 40, 76)], SIZE, Start.BOTTOM)
    assert both.steps == ((0, 1, 2), (3,))


def test_narrower_bands_make_more_steps():
    areas = [Placed(0, 10, 40), Placed(0, 10, 55), Placed(1, 10, 50)]
    assert len(ordered(areas, (80.0, 60.0), Start.BOTTOM).steps) == 2
    assert len(ordered([areas[0], areas[1]], (80.0, 58.0), Start.BOTTOM).steps) == 1
    assert len(ordered([areas[0], areas[1]], (80.0, 58.0), Start.BOTTOM, BANDS_MM[1]).steps) == 2


def test_steps_go_away_from_where_the_hand_lies():
    areas = [Placed(1, 70, 60), Placed(1, 10, 60), Placed(0, 40, 60)]
    assert ordered(areas, SIZE, Start.LEFT).steps == ((2,), (1,), (0,))
    assert ordered(areas, SIZE, Start.RIGHT).steps == ((2,), (0,), (1,))
    assert ordered(areas, SIZE, Start.BOTTOM).steps == ((2,), (0, 1))


@given(st.lists(st.floats(0, 100), max_size=30).map(sorted))
def test_heights_are_spread_and_keep_their_order_and_their_mean(wanted):
    found = spread(wanted, 5.0)
    assert all(b - a >= 5 - 1e-6 for a, b in pairwise(found))
    assert sum(found) == pytest.approx(sum(wanted), abs=1e-6)
    if all(b - a >= 5 for a, b in pairwise(wanted)):
        assert found == pytest.approx(wanted)


ANCHORS = st.lists(
    st.builds(Anchor, st.floats(3, 57), st.floats(3, 77), st.floats(0.5, 2.39), st.integers(1, 12)),
    min_size=1,
    max_size=40,
)


@given(ANCHORS)
def test_every_area_beside_has_its_number_and_no_disc_covers_another(anchors):
    numbers = place_numbers(anchors, 60.0)
    led = [(number.step, place) for number in numbers for place in number.leads_to]
    assert sorted(led) == sorted((one.step, (one.x, one.y)) for one in anchors)
    for index, one in enumerate(numbers):
        for other in numbers[:index]:
            assert ((one.x - other.x) ** 2 + (one.y - other.y) ** 2) ** 0.5 >= DISC_MM


def test_a_number_stands_inside_where_its_disc_has_room():
    room, none = Anchor(20, 20, 2.5, 1), Anchor(40, 50, 2.3, 2)
    inside, beside = place_numbers([room, none], 60.0)
    assert (inside.x, inside.y, inside.leads_to) == (20, 20, ())
    assert beside.x > 60
    assert beside.leads_to == ((40, 50),)
