import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageOps

from archgen.twins import proving
from archgen.twins.description.prepare import prepare
from archgen.twins.engine import find_pairs
from archgen.twins.model import ComparedPicture, Relation
from archgen.twins.search.clusters import LARGE_HEAP, find_clusters, lie_on_each_other
from tests.unit.twins.pictures import drawing, photograph

DRAWING, PHOTOGRAPH = drawing(1, (630, 540)), photograph(1, (720, 540))


def encoded(picture: Image.Image, quality: int) -> Image.Image:
    buffer = io.BytesIO()
    picture.convert("RGB").save(buffer, "JPEG", quality=quality)
    return Image.open(buffer)


def plainly_same(one: Image.Image, two: Image.Image) -> bool:
    return lie_on_each_other(prepare(one), prepare(two))


@pytest.mark.parametrize("picture", [DRAWING, PHOTOGRAPH], ids=["drawing", "photograph"])
class TestAtAGlance:
    @pytest.mark.parametrize("quality", [40, 90])
    def test_another_encoding_lies_on_its_original(self, picture, quality):
        assert plainly_same(picture, encoded(picture, quality))

    def test_another_size_lies_on_its_original(self, picture):
        assert plainly_same(picture, picture.resize((480, 480 * picture.height // picture.width)))

    def test_a_part_does_not(self, picture):
        assert not plainly_same(picture, ImageOps.crop(picture, 8))

    def test_a_move_by_half_a_percent_does_not(self, picture):
        w, h = picture.size
        assert not plainly_same(picture.crop((0, 0, w - 4, h - 4)), picture.crop((4, 4, w, h)))

    def test_a_change_in_one_place_does_not(self, picture):
        changed = picture.copy()
        ImageDraw.Draw(changed).ellipse((300, 200, 340, 240), "black")
        assert not plainly_same(picture, changed)


def test_a_heap_is_not_aligned_one_by_one(monkeypatch):
    many = [ComparedPicture(f"{n:02d}", prepare(encoded(PHOTOGRAPH, 40 + n))) for n in range(LARGE_HEAP + 6)]
    monkeypatch.setattr(proving, "align", lambda *_: pytest.fail("aligned"))
    pairs = find_pairs(many)
    assert {(pair.a, pair.relation) for pair in pairs} == {("00", Relation.IDENTICAL)}
    assert len(pairs) == len(many) - 1


def test_the_members_of_a_heap_are_named_by_what_they_are():
    darker = PHOTOGRAPH.point(lambda v: round(v * 0.9))
    many = [ComparedPicture(f"{n:02d}", prepare(encoded(PHOTOGRAPH, 50 + n))) for n in range(LARGE_HEAP + 6)]
    found = find_pairs([*many, ComparedPicture("dark", prepare(darker))])
    assert [pair.relation for pair in found if pair.b == "dark"] == [Relation.EDITED]


def test_many_encodings_of_one_picture_form_few_heaps():
    rng = np.random.default_rng(1)
    pixels = np.asarray(PHOTOGRAPH, np.float32)
    noisy = [np.clip(pixels + rng.normal(0, 3, pixels.shape), 0, 255).astype(np.uint8) for _ in range(80)]
    many = [ComparedPicture(f"{number:04d}", prepare(Image.fromarray(one))) for number, one in enumerate(noisy)]
    assert len(find_clusters(many)) >= 50


def test_stencils_and_photographs_form_no_common_heap():
    prepared = prepare(DRAWING)
    many = [ComparedPicture(f"{n:03d}", prepared, is_stencil=bool(n % 2)) for n in range(4 * LARGE_HEAP)]
    assert {leader % 2 == follower % 2 for follower, leader in find_clusters(many).items()} == {True}


def test_a_few_of_a_picture_are_no_heap():
    prepared = prepare(DRAWING)
    assert find_clusters([ComparedPicture(str(n), prepared) for n in range(LARGE_HEAP)]) == {}


def test_pictures_that_only_share_their_largest_waves_are_no_heap():
    rng = np.random.default_rng(1)
    prepared = prepare(PHOTOGRAPH)
    (view, *_) = prepared.views
    many = []
    for number in range(2 * LARGE_HEAP):
        other = view.coefficients + rng.normal(0, 0.05, view.coefficients.shape).astype(np.float32)
        many.append(ComparedPicture(f"{number:02d}", replace(prepared, views=(replace(view, coefficients=other),))))
    assert find_clusters(many) == {}
