import numpy as np
import pytest
from skimage import data
from skimage.filters import threshold_multiotsu, threshold_otsu

from archgen.shading.cuts import BINS, cuts_leaving_bare, find_cuts, tone_numbers


def lights(name):
    return (np.asarray(getattr(data, name)(), np.float32) / np.float32(2.55)).clip(0, 99.99)


@pytest.mark.parametrize("name", ["camera", "moon", "coins", "page"])
@pytest.mark.parametrize("tones", [2, 3, 4, 5])
def test_cuts_are_those_of_published_thresholds(name, tones):
    """Otsu and its form for several levels, as scikit-image has them: it names the middle of the last bin below."""
    light = lights(name)
    counts, edges = np.histogram(light, BINS, (0, 100))
    hist = counts, (edges[:-1] + edges[1:]) / 2
    others = [threshold_otsu(hist=hist)] if tones == 2 else threshold_multiotsu(hist=hist, classes=tones)
    found = find_cuts(light, tones)
    assert np.abs(np.array(found) - np.array(others)).max() <= 0.5


def test_cuts_have_the_least_error_of_all_there_are():
    rng = np.random.default_rng(4)
    light = (rng.choice(24, 400, p=rng.dirichlet(np.ones(24))) * 4 + 1.25).astype(np.float32)

    def error(cuts):
        tones = np.digitize(light, cuts)
        return sum(float(((light[tones == t] - light[tones == t].mean()) ** 2).sum()) for t in np.unique(tones))

    levels = np.unique(light)
    middles = (levels[1:] + levels[:-1]) / 2
    least = min(error((a, b)) for a in middles for b in middles if a < b)
    assert error(find_cuts(light, 3)) == pytest.approx(least, rel=1e-5)


def test_a_cut_lies_in_the_middle_of_the_light_that_nothing_has():
    light = np.array([20.1] * 50 + [70.1] * 70, np.float32)
    (cut,) = find_cuts(light, 2)
    assert cut == pytest.approx((20.5 + 70) / 2)
    assert tone_numbers(np.array([cut - 0.01, cut], np.float32), (cut,)).tolist() == [0, 1]


def test_fewer_levels_of_light_make_fewer_tones():
    assert find_cuts(np.full(9, 50, np.float32), 5) == ()
    assert len(find_cuts(np.array([10, 50, 90], np.float32), 5)) == 2


@pytest.mark.parametrize("bare", [0.1, 0.35, 0.7])
def test_a_share_that_is_left_bare_is_lighter_than_all_that_is_worked(bare):
    light = lights("camera")
    cuts = cuts_leaving_bare(light, 5, bare)
    assert len(cuts) == 4
    assert list(cuts) == sorted(cuts)
    assert (light >= cuts[-1]).mean() == pytest.approx(bare, abs=0.02)
