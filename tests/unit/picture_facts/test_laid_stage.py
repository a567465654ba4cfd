"""Photos of a piece and its stencil laid on each other, on pictures whose true place is known, and kept."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image, ImageDraw

from archgen.picture_facts import laid_facts, laid_stage
from archgen.picture_facts.laid_facts import LayJob, LinePicture
from archgen.picture_facts.laid_stage import lay_pictures
from archgen.progress import Silent
from archgen.storage.cache import Cache
from tests.intake_pictures import SIZE, skin, stencil
from tests.unit.laying.test_laying import ornament

TURN, SHARE, SHIFT = 20, 0.6, (30, -40)


@pytest.fixture(scope="module")
def cache(tmp_path_factory):
    return Cache(tmp_path_factory.mktemp("laid") / "cache")


def seen(cache, picture, **changes):
    buffer = BytesIO()
    picture.save(buffer, "PNG")
    return LinePicture(*picture.size, cache.put_blob(buffer.getvalue(), ".png"), **changes)


def place(points, turn=0.0, share=0.8, shift=(0.0, 0.0)):
    """Give where points of the stencil's file lie on a photo; both are drawn by the same strokes."""
    turned = np.radians(turn)
    matrix = np.array([[np.cos(turned), -np.sin(turned)], [np.sin(turned), np.cos(turned)]])
    off = (np.array(points, float) - 450) / (0.95 * 900)
    return off @ matrix.T * share * min(SIZE) + np.array(SIZE) / 2 + np.array(shift)


HEALED = {"turn": TURN, "share": SHARE, "shift": SHIFT}
POINTS = ((200.0, 250.0), (700.0, 640.0))


def points_on(**how):
    return tuple((*one, *map(float, there)) for one, there in zip(POINTS, place(POINTS, **how), strict=True))


def job_of(cache, *, points=((), ()), drawing=None, px_per_mm=None, healed=None):
    photos = (seen(cache, skin(3)), seen(cache, healed or skin(3, red=0.0, seed=2, **HEALED)))
    return LayJob(photos, drawing, px_per_mm, points)


def lay(cache, job):
    return lay_pictures([job], cache, 1, Silent()).get(job)


def opened(cache, layer):
    return Image.open(cache.blobs / layer.picture.blob).convert("RGBA")


@pytest.fixture(scope="module")
def found(cache):
    """All laid by the lines alone; the stencil is printed 60 mm wide."""
    return lay(cache, job_of(cache, drawing=seen(cache, stencil(3)), px_per_mm=15.0))


def test_the_fresh_photo_comes_to_lie_where_the_healed_one_is(cache, found):
    laid = np.asarray(opened(cache, found.fresh), float)
    truth = np.asarray(skin(3, red=0.0, seed=2, **HEALED).resize(laid.shape[1::-1]), float)
    plain = np.asarray(skin(3).resize(laid.shape[1::-1]), float)
    dark, there = truth[..., 0] < 120, laid[..., 3] > 250
    assert (laid[dark & there][:, 0] < 150).mean() > 0.8
    assert (plain[dark][:, 0] < 150).mean() < 0.3


def test_where_the_fresh_photo_ends_its_layer_is_clear(cache, found):
    corner = opened(cache, found.fresh).getpixel((2, 2))
    assert corner[3] == 0


def test_what_the_lines_alone_lead_to_is_a_proposal(found):
    layers = (found.fresh, *found.stencils)
    assert [layer.recorded for layer in layers] == [False] * 3
    assert [layer.settled for layer in layers] == [True] * 3
    assert not found.alike_elsewhere


def test_the_stencil_lies_on_the_lines_of_both_photos(cache, found):
    truth = np.asarray(skin(3, red=0.0, seed=2, **HEALED).convert("L"), float)
    for layer in found.stencils:
        drawn = np.asarray(opened(cache, layer).resize(SIZE))
        violet = (drawn[..., 3] > 200) & (drawn[..., 1] < 100)
        assert violet.sum() > 2000
        assert (truth[violet] < 140).mean() > 0.7


def test_recorded_points_lead_and_are_pulled_in_along_the_lines(cache):
    off = tuple(tuple((*one[:2], one[2] + 7, one[3] - 6) for one in points_on(**how)) for how in ({}, HEALED))
    facts = lay(cache, job_of(cache, points=off, drawing=seen(cache, stencil(3))))
    assert [layer.recorded for layer in (facts.fresh, *facts.stencils)] == [True] * 3
    truth = np.asarray(skin(3, red=0.0, seed=2, **HEALED).convert("L"), float)
    drawn = np.asarray(opened(cache, facts.stencils[1]).resize(SIZE))
    assert (truth[(drawn[..., 3] > 200) & (drawn[..., 1] < 100)] < 140).mean() > 0.7


def test_points_on_one_photo_leave_the_other_a_proposal(cache):
    facts = lay(cache, job_of(cache, points=(points_on(), ()), drawing=seen(cache, stencil(3))))
    assert [layer.recorded for layer in (facts.fresh, *facts.stencils)] == [False, True, False]


def test_points_of_a_mirrored_file_count_where_they_are_on_the_skin(cache):
    flipped = seen(cache, stencil(3).transpose(Image.Transpose.FLIP_LEFT_RIGHT), mirrored=True)
    points = tuple((900 - x, y, *there) for x, y, *there in points_on())
    facts = lay(cache, job_of(cache, points=(points, ()), drawing=flipped))
    assert facts.stencils[0].recorded
    assert facts.stencils[0].settled


