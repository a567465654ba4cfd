"""Copies that are easily taken for another kind of copy."""

import io

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageEnhance, ImageFilter, ImageOps

from archgen.twins.engine import find_pairs
from archgen.twins.model import Pair, Relation
from tests.unit.twins.pictures import drawing, items, photograph

DRAWING, PHOTOGRAPH = drawing(1), photograph(1)


def pair_of(a: Image.Image, b: Image.Image) -> Pair:
    (pair,) = find_pairs(items(a=a, b=b))
    return pair


def relation(a: Image.Image, b: Image.Image) -> Relation:
    return pair_of(a, b).relation


def gamma(picture: Image.Image, value: float) -> Image.Image:
    return picture.point([round(255 * (level / 255) ** value) for level in range(256)] * len(picture.getbands()))


def jpeg(picture: Image.Image, quality: int) -> Image.Image:
    buffer = io.BytesIO()
    picture.save(buffer, "JPEG", quality=quality)
    return Image.open(buffer).convert(picture.mode)


def noisy(picture: Image.Image, sigma: float, seed: int = 1) -> Image.Image:
    pixels = np.asarray(picture, np.float32)
    grain = np.random.default_rng(seed).normal(0, sigma, pixels.shape)
    return Image.fromarray(np.clip(pixels + grain, 0, 255).astype(np.uint8))


