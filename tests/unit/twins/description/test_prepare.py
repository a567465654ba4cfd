import numpy as np
import pytest
from PIL import Image, ImageFilter

from archgen.twins.description.prepare import prepare, sharpness, tones
from archgen.twins.description.prepared import Prepared
from archgen.twins.description.signature import PictureKind
from archgen.twins.engine import find_pairs
from tests.unit.twins.pictures import drawing, items, photograph


def test_packing_and_unpacking_keeps_everything():
    prepared = prepare(photograph(1))
    again = Prepared.from_bytes(prepared.to_bytes())
    assert again.to_bytes() == prepared.to_bytes()
    assert again.digest == prepared.digest
    assert np.array_equal(again.gray, prepared.gray)
    assert [view.box for view in again.views] == [view.box for view in prepared.views]


def test_the_same_picture_gives_the_same_bytes():
    assert prepare(drawing(3)).to_bytes() == prepare(drawing(3)).to_bytes()


def test_a_prepared_picture_takes_some_tens_of_kilobytes():
    assert len(prepare(photograph(1, (1600, 1200))).to_bytes()) < 60_000


@pytest.mark.parametrize("data", [b"", b"x" * 40, prepare(drawing(1)).to_bytes()[:500]])
def test_damaged_bytes_are_refused(data):
    with pytest.raises(ValueError, match="prepared"):
        Prepared.from_bytes(data)


def test_a_drawing_and_a_photograph_are_told_apart():
    assert {view.kind for view in prepare(drawing(5)).views} == {PictureKind.LINE}
    assert {view.kind for view in prepare(photograph(5)).views} == {PictureKind.PHOTO}


def test_other_tones_leave_as_much_bare_paper():
    picture = drawing(1).filter(ImageFilter.GaussianBlur(0.6))
    bare = tones(picture)[0]
    assert tones(picture.point(lambda v: v * 7 // 10))[0] == pytest.approx(bare, abs=0.002)
    assert tones(drawing(1, weight=9))[0] < bare - 0.01


def test_a_picture_cut_to_black_and_white_has_no_half_tones():
    assert tones(drawing(1).point(lambda v: 255 if v > 128 else 0))[1] == 0
    assert tones(drawing(1))[1] > 0.03


def test_transparent_ink_is_seen_on_white_paper():
    ink = drawing(7)
    clear = Image.merge("LA", (Image.new("L", ink.size, 0), Image.eval(ink, lambda v: 255 - v)))
    assert np.abs(prepare(clear).gray.astype(int) - prepare(ink).gray).max() <= 2


@pytest.mark.parametrize(
    "picture",
    [
        Image.new("RGB", (400, 300), "white"),
        Image.new("L", (300, 300), 90),
        Image.new("L", (1, 1)),
        Image.new("RGB", (9, 700), "red"),
        Image.linear_gradient("L").resize((4000, 20)),
        Image.new("1", (64, 64)),
        Image.new("P", (80, 80), 3),
    ],
    ids=["white", "gray", "one pixel", "narrow", "strip", "bilevel", "palette"],
)
def test_a_picture_without_content_is_never_paired(picture):
    assert find_pairs(items(a=picture, b=picture.copy(), c=drawing(1))) == []


def test_pictures_of_noise_are_not_alike():
    rng = np.random.default_rng(5)
    noise = {f"n{n}": Image.fromarray(rng.integers(0, 256, (300, 400), np.uint8)) for n in range(6)}
    assert find_pairs(items(**noise)) == []


def test_a_blurred_copy_is_less_sharp():
    sharp = photograph(2)
    measures = [sharpness(sharp.filter(ImageFilter.GaussianBlur(radius))) for radius in (0, 1, 2, 4)]
    assert measures == sorted(measures, reverse=True)


def test_a_blurred_background_does_not_make_a_picture_less_sharp_than_a_shaken_one():
    sharp = photograph(2)
    soft = sharp.filter(ImageFilter.GaussianBlur(2))
    portrait = soft.filter(ImageFilter.GaussianBlur(6))
    portrait.paste(sharp.crop((120, 90, 360, 270)), (120, 90))
    assert sharpness(portrait) > sharpness(soft)