def test_a_place_that_only_a_person_saw_is_not_called_settled(cache):
    wrong = tuple((*one[:2], *map(float, place(POINTS[::-1])[number])) for number, one in enumerate(points_on()))
    facts = lay(cache, job_of(cache, points=(wrong, ()), drawing=seen(cache, stencil(3))))
    assert facts.stencils[0].recorded
    assert not facts.stencils[0].settled


def test_another_drawing_is_laid_nowhere(cache):
    # Some of the marks of number 27 agree with those of 3, inside the photo; its lines lie on nothing.
    facts = lay(cache, job_of(cache, drawing=seen(cache, stencil(27)), healed=skin(4, red=0.0, turn=10)))
    assert (facts.fresh, facts.stencils) == (None, (None, None))


def test_a_drawing_found_half_outside_is_not_shown(cache):
    half = skin(3, shift=(300, 0))
    job = LayJob((seen(cache, half),), seen(cache, stencil(3)), None, ((),))
    assert lay(cache, job).stencils == (None,)


def test_no_shift_is_seen_only_where_nine_lines_of_ten_stayed(cache, found):
    assert found.no_shift_seen
    moved = np.asarray(skin(3, red=0.0, seed=2, **HEALED)).copy()
    moved[520:] = np.roll(moved[520:], 24, axis=1)
    shifted = lay(cache, job_of(cache, drawing=seen(cache, stencil(3)), px_per_mm=15.0, healed=Image.fromarray(moved)))
    assert shifted.fresh
    assert not shifted.no_shift_seen
    unmeasured = lay(cache, job_of(cache, drawing=seen(cache, stencil(3))))
    assert unmeasured.fresh
    assert not unmeasured.no_shift_seen
    coarse = lay(cache, job_of(cache, drawing=seen(cache, stencil(3)), px_per_mm=4.0))
    assert not coarse.no_shift_seen


@pytest.mark.parametrize(("share", "chance", "still"), [(0.95, 0.4, True), (0.95, 0.6, False), (0.85, 0.1, False)])
def test_no_shift_is_seen_only_where_chance_would_not_give_the_same(cache, monkeypatch, share, chance, still):
    monkeypatch.setattr(laid_stage, "shares_under", lambda *_: (share, chance))
    # Its own scale, so that nothing of it is known yet.
    job = job_of(cache, drawing=seen(cache, stencil(3)), px_per_mm=15.0 + share + chance)
    assert lay(cache, job).no_shift_seen is still


def test_an_ornament_has_several_places(cache):
    def photo(turn):
        inked = ornament(8).rotate(turn, fillcolor=255)
        paper = Image.new("RGB", (900, 1100), (222, 184, 160))
        paper.paste((40, 36, 38), (0, 100), inked.point(lambda tone: 255 - tone))
        pen = ImageDraw.Draw(paper)
        for x, y in np.random.default_rng(4).uniform(0, 900, (60, 2)):
            pen.line((x, y, x + 25, y + 9), fill=(150, 110, 90), width=3)
        return seen(cache, paper)

    facts = lay(cache, LayJob((photo(0), photo(7)), seen(cache, ornament(8)), None, ((), ())))
    assert facts.fresh or any(facts.stencils)
    assert facts.alike_elsewhere
    assert not facts.no_shift_seen


def test_what_was_laid_is_kept_while_the_pictures_stay_the_same(cache, found, monkeypatch):
    monkeypatch.setattr(laid_stage, "_look", lambda *_: pytest.fail("looked again"))
    assert lay(cache, job_of(cache, drawing=seen(cache, stencil(3)), px_per_mm=15.0)) == found


def test_a_layer_that_is_gone_is_made_again(cache, found):
    (cache.blobs / found.fresh.picture.blob).unlink()
    again = lay(Cache(cache.folder), job_of(cache, drawing=seen(cache, stencil(3)), px_per_mm=15.0))
    assert again == found
    assert (cache.blobs / found.fresh.picture.blob).exists()


def test_a_picture_that_fails_keeps_no_other_from_being_laid(cache):
    good = job_of(cache, drawing=seen(cache, stencil(3)))
    bad = LayJob((LinePicture(900, 900, "gone.png"), *good.photos[1:]), None, None, ((), ()))
    assert lay_pictures([bad, good], cache, 1, Silent()).keys() == {good}


@pytest.mark.parametrize("turned", [0, 7, -4])
def test_what_both_photos_show_is_the_largest_part_without_clear_corners(turned):
    photo = Image.new("RGBA", (600, 800), "red").rotate(turned)
    part = laid_stage._filled_part(photo)
    box = (part.left * 600, part.top * 800, (part.left + part.width) * 600, (part.top + part.height) * 800)
    assert np.asarray(photo.crop(tuple(map(round, box))).getchannel("A")).min() == 255
    assert (part == laid_facts.WHOLE) is (turned == 0)
    assert part.width * part.height > 0.7


def test_where_the_two_hardly_meet_all_is_shown():
    photo = Image.new("RGBA", (600, 800))
    photo.paste("red", (0, 0, 200, 300))
    assert laid_stage._filled_part(photo) == laid_facts.WHOLE
