import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from archgen.twins.description.prepare import Prepared, prepare
from archgen.twins.description.turns import TURNS, turned_picture
from archgen.twins.engine import find_pairs
from archgen.twins.model import ComparedPicture
from tests.unit.twins.pictures import drawing, photograph

pictures = st.builds(lambda make, seed: make(seed), st.sampled_from([drawing, photograph]), st.integers(0, 10_000))


@settings(max_examples=25, deadline=None)
@given(pictures, st.sampled_from(TURNS))
def test_every_turn_of_every_picture_is_told(picture, turn):
    other = Image.fromarray(np.ascontiguousarray(turned_picture(np.asarray(picture), turn)))
    (pair,) = find_pairs([ComparedPicture("a", prepare(picture)), ComparedPicture("b", prepare(other))])
    assert (pair.mirrored, pair.turned) == (turn >= 4, turn % 4 * 90)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000), st.integers(0, 10_000), st.sampled_from([drawing, photograph]))
def test_different_pictures_are_strangers(one, two, make):
    found = find_pairs([ComparedPicture("a", prepare(make(one))), ComparedPicture("b", prepare(make(two)))])
    assert bool(found) == (one == two)


@settings(max_examples=30, deadline=None)
@given(
    st.integers(1, 300),
    st.integers(1, 300),
    st.sampled_from(["L", "RGB", "RGBA", "1", "I;16", "CMYK", "P"]),
    st.integers(0, 255),
)
def test_any_size_and_mode_is_prepared(width, height, mode, value):
    prepared = prepare(
        Image.new(mode, (width, height), value if mode in {"L", "1", "P", "I;16"} else (value,) * len(mode))
    )
    assert Prepared.from_bytes(prepared.to_bytes()).to_bytes() == prepared.to_bytes()
    assert prepared.views == ()
