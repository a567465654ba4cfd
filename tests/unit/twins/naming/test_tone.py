"""Which measured differences of light, sharpness and detail are those of an encoding, and which of an edit."""

import dataclasses

import cv2
import numpy as np
import pytest

from archgen.twins.description.prepare import prepare
from archgen.twins.description.turns import IDENTITY, box_transform, turned_picture
from archgen.twins.naming.alignment import Alignment
from archgen.twins.naming.tone import ToneDifference, _softened
from tests.unit.twins.pictures import kept, photograph, soft_noise

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
        (0.003, -0.5, True),
        (0.004, -0.9, False),
        (0.05, -0.4, False),
    ],
)
def test_finest_detail_tells_an_edit_only_where_sharpness_goes_with_it(monkeypatch, blur, detail, same):
    assert is_same(monkeypatch, LARGE, blur=blur, _detail=detail) is same


@pytest.mark.parametrize(
    ("measured", "same", "same_at_another_size"),
    [
        ({"light": 3.6}, True, True),
        ({"light": 5.0}, False, True),
        ({"light": 3.7}, False, True),
        ({"light": 5.1}, False, False),
        ({"gain": 0.055}, True, True),
        ({"gain": 0.17}, False, True),
        ({"gain": -0.06}, False, True),
        ({"gain": -0.18}, False, False),
        ({"color": 3.0}, True, True),
        ({"color": 3.1}, False, False),
        ({"blur": 0.059}, True, True),
        ({"blur": 0.06}, False, True),
        ({"blur": 0.12}, False, False),
        ({"blur": -0.02}, False, True),
        ({"blur": -0.115}, False, False),
        ({"blur": 0.061}, False, True),
        ({"blur": 0.13}, False, False),
        ({"blur": -0.019}, True, True),
        ({"blur": -0.021}, False, True),
        ({"blur": -0.12}, False, False),
        ({"_lost_tones": 0.45}, True, True),
        ({"_lost_tones": 0.46}, False, True),
    ],
)
def test_another_size_may_differ_more(monkeypatch, measured, same, same_at_another_size):
    assert is_same(monkeypatch, LARGE, **measured) is same
    assert is_same(monkeypatch, SMALL, **measured) is same_at_another_size


# What is measured.

PLAIN = Alignment(0, np.eye(2, 3), is_plain=True)
SCENE = soft_noise(96, 96) * 160 + 40


def tone(one, two, *, sizes=(None, None), alignment=PLAIN):
    first, second = (kept(np.rint(map_), size) for map_, size in zip((one, two), sizes, strict=True))
    return ToneDifference(first, second, alignment)


def test_light_is_told_in_gray_levels_by_cells():
    found = tone(SCENE, SCENE + 10)
    assert found.light == pytest.approx(10, abs=0.1)
    assert found.gain == pytest.approx(0, abs=0.01)
    half = np.where(np.arange(96) < 48, 20, 0)
    assert tone(SCENE, SCENE + half).light == pytest.approx(20 / 2**0.5, abs=0.1)


def test_gain_is_the_contrast_of_the_second_over_that_of_the_first():
    assert tone(SCENE, SCENE * 0.5).gain == pytest.approx(np.log(0.5), abs=0.01)
    assert tone(SCENE * 0.5, SCENE).gain == pytest.approx(np.log(2), abs=0.01)


def test_light_is_compared_where_both_show_something():
    moved = Alignment(0, box_transform(0.5, 0, 1.5, 1), is_plain=True)
    assert tone(SCENE, np.roll(SCENE, -48, axis=1), alignment=moved).light == pytest.approx(0, abs=0.6)


def test_a_turned_copy_is_compared_upright():
    mirrored = Alignment(4, IDENTITY, is_plain=True)
    assert tone(SCENE, SCENE[:, ::-1], alignment=mirrored).light < 0.1
    quarter = Alignment(1, IDENTITY, is_plain=True)
    found = tone(SCENE, turned_picture(SCENE, 1), sizes=((40, 30), (30, 40)), alignment=quarter)
    assert found.light < 0.1


