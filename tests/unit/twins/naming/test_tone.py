"""Which measured differences of light, sharpness and detail are those of an encoding, and which of an edit."""

import numpy as np
import pytest

from archgen.twins.description.prepare import prepare
from archgen.twins.naming.alignment import Alignment
from archgen.twins.naming.tone import ToneDifference
from tests.unit.twins.pictures import photograph

LARGE, SMALL = (prepare(photograph(1).resize(size)) for size in ((400, 300), (200, 150)))
MEASURES = {"light": 0.0, "gain": 0.0, "color": 0.0, "blur": 0.0, "_lost_tones": 0.0, "_detail": 0.0}


def is_same(monkeypatch, other, **measured):
    """Judge two pictures of which so much was measured."""
    tone = ToneDifference(LARGE, other, Alignment(0, np.eye(2, 3), is_plain=True))
    for name, value in (MEASURES | measured).items():
        is_method = callable(getattr(tone, name))
        monkeypatch.setattr(tone, name, (lambda value=value: value) if is_method else value)
    return tone.is_same()


@pytest.mark.parametrize(
    ("blur", "detail", "same"),
    [
        (0.0, 0.39, True),
        (0.05, -0.39, True),  # so little detail says nothing
        (0.05, 0.9, True),  # softer with more of the finest detail: noise
        (-0.015, -0.9, True),  # sharper with less: the noise is gone
        (0.003, -0.9, True),  # hardly softer
        (-0.003, 0.9, True),
        (0.005, -0.9, False),  # softer, and the detail went with it
        (-0.005, 0.9, False),  # sharpened
        (0.005, -0.41, False),
    ],
)
def test_finest_detail_tells_an_edit_only_where_sharpness_goes_with_it(monkeypatch, blur, detail, same):
    assert is_same(monkeypatch, LARGE, blur=blur, _detail=detail) is same


@pytest.mark.parametrize(
    ("measured", "same", "same_at_another_size"),
    [
        ({"light": 3.5}, True, True),
        ({"light": 3.7}, False, True),
        ({"light": 5.1}, False, False),
        ({"gain": 0.05}, True, True),
        ({"gain": -0.06}, False, True),
        ({"gain": -0.18}, False, False),
        ({"color": 2.9}, True, True),
        ({"color": 3.1}, False, False),
        ({"blur": 0.059}, True, True),
        ({"blur": 0.061}, False, True),
        ({"blur": 0.13}, False, False),
        ({"blur": -0.019}, True, True),
        ({"blur": -0.021}, False, True),
        ({"blur": -0.12}, False, False),
        ({"_lost_tones": 0.44}, True, True),
        ({"_lost_tones": 0.46}, False, True),
    ],
)
def test_another_size_may_differ_more(monkeypatch, measured, same, same_at_another_size):
    assert is_same(monkeypatch, LARGE, **measured) is same
    assert is_same(monkeypatch, SMALL, **measured) is same_at_another_size
