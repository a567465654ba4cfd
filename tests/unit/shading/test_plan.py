from dataclasses import replace

import numpy as np
import pytest
from PIL import Image, ImageDraw

from archgen.errors import UsageError
from archgen.shading.light import gray_of, lightness, smoothed
from archgen.shading.order import Start
from archgen.shading.plan import EnclosedAnswer, PlanWish, make_plan
from archgen.shading.toning import Edges
from tests.unit.shading.scenes import blobs, framed, laid, stripes

WISH = PlanWish(bundle_mm=1.08)
FIVE = (10.0, 30.0, 50.0, 70.0, 95.0)


def test_bands_of_five_tones_are_found_with_their_light_and_their_size():
    plan = make_plan(framed(stripes(FIVE)), WISH)
    assert [area.tone for area in plan.areas] == [0, 1, 2, 3, 4]
    assert plan.levels == pytest.approx(FIVE, abs=1.5)
    assert [area.share for area in plan.areas] == pytest.approx([11, 12, 12, 12, 11][:5] / np.float64(58), abs=0.01)
    assert [area.x for area in plan.areas] == pytest.approx([6.5, 18, 30, 42, 53.5], abs=0.3)
    assert plan.steps == ((0,), (1,), (2,), (3,))
    assert plan.bare_share == pytest.approx(0.19, abs=0.01)


def test_the_order_within_a_tone_is_from_the_start():
    picture = stripes((20, 95, 20, 95, 20), wide=100, high=40, turned=True)
    plan = make_plan(framed(picture), replace(WISH, tones=3))
    heights = [plan.areas[step[0]].y for step in plan.steps]
    assert heights == sorted(heights, reverse=True)
    assert len(heights) == 3


def test_stored_cuts_are_used_as_they_are():
    reference = blobs(3)
    first = make_plan(framed(reference), WISH)
    lighter = reference.point(lambda level: int(255 * (level / 255) ** 0.9))
    kept = make_plan(framed(lighter), replace(WISH, cuts=first.cuts))
    assert kept.cuts == first.cuts
    assert make_plan(framed(lighter), WISH).cuts != first.cuts


@pytest.mark.parametrize("bare", [0.2, 0.5])
def test_the_share_left_bare_follows_the_wish(bare):
    plan = make_plan(framed(blobs(4)), replace(WISH, bare=bare))
    assert plan.bare_share == pytest.approx(bare, abs=0.06)


def test_a_wider_needle_leaves_fewer_and_larger_areas():
    fine, wide = (make_plan(framed(blobs(5)), replace(WISH, bundle_mm=width)) for width in (0.6, 2.4))
    assert len(wide.areas) < len(fine.areas)
    assert min(area.size_mm2 for area in wide.areas) >= wide.bound.least_mm2 > fine.bound.least_mm2
    assert min(area.depth_mm for area in wide.areas) >= 1.2


def test_no_more_areas_than_wished():
    assert len(make_plan(framed(blobs(6, noise=10)), replace(WISH, bundle_mm=0.5)).areas) > 12
    assert len(make_plan(framed(blobs(6, noise=10)), replace(WISH, bundle_mm=0.5, most_areas=12)).areas) <= 12


def test_lines_of_the_reference_make_no_areas():
    reference = stripes((40, 95))
    pen = ImageDraw.Draw(reference)
    scene = framed(reference)
    for picture in (reference, scene.drawing):
        pen = ImageDraw.Draw(picture)
        pen.line((450, 20, 450, 380), fill=0, width=6)
    plan = make_plan(laid(reference, scene.drawing), replace(WISH, tones=3))
    assert [round(area.x) for area in plan.areas] in ([15, 45], [16, 45], [16, 44], [15, 44])


def test_small_lights_in_the_dark_stay_open_and_make_no_areas():
    reference = stripes((15, 90))
    pen = ImageDraw.Draw(reference)
    pen.ellipse((134, 134, 166, 166), fill=255)
    plan = make_plan(framed(reference), replace(WISH, tones=3))
    (light,) = plan.lights
    assert (light.x, light.y) == pytest.approx((15, 15), abs=0.1)
    assert light.radius_mm == pytest.approx(1.6, abs=0.15)
    assert len(plan.areas) == 2
    dark = plan.areas[0]
    assert np.hypot(dark.deep_x - light.x, dark.deep_y - light.y) >= light.radius_mm + dark.depth_mm - 0.2


def test_a_light_on_skin_is_no_highlight():
    reference = stripes((15, 80))
    ImageDraw.Draw(reference).ellipse((440, 140, 460, 160), fill=255)
    assert make_plan(framed(reference), replace(WISH, tones=3)).lights == ()


def window_scene():
    """Draw a frame with a window, a dark ground behind both."""
    reference = Image.new("L", (600, 500), gray_of(25))
    pen = ImageDraw.Draw(reference)
    pen.rectangle((100, 100, 500, 400), fill=gray_of(80))
    pen.rectangle((100, 100, 200, 400), fill=gray_of(50))
    pen.rectangle((260, 180, 420, 320), fill=gray_of(25))
    drawing = Image.new("L", reference.size, 255)
    pen = ImageDraw.Draw(drawing)
    pen.rectangle((100, 100, 500, 400), outline=0, width=3)
    pen.rectangle((260, 180, 420, 320), outline=0, width=3)
    return laid(reference, drawing)


