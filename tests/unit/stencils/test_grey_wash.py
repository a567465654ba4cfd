"""Few tones: shares that add up, edges that stay, nothing finer than the spread."""

import numpy as np
import pytest
from PIL import Image

from archgen.errors import UsageError
from archgen.stencils.grey_wash import simplify


def test_flat_areas_keep_their_edges_and_name_their_shares():
    values = np.full((200, 400), 250, np.uint8)
    values[:, 100:200], values[:, 200:300], values[:, 300:] = 180, 100, 20
    simple = simplify(Image.fromarray(values), 3.5, 4)
    assert [tone.name for tone in simple.tones] == ["bare skin", "wash 1", "wash 2", "black"]
    assert [tone.share for tone in simple.tones] == pytest.approx([0.25] * 4, abs=0.01)
    row = np.asarray(simple.picture)[100].astype(int)
    assert list(np.flatnonzero(np.diff(row)) + 1) == pytest.approx([100, 200, 300], abs=1)


def test_specks_finer_than_the_spread_are_gone():
    values = np.full((200, 200), 240, np.uint8)
    values[100:] = 40
    values[50:52, 50:52] = 0
    assert len(np.unique(np.asarray(simplify(Image.fromarray(values), 4, 2).picture)[:90])) == 1


def test_no_more_tones_than_the_picture_has():
    simple = simplify(Image.new("L", (50, 50), 128), 3, 5)
    assert sum(tone.share for tone in simple.tones) == pytest.approx(1)


@pytest.mark.parametrize("tones", [0, 1, 9])
def test_a_number_of_tones_that_is_none_is_refused(tones):
    with pytest.raises(UsageError):
        simplify(Image.new("L", (50, 50), 128), 3, tones)
