import numpy as np
import pytest
from PIL import Image

from archgen.twins.description import turns
from archgen.twins.description.signature import cosine_basis


@pytest.mark.parametrize("turn", turns.TURNS)
def test_turning_coefficients_is_turning_pixels(turn):
    picture = np.random.default_rng(1).normal(size=(32, 32))
    basis = cosine_basis(8, (np.arange(32) + 0.5) / 32) / 32
    expected = basis @ turns.turned_picture(picture, turn) @ basis.T
    assert np.allclose(
        turns.turned_coefficients((basis @ picture @ basis.T).astype(np.float32), turn), expected, atol=1e-6
    )


@pytest.mark.parametrize("turn", turns.TURNS)
def test_a_turn_is_read_back_from_its_transform(turn):
    assert turns.nearest_turn(turns.turn_transform(turn)[:, :2]) == turn


@pytest.mark.parametrize("turn", turns.TURNS)
def test_a_turn_and_its_reverse_leave_a_picture_as_it_was(turn):
    picture = np.arange(12).reshape(3, 4)
    there = turns.turned_picture(picture, turn)
    assert np.array_equal(turns.turned_picture(there, turns.reversed_turn(turn)), picture)


def test_a_quarter_is_clockwise_as_pillow_turns_by_270():
    picture = np.arange(12, dtype=np.uint8).reshape(3, 4)
    by_pillow = np.asarray(Image.fromarray(picture).transpose(Image.Transpose.ROTATE_270))
    assert np.array_equal(turns.turned_picture(picture, 1), by_pillow)


def test_a_transform_and_its_inverse_cancel():
    transform = np.array([[0.8, 0.1, 0.05], [-0.2, 1.1, 0.3]])
    assert np.allclose(turns.compose(transform, turns.inverse(transform)), turns.IDENTITY)