def test_color_is_told_by_cells_upright():
    colors = np.zeros((8, 8, 2), np.int8)
    colors[0, 0], colors[0, 7] = 120, -120
    one = dataclasses.replace(kept(SCENE), color=colors)
    assert ToneDifference(one, dataclasses.replace(one, color=colors[:, ::-1]), PLAIN).color == 4 * 240 / 128
    mirrored = Alignment(4, IDENTITY, is_plain=True)
    assert ToneDifference(one, dataclasses.replace(one, color=colors[:, ::-1]), mirrored).color == 0


@pytest.mark.parametrize(
    ("gain", "color", "one"),
    [(0.12, 7.9, True), (-0.12, 7.9, True), (0.13, 0, False), (-0.14, 0, False), (0, 8, False)],
)
def test_two_exposures_of_a_moment_differ_little_in_light_and_colour(gain, color, one):
    found = tone(SCENE, SCENE)
    found.gain, found.color = gain, color
    assert found.is_one_moment() is one


@pytest.mark.parametrize("sigma", [0.7, 1.0])
def test_a_blur_is_told_by_half_its_variance_in_pixels_of_what_is_compared(sigma):
    detailed = cv2.GaussianBlur(np.random.default_rng(3).uniform(0, 255, (160, 160)), (0, 0), 4)
    detailed = (detailed - detailed.min()) / np.ptp(detailed) * 255
    soft = cv2.GaussianBlur(detailed, (0, 0), sigma)
    wanted = sigma**2 / 2 * 0.75**2
    assert tone(detailed, soft).blur() == pytest.approx(wanted, rel=0.1)
    assert tone(soft, detailed).blur() == pytest.approx(-wanted, rel=0.1)


def test_noise_in_one_picture_is_no_blur():
    grain = np.random.default_rng(5).normal(0, 3, SCENE.shape)
    assert tone(SCENE, SCENE + grain).blur() == pytest.approx(0, abs=2e-3)
    assert tone(SCENE + grain, SCENE).blur() == pytest.approx(0, abs=2e-3)


def test_what_lies_outside_is_no_blur():
    moved = Alignment(0, box_transform(0.25, 0, 1.25, 1), is_plain=True)
    assert tone(SCENE, np.roll(SCENE, -24, axis=1), alignment=moved).blur() == pytest.approx(0, abs=1e-3)


def test_an_even_picture_has_no_blur():
    assert tone(np.full((40, 40), 90), np.full((40, 40), 90)).blur() == 0


def test_softness_is_the_share_of_the_curve_over_the_gain():
    rng = np.random.default_rng(2)
    sharp = rng.normal(0, 1, 400).astype(np.float32)
    curve = (0.5 * sharp + rng.normal(0, 1, 400)).astype(np.float32)
    curve -= curve.mean()
    assert _softened(sharp, curve, 2 * sharp + 0.3 * curve + 5) == pytest.approx(0.15, rel=1e-3)
    assert _softened(sharp, curve, 0.5 * sharp - 0.2 * curve) == pytest.approx(-0.4, rel=1e-3)
    # A negative, an even picture, and one whose curve says no more than it does.
    assert _softened(sharp, curve, -sharp + curve) == 0
    assert _softened(np.ones(400, np.float32), curve, sharp) == 0
    assert _softened(sharp - sharp.mean(), 3 * (sharp - sharp.mean()), 2 * sharp + curve) == 0


def measures(one, two):
    return ToneDifference(*(kept(SCENE, **values) for values in (one, two)), PLAIN)


def test_detail_is_sharpness_less_what_the_contrast_adds():
    found = measures({"sharpness": 2.0}, {"sharpness": 6.0})
    found.gain = 0.25
    assert found._detail() == pytest.approx(np.log(3) - 0.5)
    assert measures({"sharpness": 0.0}, {"sharpness": 1.0})._detail() == pytest.approx(np.log(1e6), abs=0.1)


@pytest.mark.parametrize(
    ("first", "second", "lost"),
    [(0.2, 0.1, np.log(2)), (0.1, 0.2, -np.log(2)), (0.05, 0.5, 0), (0.5, 0.05, 0), (0.06, 0.12, -np.log(2))],
)
def test_a_share_of_half_tones_tells_something_from_a_twentieth_on(first, second, lost):
    assert measures({"halftones": first}, {"halftones": second})._lost_tones() == pytest.approx(lost)
