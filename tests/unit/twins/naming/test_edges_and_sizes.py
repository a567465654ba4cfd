"""How far one picture sticks out of another, when two sizes are one, and which exposures are of one moment."""

import numpy as np
import pytest
from PIL import ImageChops, ImageEnhance

from archgen.twins.description.prepare import prepare
from archgen.twins.engine import find_pairs
from archgen.twins.model import ComparedPicture, PictureBox, Relation
from archgen.twins.naming.alignment import Alignment
from archgen.twins.naming.edges import _extent
from archgen.twins.naming.placing import _one_shape
from archgen.twins.naming.tone import ToneDifference
from tests.unit.twins.pictures import photograph


@pytest.mark.parametrize(
    ("transform", "box", "out"),
    [
        ([[1, 0, 0.1], [0, 1, 0.25]], (0.1, 0.25, 1, 1), (0.1, 0.25)),
        ([[1, 0, -0.2], [0, 1, -0.05]], (0, 0, 0.8, 0.95), (0.2, 0.05)),
        ([[0.5, 0, 0.25], [0, 0.5, 0.125]], (0.25, 0.125, 0.75, 0.625), (-0.25, -0.125)),
    ],
)
def test_a_picture_sticks_out_by_what_lies_beyond_the_other(transform, box, out):
    found, across, down = _extent(np.array(transform, float))
    assert found == PictureBox(*box)
    assert (across, down) == pytest.approx(out)


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ((400, 300), (800, 600), True),
        ((400, 300), (200, 150), True),
        ((401, 300), (800, 600), True),  # the pixel a program rounds away
        ((410, 300), (800, 600), False),
        ((300, 400), (800, 600), False),
    ],
)
def test_one_size_is_the_other_made_larger_or_smaller(one, other, same):
    assert _one_shape((one, other)) is same
    assert _one_shape((other, one)) is same


@pytest.mark.parametrize(("seconds", "relation"), [(20, Relation.BURST), (21, Relation.EDITED)])
def test_frames_of_one_moment_are_at_most_twenty_seconds_apart(seconds, relation):
    first = photograph(1)
    second = ImageChops.offset(first, 7, 4)
    pair = [
        ComparedPicture("a", prepare(first), taken=0.0),
        ComparedPicture("b", prepare(second), taken=float(seconds)),
    ]
    (found,) = find_pairs(pair)
    assert found.relation is relation


@pytest.mark.parametrize(("share", "is_one"), [(0.92, True), (0.84, False)])
def test_another_exposure_is_told_by_how_much_darker_it_is(share, is_one):
    first = ImageEnhance.Color(photograph(1)).enhance(0.1)  # without colour only the light can tell
    darker = first.point(lambda value: round(value * share))
    found = ToneDifference(prepare(first), prepare(darker), Alignment(0, np.eye(2, 3), is_plain=True))
    assert found.gain == pytest.approx(np.log(share), abs=0.01)
    assert found.is_one_moment() is is_one