def test_a_window_on_the_background_is_asked_about_once():
    scene, wish = window_scene(), replace(WISH, tones=3)
    plan = make_plan(scene, wish)
    (doubt,) = plan.doubts
    assert 26 < doubt.x < 42
    assert 18 < doubt.y < 32
    assert doubt.share == pytest.approx(16 * 14 / (40 * 30), abs=0.02)
    assert plan.is_dark_behind
    assert plan.areas[0].tone == 0


@pytest.mark.parametrize(("means", "tone"), [("background", -1), ("bare", 2), ("black", 0)])
def test_what_was_said_of_a_window_holds(means, tone):
    answer = EnclosedAnswer(34.0, 25.0, means)
    plan = make_plan(window_scene(), replace(WISH, tones=3, answers=(answer,)))
    number = int(plan.numbers[250, 340])
    assert (plan.areas[number - 1].tone if number else -1) == tone
    assert plan.doubts == ()


def test_skin_that_is_lost_is_said():
    plan = make_plan(framed(stripes((5, 20, 35, 50))), replace(WISH, cuts=(12.0, 27.0, 42.0, 80.0)))
    assert plan.is_bare_lost
    assert plan.bare_share == 0
    assert not make_plan(framed(stripes((5, 20, 35, 50))), WISH).is_bare_lost


def test_what_the_reference_does_not_show_is_no_area():
    scene = framed(stripes(FIVE))
    shown = Image.new("L", scene.reference.size, 0)
    shown.paste(255, (0, 0, 300, 400))
    plan = make_plan(replace(scene, shown=shown), WISH)
    assert not plan.numbers[:, 300:].any()
    assert plan.numbers[200, 200]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"tones": 2}, "3 to 7"),
        ({"tones": 8}, "3 to 7"),
        ({"bundle_mm": 0.01}, "no needle"),
        ({"bare": 0.95}, "left bare"),
        ({"most_areas": 4}, "fewer than"),
    ],
)
def test_a_wish_that_makes_no_sense_is_said(change, words):
    with pytest.raises(UsageError, match=words):
        make_plan(framed(stripes(FIVE)), replace(WISH, **change))


def test_a_drawing_that_encloses_nothing_and_an_even_reference_are_said():
    even = Image.new("L", (300, 300), 128)
    with pytest.raises(UsageError, match="enclose nothing"):
        make_plan(laid(even, Image.new("L", even.size, 255)), WISH)
    with pytest.raises(UsageError, match="one even tone"):
        make_plan(framed(even), WISH)


def test_the_same_pictures_give_the_same_plan():
    one, two = (make_plan(framed(blobs(7)), WISH) for _ in range(2))
    assert one.areas == two.areas
    assert all((a.points == b.points).all() for a, b in zip(one.arcs, two.arcs, strict=True))


def test_gray_and_lightness_are_the_inverse_of_each_other():
    levels = np.arange(256, dtype=np.uint8)[None]
    assert [gray_of(float(light)) for light in lightness(Image.fromarray(levels))[0]] == list(range(256))


def test_smoothing_adds_nothing_that_is_darker_or_lighter():
    light = lightness(blobs(8, noise=0))
    for width in (4.0, 7.0, 8.0, 11.0, 26.0):
        eased = smoothed(light, width)
        assert eased.min() >= light.min() - 0.5
        assert eased.max() <= light.max() + 0.5


def test_starting_from_the_left_works_the_left_first():
    picture = stripes((20, 95, 20, 95, 20), wide=100, high=40)
    plan = make_plan(framed(picture), replace(WISH, tones=3, start=Start.LEFT))
    places = [plan.areas[step[0]].x for step in plan.steps]
    assert places == sorted(places)


def ramp():
    """Paint all lights from dark to bright, a small light in the dark."""
    reference = stripes([10 + 85 * at / 59 for at in range(60)])
    ImageDraw.Draw(reference).ellipse((100, 190, 120, 210), fill=255)
    return framed(reference)


def test_more_tones_are_taken_where_the_steps_would_be_few_unless_they_were_asked_for():
    plan = make_plan(ramp(), WISH)
    assert len(plan.levels) == 7
    assert len(plan.steps) + len(plan.lights) + 1 >= 8
    asked = make_plan(ramp(), replace(WISH, are_tones_set=True))
    assert len(asked.levels) == 5
    kept = make_plan(ramp(), replace(WISH, cuts=asked.cuts))
    assert kept.cuts == asked.cuts


def test_bands_are_narrower_where_the_steps_would_be_few_and_no_narrower_than_that_helps():
    plan = make_plan(framed(stripes((15, 95) * 5, wide=80, high=40, turned=True)), replace(WISH, tones=3))
    assert (len(plan.steps), plan.band_mm) == (5, 10.0)
    assert make_plan(framed(stripes(FIVE)), WISH).band_mm == 20.0


def test_a_kept_plan_is_made_the_way_it_was_made_before():
    scene = framed(stripes((20, 40, 55, 70, 90)))
    ways = {edges: make_plan(scene, replace(WISH, cuts=(30.0, 62.0), edges=edges)) for edges in Edges}
    assert {edges: plan.edges for edges, plan in ways.items()} == {edges: edges for edges in Edges}
