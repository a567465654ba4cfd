"""Few tones: shares that add up, edges that stay, nothing finer than the spread."""

import numpy as np
import pytest
from PIL import Image
from skimage.measure import label, regionprops

from archgen.errors import UsageError
from archgen.stencils.grey_wash import OUTSIDE, WashLimits, inside, simplify


def test_flat_areas_keep_their_edges_and_name_their_shares():
    values = np.full((200, 400), 250, np.uint8)
    values[:, 100:200], values[:, 200:300], values[:, 300:] = 180, 100, 20
    simple = simplify(Image.fromarray(values), WashLimits(3.5), 4)
    assert [tone.name for tone in simple.tones] == ["bare skin", "wash 1", "wash 2", "black"]
    assert [tone.share for tone in simple.tones] == pytest.approx([0.25] * 4, abs=0.01)
    row = np.asarray(simple.picture)[100].astype(int)
    assert list(np.flatnonzero(np.diff(row)) + 1) == pytest.approx([100, 200, 300], abs=1)


def test_specks_finer_than_the_spread_are_gone():
    values = np.full((200, 200), 240, np.uint8)
    values[100:] = 40
    values[50:52, 50:52] = 0
    assert len(np.unique(np.asarray(simplify(Image.fromarray(values), WashLimits(4), 2).picture)[:90])) == 1


def test_no_more_tones_than_the_picture_has():
    simple = simplify(Image.new("L", (50, 50), 128), WashLimits(3), 5)
    assert sum(tone.share for tone in simple.tones) == pytest.approx(1)


@pytest.mark.parametrize("tones", [0, 1, 9])
def test_a_number_of_tones_that_is_none_is_refused(tones):
    with pytest.raises(UsageError):
        simplify(Image.new("L", (50, 50), 128), WashLimits(3), tones)


def clouds(size=300, seed=4):
    """Noise at several scales: thousands of small areas when cut into tones."""
    rng = np.random.default_rng(seed)
    total = np.zeros((size, size))
    for cells in (5, 20, 75):
        total += np.asarray(Image.fromarray(rng.random((cells, cells))).resize((size, size), Image.Resampling.BICUBIC))
    return Image.fromarray((255 * (total - total.min()) / np.ptp(total)).astype(np.uint8))


def small_areas(labels, least_px):
    """Let scikit-image count the areas of one tone that are too small, joined at their sides or at corners too."""
    return [
        region.area
        for connectivity in (1, 2)
        for region in regionprops(label(labels, background=OUTSIDE, connectivity=connectivity))
        if region.area < least_px
    ]


@pytest.mark.parametrize("seed", [4, 5])
def test_no_area_is_smaller_than_what_is_stated(seed):
    rows, columns = np.indices((300, 300))
    within = (rows - 150) ** 2 + (columns - 150) ** 2 < 140**2
    limits = WashLimits(2.0, least_px=140.0, highlight_px=2000.0)
    simple = simplify(clouds(seed=seed), limits, 5, within)
    assert small_areas(simple.labels, 140) == []
    assert len(small_areas(simplify(clouds(seed=seed), WashLimits(2.0), 5, within).labels, 140)) > 5
    assert (simple.labels[~within] == OUTSIDE).all()
    assert sum(tone.share for tone in simple.tones) == pytest.approx(1)


def test_background_bare_skin_and_highlight_are_three_things():
    values = np.full((300, 300), 255, np.uint8)
    values[50:250, 50:250] = 30
    values[50:250, 50:120] = 250  # bare skin: it reaches the edge of the drawing
    values[140:160, 190:210] = 250  # a highlight in the dark
    within = np.zeros((300, 300), bool)
    within[50:250, 50:250] = True
    simple = simplify(Image.fromarray(values), WashLimits(2.0, 50.0, 1000.0), 2, within)
    assert [tone.name for tone in simple.tones] == ["bare skin", "highlight", "black", "background"]
    assert [tone.share for tone in simple.tones] == pytest.approx([0.35, 0.01, 0.64, 0], abs=0.01)
    assert [tone.dotted for tone in simple.tones] == [False, True, False, False]
    assert [tone.hatched for tone in simple.tones] == [False, False, False, True]
    picture = np.asarray(simple.picture)
    assert set(np.unique(picture[145:155, 195:205])) == {120, 255}
    assert set(np.unique(picture[60:240, 60:110])) == {255}
    assert simple.labels[10, 10] == OUTSIDE
    # Slanting lines, a twenty-fourth of the pixels.
    assert np.asarray(picture[:48, :48] == 190).mean() == pytest.approx(1 / 24)
    assert set(np.unique(picture[:48, :48])) == {190, 255}


@pytest.mark.parametrize("ground", [0, 128, 255])
def test_the_background_changes_no_tone_and_no_share(ground):
    rows, columns = np.indices((300, 300))
    within = (rows - 150) ** 2 + (columns - 150) ** 2 < 120**2
    values, limits = np.asarray(clouds()), WashLimits(4.0, 50.0, 1000.0)
    simple = simplify(Image.fromarray(values), limits, 5, within)
    other = simplify(Image.fromarray(np.where(within, values, ground).astype(np.uint8)), limits, 5, within)
    assert (simple.labels == other.labels).all()
    assert simple.tones == other.tones


def test_light_too_large_for_a_highlight_is_bare_skin():
    values = np.full((200, 200), 30, np.uint8)
    values[50:150, 50:150] = 250
    names = [tone.name for tone in simplify(Image.fromarray(values), WashLimits(2.0, 50.0, 1000.0), 2).tones]
    assert names == ["bare skin", "black"]


def test_a_drawing_encloses_what_its_lines_nearly_surround():
    ink = np.zeros((200, 200), bool)
    ink[40:160, 40:44] = ink[40:160, 156:160] = ink[40:44, 40:160] = ink[156:160, 40:160] = True
    ink[40:44, 95:105] = False
    found = inside(ink, 8)
    assert found[100, 100]
    assert found[42, 100]
    assert not found[20, 100]
    assert not inside(ink, 3)[100, 100]