def sky(seed: int = 4) -> Image.Image:
    """A photograph that is mostly an even gradient, with a dark edge and little else below."""
    out = Image.linear_gradient("L").resize((450, 300)).point(lambda v: 120 + v // 3)
    rng = np.random.default_rng(seed)
    draw = ImageDraw.Draw(out)
    heights = 235 + np.cumsum(rng.normal(0, 4, 46)).clip(-40, 40)
    draw.polygon([(0, 300), *[(10 * k, int(h)) for k, h in enumerate(heights)], (450, 300)], fill=40)
    return noisy(out.convert("RGB").filter(ImageFilter.GaussianBlur(1)), 2)


def colored_card() -> Image.Image:
    """Even shapes in colours on paper: light, middling and dark ones."""
    out = Image.new("RGB", (400, 300), "white")
    draw = ImageDraw.Draw(out)
    draw.rectangle((40, 40, 180, 150), fill=(70, 70, 150))
    draw.ellipse((200, 60, 360, 200), fill=(190, 120, 60))
    draw.polygon([(60, 260), (150, 170), (230, 270)], fill=(230, 210, 120))
    return out.filter(ImageFilter.GaussianBlur(0.7))


def warped(picture: Image.Image, degrees: float, scale: float, shift: tuple[int, int]) -> Image.Image:
    """Another view of the same: turned, zoomed and shifted by a little, with what lies around."""
    pad = 40
    wide = Image.fromarray(np.pad(np.asarray(picture.convert("RGB")), ((pad, pad), (pad, pad), (0, 0)), "reflect"))
    turned = wide.rotate(degrees, Image.Resampling.BICUBIC, translate=shift)
    w, h = (side / scale for side in picture.size)
    x, y = (turned.width - w) / 2, (turned.height - h) / 2
    return turned.resize(picture.size, Image.Resampling.BICUBIC, box=(x, y, x + w, y + h))


def slanted(picture: Image.Image) -> Image.Image:
    w, h = picture.size
    corners = (-0.03 * w, 0.02 * h, 0.04 * w, 0.96 * h, 0.97 * w, 1.04 * h, 1.03 * w, -0.04 * h)
    return picture.transform(picture.size, Image.Transform.QUAD, corners, Image.Resampling.BICUBIC, fillcolor="white")


class TestTonesAreNoOtherLines:
    @pytest.mark.parametrize("value", [0.6, 1.7])
    def test_gamma_on_the_soft_edges_of_a_small_drawing(self, value):
        small = drawing(1, (210, 180), 4)
        assert relation(small, gamma(small, value)) is not Relation.VERSION

    @pytest.mark.parametrize("factor", [0.6, 1.5])
    def test_contrast_on_even_colours(self, factor):
        card = colored_card()
        assert relation(card, ImageEnhance.Contrast(card).enhance(factor)) is Relation.EDITED

    def test_gamma_on_even_colours(self):
        card = colored_card()
        assert relation(card, gamma(card, 1.7)) is Relation.EDITED

    def test_a_scan_on_gray_paper(self):
        soft = np.asarray(DRAWING.rotate(0.4, Image.Resampling.BICUBIC, fillcolor=255), np.float32) / 255
        light = np.linspace(0.98, 0.86, soft.shape[1])[None]
        scan = Image.fromarray(((0.15 + 0.8 * soft) * light * 255).astype(np.uint8))
        assert relation(DRAWING, noisy(scan, 4).filter(ImageFilter.GaussianBlur(0.6))) is Relation.EDITED

    def test_a_quarter_of_the_size(self):
        fine = drawing(2, (640, 560), 3)
        assert relation(fine, fine.resize((160, 140), Image.Resampling.LANCZOS)) is Relation.IDENTICAL

    def test_a_black_border(self):
        assert relation(colored_card(), ImageOps.expand(colored_card(), 24, "black")) is Relation.EDITED


class TestOtherLines:
    @pytest.mark.parametrize("filter_", [ImageFilter.MinFilter(3), ImageFilter.MaxFilter(3)], ids=["up", "down"])
    def test_a_pixel_more_or_less_in_nine_hundred(self, filter_):
        fine = drawing(3, (900, 800), 12)
        assert relation(fine, fine.filter(filter_)) is Relation.VERSION

    def test_a_drawing_cut_at_a_light_gray(self):
        shaded = DRAWING.filter(ImageFilter.GaussianBlur(1))
        assert relation(shaded, shaded.point(lambda v: 255 if v > 205 else 0)) is Relation.VERSION

    def test_a_black_and_white_picture_darkened_is_not_cut(self):
        cut = DRAWING.point(lambda v: 255 if v > 128 else 0)
        assert relation(cut, ImageEnhance.Brightness(cut).enhance(0.7)) is Relation.EDITED

    def test_another_photograph_has_no_lines(self):
        assert pair_of(PHOTOGRAPH, ImageEnhance.Brightness(PHOTOGRAPH).enhance(0.8)).weight is None


class TestPlaces:
    @pytest.mark.parametrize("picture", [sky(), PHOTOGRAPH], ids=["sky", "shapes"])
    @pytest.mark.parametrize("share", [0.02, 0.1])
    def test_a_part_lies_where_it_was_cut_out(self, picture, share):
        w, h = picture.size
        x, y = round(w * share * 0.4), round(h * share * 0.7)
        right, bottom = x + round(w * (1 - share)), y + round(h * (1 - share))
        pair = pair_of(picture, picture.crop((x, y, right, bottom)))
        assert (pair.relation, pair.part) == (Relation.CROPPED, "b")
        box = (pair.box.left, pair.box.top, pair.box.right, pair.box.bottom)
        assert box == pytest.approx((x / w, y / h, right / w, bottom / h), abs=0.003)

    @pytest.mark.parametrize("picture", [DRAWING, PHOTOGRAPH], ids=["drawing", "photograph"])
    def test_one_row_of_pixels_is_no_part(self, picture):
        w, h = picture.size
        assert relation(picture, picture.crop((0, 0, w, h - 1))) is Relation.IDENTICAL

    @pytest.mark.parametrize("picture", [DRAWING, PHOTOGRAPH], ids=["drawing", "photograph"])
    def test_a_small_move_of_the_hand_is_a_burst(self, picture):
        moved = noisy(warped(picture, 0.6, 1.008, (5, -4)), 3)
        assert relation(picture.convert("RGB"), ImageEnhance.Brightness(moved).enhance(0.97)) is Relation.BURST

    @pytest.mark.parametrize("picture", [DRAWING, PHOTOGRAPH], ids=["drawing", "photograph"])
    def test_a_slanted_view_is_no_burst(self, picture):
        assert relation(picture, slanted(picture)) is Relation.EDITED

    @pytest.mark.parametrize("picture", [DRAWING, PHOTOGRAPH], ids=["drawing", "photograph"])
    def test_an_edit_of_the_whole_lies_over_the_whole(self, picture):
        pair = pair_of(picture, ImageEnhance.Contrast(picture).enhance(1.5))
        assert pair.transform == (1, 0, 0, 0, 1, 0)

    def test_a_screenshot_of_a_tall_drawing_is_no_part(self):
        tall = drawing(5, (400, 760))
        screen = Image.new("L", (440, 1000), 255)
        screen.paste(tall.resize((440, 836)), (0, 82))
        assert relation(tall, screen) is Relation.EDITED

    def test_symmetric_art_cut_at_another_gray_was_not_turned(self):
        card = Image.new("L", (280, 380), 255)
        draw = ImageDraw.Draw(card)
        for x, y in ((60, 60), (130, 180), (200, 300), (200, 60), (60, 300)):
            draw.ellipse((x, y, x + 24, y + 24), fill=110)
        draw.rounded_rectangle((6, 6, 274, 374), 16, outline=170, width=2)
        draw.line((8, 376, 276, 376), fill=150, width=4)
        soft = card.filter(ImageFilter.GaussianBlur(0.7))
        assert pair_of(soft, soft.point(lambda v: 255 if v > 190 else 0)).turned == 0


class TestSharpness:
    def test_a_sharpened_photograph_is_edited(self):
        sharp = PHOTOGRAPH.filter(ImageFilter.UnsharpMask(3, 150, 2))
        assert relation(PHOTOGRAPH, sharp) is Relation.EDITED

    def test_a_sharpened_drawing_with_gray_edges_is_edited(self):
        soft = DRAWING.filter(ImageFilter.GaussianBlur(1))
        assert relation(soft, soft.filter(ImageFilter.UnsharpMask(3, 150, 2))) is Relation.EDITED

    @pytest.mark.parametrize("quality", [30, 60, 90])
    def test_the_noise_of_an_encoding_is_not_sharpness(self, quality):
        grainy = noisy(PHOTOGRAPH, 6)
        assert relation(grainy, jpeg(grainy, quality)) is Relation.IDENTICAL

    @pytest.mark.parametrize("factor", [0.5, 1.5, 2.0])
    def test_another_size_is_not_sharpness(self, factor):
        small = photograph(2, (240, 180))
        sides = tuple(round(side * factor) for side in small.size)
        assert relation(small, small.resize(sides, Image.Resampling.LANCZOS)) is Relation.IDENTICAL
