"""The same numbers give the same bytes wherever in memory they lie."""

import numpy as np
import pytest

from archgen.images.filters import depth_inside, length
from archgen.shading.cleaning import deep
from archgen.shading.outline import shrunk

RNG = np.random.default_rng(3)
BLOBS = np.kron(RNG.random((25, 33)) > 0.4, np.ones((9, 9), bool))[:223, :291]
SLOPES = RNG.normal(0, 0.2, (2, 223, 291)).astype(np.float32)


def placed(values, offset):
    """Copy an array to a place so many of its items behind a multiple of 64 bytes."""
    room = np.empty(values.size + 128, values.dtype)
    start = -room.ctypes.data // values.itemsize % (64 // values.itemsize) + offset
    there = room[start : start + values.size].reshape(values.shape)
    there[...] = values
    return there


@pytest.mark.parametrize(
    ("work", "given"),
    [
        (depth_inside, [BLOBS]),
        (lambda mask: shrunk(mask, 2.5), [BLOBS]),
        (deep, [BLOBS.astype(np.int32)]),
        (length, list(SLOPES)),
    ],
    ids=["depth", "shrunk", "deep", "length"],
)
def test_sums_are_the_same_at_every_place(work, given):
    assert len({work(*(placed(one, offset) for one in given)).tobytes() for offset in range(16) for _ in range(3)}) == 1


def test_a_length_is_that_of_pythagoras():
    assert np.allclose(length(*SLOPES), np.hypot(*SLOPES.astype(float)), rtol=1e-6)
    assert length(np.float32([[3]]), np.float32([[4]])).tolist() == [[5]]
