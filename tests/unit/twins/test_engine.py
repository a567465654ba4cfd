import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageEnhance, ImageFilter, ImageOps

from archgen.twins import proving
from archgen.twins.description.prepare import prepare
from archgen.twins.engine import Known, find_pairs
from archgen.twins.groups import groups
from archgen.twins.model import ComparedPicture, Pair, Relation
from archgen.twins.naming.relation import is_other_day
from tests.unit.twins.pictures import drawing, items, photograph

T = Image.Transpose
DRAWING, PHOTOGRAPH = drawing(1), photograph(1)


def pair_of(a: Image.Image, b: Image.Image) -> Pair:
    (pair,) = find_pairs(items(a=a, b=b))
    return pair


@pytest.mark.parametrize("picture", [DRAWING, PHOTOGRAPH], ids=["drawing", "photograph"])
class TestRelation:
    def test_a_smaller_copy_is_identical(self, picture):
        assert (
            pair_of(picture, picture.resize((240, 200) if picture is DRAWING else (240, 180))).relation
            is Relation.IDENTICAL
        )

    @pytest.mark.parametrize(("turn", "degrees"), [(T.ROTATE_270, 90), (T.ROTATE_180, 180), (T.ROTATE_90, 270)])
    def test_a_turned_copy_is_turned(self, picture, turn, degrees):
        pair = pair_of(picture, picture.transpose(turn))
        assert (pair.relation, pair.mirrored, pair.turned) == (Relation.TURNED, False, degrees)

    def test_a_mirrored_copy_is_mirrored(self, picture):
        pair = pair_of(picture, ImageOps.mirror(picture))
        assert (pair.relation, pair.mirrored, pair.turned) == (Relation.MIRRORED, True, 0)

    def test_a_flipped_copy_is_mirrored_and_turned_by_half(self, picture):
        pair = pair_of(picture, ImageOps.flip(picture))
        assert (pair.relation, pair.mirrored, pair.turned) == (Relation.MIRRORED, True, 180)

    def test_a_part_says_where_it_was(self, picture):
        w, h = picture.size
        pair = pair_of(picture, picture.crop((w // 10, 0, w, h * 4 // 5)))
        assert (pair.relation, pair.part) == (Relation.CROPPED, "b")
        box = (pair.box.left, pair.box.top, pair.box.right, pair.box.bottom)
        assert box == pytest.approx((0.1, 0, 1, 0.8), abs=0.01)

    def test_a_darker_copy_is_edited(self, picture):
        assert pair_of(picture, ImageEnhance.Brightness(picture).enhance(0.75)).relation is Relation.EDITED

    def test_a_blurred_copy_is_edited(self, picture):
        assert pair_of(picture, picture.filter(ImageFilter.GaussianBlur(1.6))).relation is Relation.EDITED

    def test_a_black_border_is_an_edit(self, picture):
        assert pair_of(picture, ImageOps.expand(picture.convert("RGB"), 30, "black")).relation is Relation.EDITED

    def test_a_copy_tilted_by_five_degrees_is_found(self, picture):
        pair = pair_of(picture, picture.rotate(5, Image.Resampling.BICUBIC, expand=True, fillcolor="white"))
        assert (pair.relation, pair.turned) == (Relation.EDITED, 0)


@pytest.mark.parametrize(("weight", "thicker"), [(9, True), (2, False)])
def test_the_same_drawing_with_other_lines_is_a_version(weight, thicker):
    pair = pair_of(DRAWING, drawing(1, weight=weight))
    assert pair.relation is Relation.VERSION
    assert (pair.weight > 1) is thicker


def test_a_mirrored_thicker_part_is_a_mirrored_version():
    other = ImageOps.mirror(drawing(1, weight=9)).crop((20, 10, 420, 350))
    pair = pair_of(DRAWING, other)
    assert (pair.relation, pair.mirrored) == (Relation.VERSION, True)


def test_two_exposures_of_one_moment_are_a_burst():
    wide = photograph(3, (520, 400))
    first, second = wide.crop((20, 20, 500, 380)), wide.crop((27, 14, 507, 374))
    assert pair_of(first, second).relation is Relation.BURST


@pytest.mark.parametrize(("seconds", "relation"), [(2.0, Relation.BURST), (9000.0, Relation.EDITED)])
def test_the_time_of_exposure_decides_about_a_burst(seconds, relation):
    wide = photograph(3, (520, 400))
    shots = [wide.crop((20, 20, 500, 380)), wide.crop((27, 14, 507, 374))]
    (pair,) = find_pairs([ComparedPicture(str(n), prepare(shot), taken=n * seconds) for n, shot in enumerate(shots)])
    assert pair.relation is relation


def test_a_screenshot_is_found_whatever_the_phone_shows_around_it():
    screen = Image.new("RGB", (480, 1000), "black")
    screen.paste(PHOTOGRAPH, (0, 320))
    assert pair_of(PHOTOGRAPH, screen).relation is Relation.EDITED


def test_screenshots_of_different_pictures_are_not_alike():
    screens = {}
    for seed in range(4):
        screens[f"s{seed}"] = Image.new("RGB", (480, 1000), "black")
        screens[f"s{seed}"].paste(photograph(seed), (0, 320))
    assert find_pairs(items(**screens)) == []


def test_different_pictures_are_not_paired():
    pictures = {f"d{seed}": drawing(seed) for seed in range(12)} | {f"p{seed}": photograph(seed) for seed in range(12)}
    assert find_pairs(items(**pictures)) == []


def test_neighbouring_parts_of_one_photograph_are_not_paired():
    wide = photograph(8, (960, 720))
    assert (
        find_pairs(items(**{f"{x}{y}": wide.crop((x, y, x + 480, y + 360)) for x in (0, 480) for y in (0, 360)})) == []
    )


def test_the_transform_sends_points_of_the_second_to_the_first():
    w, h = PHOTOGRAPH.size
    part = ImageOps.mirror(PHOTOGRAPH.crop((48, 36, w, h)))
    xx, xy, x0, yx, yy, y0 = pair_of(PHOTOGRAPH, part).transform
    # The left edge of the mirrored part is the right edge of the original.
    assert (x0, y0) == pytest.approx((1.0, 0.1), abs=0.01)
    assert (xx, yy) == pytest.approx((-0.9, 0.9), abs=0.01)
    assert (xy, yx) == pytest.approx((0, 0), abs=0.01)


def test_the_order_of_the_items_does_not_matter():
    found = items(c=DRAWING, a=ImageOps.mirror(DRAWING), b=DRAWING.resize((210, 180)))
    assert find_pairs(found) == find_pairs(found[::-1])
    assert [(pair.a, pair.b) for pair in find_pairs(found)] == [("a", "b"), ("a", "c"), ("b", "c")]


def test_a_stencil_is_not_paired_with_a_photograph():
    prepared = prepare(DRAWING)
    found = [ComparedPicture("a", prepared, is_stencil=True), ComparedPicture("b", prepared, is_stencil=False)]
    assert find_pairs(found) == []


def test_known_pairs_are_taken_over_without_a_look(monkeypatch):
    first = items(a=DRAWING, b=ImageOps.mirror(DRAWING))
    known = Known({item.key: item.prepared.digest for item in first}, find_pairs(first))
    monkeypatch.setattr(proving, "_prove", lambda *_: pytest.fail("compared again"))
    assert find_pairs(first, known) == list(known.pairs)


def test_a_new_picture_gives_what_a_full_run_gives():
    first = items(a=DRAWING, b=ImageOps.mirror(DRAWING), p=PHOTOGRAPH)
    known = Known({item.key: item.prepared.digest for item in first}, find_pairs(first))
    more = [*first, *items(c=DRAWING.crop((30, 20, 420, 360)), q=photograph(9))]
    assert find_pairs(more, known) == find_pairs(more)


def test_pairs_of_a_changed_picture_are_forgotten():
    first = items(a=DRAWING, b=ImageOps.mirror(DRAWING))
    known = Known({item.key: item.prepared.digest for item in first}, find_pairs(first))
    assert find_pairs([first[0], *items(b=drawing(2))], known) == []


def test_many_copies_of_one_picture_do_not_become_their_square():
    prepared = prepare(PHOTOGRAPH)
    many = [ComparedPicture(f"{number:04d}", prepared) for number in range(600)]
    counted = []
    pairs = find_pairs(many, progress=lambda _, total: counted.append(total))
    assert len(pairs) == len(counted) == 599
    (group,) = groups(pairs)
    assert len(group.keys) == 600
    assert {pair.relation for pair in pairs} == {Relation.IDENTICAL}


def test_likeness_on_another_day_must_be_certain():
    first, later = (
        ComparedPicture(key, prepare(PHOTOGRAPH), taken=taken) for key, taken in (("a", 0.0), ("b", 86_400.0))
    )
    assert is_other_day(first, later, 0.8)
    assert not is_other_day(first, later, 0.97)
    assert not is_other_day(first, ComparedPicture("c", later.prepared), 0.8)


def ring(*shapes: str) -> Image.Image:
    """A ring, as many designs have it, with shapes inside."""
    sheet = Image.new("L", (400, 400), 255)
    pen = ImageDraw.Draw(sheet)
    pen.ellipse((20, 20, 380, 380), outline=0, width=6)
    pen.ellipse((50, 50, 350, 350), outline=0, width=4)
    for shape in shapes:
        if shape == "star":
            pen.regular_polygon((200, 200, 90), 3, rotation=15, outline=0, width=6)
        elif shape == "cross":
            pen.line((200, 110, 200, 290), fill=0, width=7)
            pen.line((130, 170, 270, 170), fill=0, width=7)
    return sheet


def arm(piece: str) -> Image.Image:
    """The same forearm with another piece on it."""
    rng = np.random.default_rng(4)
    light = 150 + 40 * np.sin(np.linspace(0.4, 2.7, 360))[None, :].repeat(480, axis=0) + rng.normal(0, 2, (480, 360))
    skin = Image.fromarray(np.stack([light, light * 0.8, light * 0.68], axis=2).clip(0, 255).astype(np.uint8))
    pen = ImageDraw.Draw(skin)
    pen.rectangle((0, 0, 70, 480), fill="#3a4a46")
    pen.polygon([(290, 0), (360, 0), (360, 480), (310, 480)], fill="#3a4a46")
    if piece == "moon":
        pen.ellipse((130, 180, 230, 280), outline="#2a2422", width=5)
        pen.arc((160, 170, 270, 290), 90, 270, fill="#2a2422", width=4)
    elif piece == "arrow":
        pen.line((180, 130, 180, 340), fill="#2a2422", width=5)
        pen.line([(140, 180), (180, 130), (220, 180)], fill="#2a2422", width=5)
    return skin


@pytest.mark.parametrize("pieces", [(ring("star"), ring("cross")), (ring("star"), ring()), (arm("moon"), arm("arrow"))])
def test_another_piece_in_the_same_place_is_no_copy(pieces):
    assert not find_pairs(items(a=pieces[0], b=pieces[1]))


@pytest.mark.parametrize("piece", [ring("star"), arm("moon")])
def test_a_copy_of_such_a_piece_is_one(piece):
    dark = ImageEnhance.Brightness(piece).enhance(0.8).filter(ImageFilter.GaussianBlur(1))
    assert find_pairs(items(a=piece, b=dark))


def test_a_gray_copy_of_skin_is_found():
    skin = arm("moon")
    assert find_pairs(items(a=skin, b=skin.convert("L")))
    assert find_pairs(items(a=skin, b=ImageOps.mirror(skin.convert("L"))))
