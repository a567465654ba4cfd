import numpy as np
import pytest
from scipy import ndimage

from archgen.shading.bounds import Bound
from archgen.shading.cells import OUTSIDE, cells_of
from archgen.shading.cleaning import cleaned, find_parts, without_small
from archgen.shading.joining import capped, common_edges, split

PPM = 10
LEVELS = np.array([10.0, 30.0, 50.0, 70.0, 90.0])


def grain(seed, shape=(300, 260), size=5):
    rng = np.random.default_rng(seed)
    soft = ndimage.gaussian_filter(rng.normal(size=shape), size)
    return np.digitize(soft, np.quantile(soft, [0.2, 0.4, 0.6, 0.8])).astype(np.int32)


def wrong(tones, bound):
    """Count areas without the bundle's disc and those under the bound, by another library."""
    without = small = 0
    for tone in range(5):
        parts, _ = ndimage.label(tones == tone)
        for part, box in enumerate(ndimage.find_objects(parts), 1):
            mask = np.pad(parts[box] == part, 1)
            without += ndimage.distance_transform_edt(mask).max() - 0.5 < bound.bundle_mm * PPM / 2
            small += mask.sum() < bound.least_mm2 * PPM**2
    return without, small


@pytest.mark.parametrize("bundle", [0.6, 1.08, 1.51])
@pytest.mark.parametrize("size", [2, 5, 12])
def test_every_area_holds_the_disc_and_none_is_under_the_bound(bundle, size):
    bound, tones = Bound(bundle), grain(size, size=size)
    tones[:, 200:] = OUTSIDE
    found = cleaned(tones, LEVELS[tones].astype(np.float32), LEVELS, bound.in_px(PPM))
    assert sum(wrong(tones, bound)) > 0
    assert wrong(found, bound) == (0, 0)
    assert ((found == OUTSIDE) == (tones == OUTSIDE)).all()


def test_what_is_clean_stays_as_it_is():
    tones = np.repeat(np.arange(5, dtype=np.int32), 40)[None].repeat(60, axis=0)
    light = LEVELS[tones].astype(np.float32)
    assert (cleaned(tones, light, LEVELS, Bound(1.08).in_px(PPM)) == tones).all()


def test_a_pixel_between_cores_goes_to_the_one_whose_light_is_its_own():
    tones = np.zeros((60, 100), np.int32)
    tones[:, 60:] = 4
    tones[:, 51:60] = 2  # a stripe too narrow, as light as what lies to its right
    light = LEVELS[tones].astype(np.float32)
    light[:, 51:60] = 84
    found = cleaned(tones, light, LEVELS, Bound(1.08).in_px(PPM))
    assert (found[:, 51:] == 4).all()
    assert (found[:, :51] == 0).all()


def test_the_least_area_is_that_of_two_bundles_across():
    assert Bound(1.08).least_mm2 == pytest.approx(3.664, abs=0.001)


def test_a_part_alone_that_is_too_small_is_left_to_the_lines():
    tones = np.full((50, 50), OUTSIDE, np.int32)
    tones[5:40, 5:40], tones[45:48, 45:48] = 1, 2
    found = without_small(tones, Bound(1.08).in_px(PPM))
    assert (found[45:48, 45:48] == OUTSIDE).all()
    assert (found[5:40, 5:40] == 1).all()


def test_of_two_neighbours_with_equal_edges_the_nearer_tone_takes_it():
    tones = np.zeros((60, 66), np.int32)
    tones[:, 33:] = 3
    tones[28:32, 30:36] = 2
    assert (without_small(tones, Bound(1.08).in_px(PPM))[28:32, 30:36] == 3).all()


@pytest.mark.parametrize("most", [3, 10, 25])
def test_areas_are_joined_until_there_are_no_more_than_wanted(most):
    bound, tones = Bound(0.6), grain(8, size=7)
    clean = cleaned(tones, LEVELS[tones].astype(np.float32), LEVELS, bound.in_px(PPM))
    assert len(find_parts(clean).sizes) - 1 > 25
    parts = capped(find_parts(clean), LEVELS, most)
    assert len(parts.sizes) - 1 <= most
    found = parts.tones[parts.numbers]
    assert len(find_parts(found).sizes) - 1 <= most
    assert wrong(found, bound) == (0, 0)


def test_what_changes_the_picture_least_is_joined_first():
    tones = np.zeros((40, 90), np.int32)
    tones[:, 30:60], tones[:, 60:] = 1, 4
    parts = capped(find_parts(tones), LEVELS, 2)
    found = parts.tones[parts.numbers]
    assert len(np.unique(found[:, :60])) == 1
    assert found[0, 80] == 4


def drawn(tones, wall):
    """Part a map at a column, as a drawn line would."""
    numbers = np.where(np.arange(tones.shape[1]) < wall, 0, 1)[None].repeat(len(tones), axis=0).astype(np.int32)
    return cells_of(numbers)


def test_an_area_is_parted_where_a_line_crosses_it_and_both_sides_can_stand_alone():
    tones = np.ones((60, 120), np.int32)
    tones[:30] = 3
    parts = split(tones, drawn(tones, 50), Bound(1.08).in_px(PPM))
    assert sorted(parts.sizes[1:].tolist()) == [1500, 1500, 2100, 2100]
    assert (parts.tones[parts.numbers] == tones).all()


def test_what_is_left_over_beyond_a_line_stays_with_its_area():
    tones = np.ones((60, 120), np.int32)
    parts = split(tones, drawn(tones, 4), Bound(1.08).in_px(PPM))
    assert parts.sizes[1:].tolist() == [7200]


def test_of_too_many_areas_those_of_one_tone_are_joined_across_lines_first():
    tones = np.ones((60, 120), np.int32)
    tones[:30, :60] = 2
    parts = split(tones, drawn(tones, 80), Bound(1.08).in_px(PPM))
    assert len(parts.sizes) - 1 == 3
    assert np.array_equal(capped(parts, LEVELS, 2).tones[1:], [1, 2])


def test_common_edges_are_counted_from_both_sides():
    numbers = np.array([[1, 1, 2], [1, 3, 2]], np.int32)
    edges = common_edges(numbers)
    assert edges[1, 2] == edges[2, 1] == 1
    assert edges[1, 3] == edges[3, 1] == 2
    assert edges[2, 3] == 1
