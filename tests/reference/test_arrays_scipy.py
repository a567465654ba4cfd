"""What the package works out on arrays, against SciPy's answer to the same question."""

import numpy as np
import pytest
from PIL import Image
from scipy import fft, ndimage, sparse
from scipy.sparse import csgraph
from scipy.spatial import cKDTree

from archgen.images import filters
from archgen.stencils import links, ridges, scan
from archgen.stencils.ridges import Field, Ridge
from archgen.stencils.versions import overlay

# The smallest are smaller than what is looked at around each pixel.
SHAPES = [(1, 7), (3, 2), (5, 5), (40, 3), (211, 173)]
CORNERS = np.ones((3, 3))


@pytest.fixture(params=SHAPES, ids=lambda shape: "x".join(map(str, shape)))
def values(request):
    return np.random.default_rng(5).random(request.param).astype(np.float32)


@pytest.mark.parametrize(("sigma", "reach"), [(0.7, 2.5), (1.2, 2.5), (1.5, 3.0), (12.0, 4.0)])
def test_blurs_are_scipys(values, sigma, reach):
    theirs = ndimage.gaussian_filter(values, sigma, truncate=reach)
    assert filters.blurred(values, sigma, reach) == pytest.approx(theirs, abs=2e-6)


@pytest.mark.parametrize("size", [3, 7, 31])
def test_means_and_greatest_values_around_are_scipys(values, size):
    assert filters.mean_around(values, size) == pytest.approx(ndimage.uniform_filter(values, size), abs=2e-6)
    assert np.array_equal(filters.greatest_around(values, size), ndimage.maximum_filter(values, size))


def test_a_mask_grows_as_scipys(values):
    mask = values > 0.9
    for steps in (1, 2):
        grown = ndimage.binary_dilation(mask, CORNERS, iterations=steps)
        assert np.array_equal(filters.any_around(mask, 2 * steps + 1), grown)


def test_spots_are_scipys_under_other_numbers(values):
    mask = values > 0.7
    theirs, count = ndimage.label(mask, CORNERS)
    spots = filters.find_spots(mask)
    assert len(spots.area) == count + 1
    assert np.array_equal(spots.numbers > 0, mask)
    for number, (down, across) in enumerate(ndimage.find_objects(theirs), start=1):
        (mine,) = np.unique(spots.numbers[theirs == number])
        assert spots.area[mine] == np.count_nonzero(theirs == number)
        box = (across.start, down.start, across.stop - across.start, down.stop - down.start)
        assert tuple(spots.boxes[mine]) == box


@pytest.mark.parametrize("density", [0.5, 0.01])
@pytest.mark.parametrize("shape", [*SHAPES, (900, 1400), (150, 9000)])
def test_depths_are_scipys_to_the_last_digit(shape, density):
    mask = np.random.default_rng(3).random(shape) > density
    mask.flat[0] = False
    theirs = ndimage.distance_transform_edt(mask)
    assert np.array_equal(filters.depth_inside(mask), theirs.astype(np.float32))


def test_a_page_without_an_edge_has_no_lines():
    page = np.full((60, 80), 0.9, np.float32)
    for gaps in (False, True):
        assert len(ridges.find(Field.of(page, smooth=False), gaps=gaps, widest_px=20).x) == 0


@pytest.fixture
def points():
    """Points strewn over a page, some at exactly the distance that still counts, all with one normal."""
    rng = np.random.default_rng(9)
    x, y = rng.uniform(0, 120, (2, 900))
    x[:300], y[:300] = np.round(x[:300]), np.round(y[:300])
    order = np.argsort(y)
    normal = np.tile(np.array([1.0, 0.0], np.float32), (900, 1))
    return Ridge(
        x[order].astype(np.float32),
        y[order].astype(np.float32),
        rng.random(900).astype(np.float32),
        normal,
        np.ones(900, np.float32),
    )


def test_points_are_linked_with_those_scipys_tree_finds(points):
    pairs = cKDTree(np.stack([points.x, points.y], axis=1)).query_pairs(4.0, output_type="ndarray")
    follow = np.abs(points.x[pairs[:, 0]] - points.x[pairs[:, 1]]) < 1
    found = links.follow(points, 4.0)
    assert sorted(zip(found.one.tolist(), found.two.tolist(), strict=True)) == sorted(
        map(tuple, pairs[follow].tolist())
    )
    assert follow.sum() > 300


def test_sums_and_groups_are_those_of_scipys_matrix(points):
    found = links.follow(points, 4.0)
    half = sparse.coo_matrix((np.ones(len(found.one)), (found.one, found.two)), shape=(found.count,) * 2)
    matrix = (half + half.T).tocsr()
    assert found.sums(points.width) == pytest.approx(matrix @ points.width)
    chosen = points.width > 0.2
    count, labels = csgraph.connected_components(matrix[chosen][:, chosen], directed=False)
    groups = found.among(chosen).groups()
    assert [group.tolist() for group in groups] == [np.flatnonzero(labels == one).tolist() for one in range(count)]
    assert 20 < count < 700


def test_no_points_have_no_links():
    none = Ridge(*(np.zeros(shape, np.float32) for shape in (0, 0, 0, (0, 2), 0)))
    found = links.follow(none, 4.0)
    assert len(found.one) == 0
    assert len(links.smoothed(none, found).width) == 0


def test_the_best_shift_is_where_scipys_correlation_is_highest():
    rng = np.random.default_rng(2)
    first = Image.fromarray(np.where(rng.random((61, 47)) > 0.9, 0, 255).astype(np.uint8)).resize((470, 610))
    second = first.crop((40, 70, 400, 530))
    inks = [
        255.0 - np.asarray(one.resize((one.width // 2, one.height // 2), Image.Resampling.BOX))
        for one in (first, second)
    ]
    size = tuple(fft.next_fast_len(inks[0].shape[axis] + inks[1].shape[axis], real=True) for axis in (0, 1))
    one, two = (fft.rfft2(ink - ink.mean(), size) for ink in inks)
    match = fft.irfft2(one * np.conj(two), size)
    down, right = np.unravel_index(match.argmax(), match.shape)
    assert overlay.best_shift(first, second, 47.0, 36.0) == pytest.approx((right / 5, down / 5), abs=0.1)


def test_specks_and_the_shadow_of_the_edge_are_wiped_off_a_scan_and_nothing_else():
    rng = np.random.default_rng(6)
    light = 225 + rng.normal(0, 2, (900, 700))
    light[200:700, 300:312] = light[400:410, 100:600] = 40
    clean = light.copy()
    specks = rng.integers((20, 20), (180, 680), (40, 2))
    light[specks[:, 0], specks[:, 1]] = 60
    light[:, :9] = 50
    flat, _ = scan.flatten(Image.fromarray(np.clip(light, 0, 255).astype(np.uint8)))
    expected, _ = scan.flatten(Image.fromarray(np.clip(clean, 0, 255).astype(np.uint8)))
    assert ndimage.label(np.asarray(flat) < 128, CORNERS)[1] == 1
    assert np.array_equal(np.asarray(flat) < 128, np.asarray(expected) < 128)
