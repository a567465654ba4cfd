"""Specks far from a drawing are named and can be left out; what belongs to the drawing isn't one."""

import numpy as np
import pytest
from PIL import Image

from archgen.picture_facts.facts import Role
from archgen.stencils import specks
from archgen.stencils.marks import find_marks, read_marks, without_specks
from archgen.stencils.specks import find_specks
from tests.unit.images.pictures import codes, line_art, read_one


def drawing(*more):
    ink = np.zeros((1000, 1200), bool)
    ink[300:900, 300:303] = ink[300:900, 1097:1100] = ink[300:303, 300:1100] = True
    for top, left, size in more:
        ink[top : top + size, left : left + size] = True
    return ink


@pytest.mark.parametrize(("place", "share"), [((10, 20, 1), 280 / 1080), ((990, 1190, 2), 92 / 892)])
def test_a_speck_on_either_side_is_found_with_what_it_costs(place, share):
    found = find_specks(drawing(place))
    top, left, size = place
    assert found.boxes == ((left, top, left + size, top + size),)
    assert found.share == pytest.approx(share)
    assert f"A speck lies far from the drawing, {left} pixels from the left of the picture and {top} " in found.sentence
    assert f"prints {share:.0%} smaller than without it" in found.sentence


def test_specks_on_both_sides_count_together():
    found = find_specks(drawing((10, 20, 1), (990, 1190, 2)))
    assert found.share == pytest.approx(1 - 800 / 1172)
    assert found.taller == pytest.approx(1 - 600 / 982)


def test_seven_specks_all_round_and_one_in_the_open_middle_are_counted():
    places = [(20, 30), (40, 1100), (150, 600), (500, 60), (700, 1180), (960, 200), (950, 900), (600, 700)]
    found = find_specks(drawing(*((*place, 2) for place in places)))
    assert sorted((top, left) for left, top, _, _ in found.boxes) == sorted(places)
    assert (
        "8 specks lie far from the drawing, the first 30 pixels from the left of the picture and 20 " in found.sentence
    )
    assert "smaller than without them" in found.sentence


def test_a_speck_above_makes_it_taller_only():
    found = find_specks(drawing((10, 700, 1)))
    assert (found.share, found.taller) == (0, pytest.approx(290 / 890))
    assert found.sentence.endswith("from the top. The height counts up to it.")


@pytest.mark.parametrize("more", [
    (), ((500, 600, 1),), ((500, 290, 1),), ((10, 20, 6),), tuple((310, 260 - n * 30, 3) for n in range(6)),
    ((500, 600, 1), (500, 290, 1)),
], ids=["nothing", "inside", "near", "a dot", "dots running out", "inside and near"])  # fmt: skip
def test_what_is_of_the_drawing_is_none(more):
    assert find_specks(drawing(*more)) is None


def test_dots_alone_and_nothing_are_no_specks():
    ink = np.zeros((500, 500), bool)
    assert find_specks(ink) is None
    ink[10, ::100] = True
    assert find_specks(ink) is None


def test_many_small_dots_are_more_than_specks():
    ink = drawing()
    ink[::15, 20] = True
    assert find_specks(ink) is None


def test_dots_that_have_much_of_the_ink_are_more_than_specks():
    assert find_specks(drawing(*((40 + 60 * n, 20, 5) for n in range(12)))) is None


def test_in_a_large_picture_they_are_found_on_a_smaller_copy():
    ink = np.kron(drawing((990, 1190, 1)), np.ones((5, 5), bool))
    found = find_specks(ink)
    assert found.share == pytest.approx(91 / 891, abs=0.001)
    ((left, top, right, bottom),) = found.boxes
    assert left <= 5950 < right - 4 < left + 8
    assert top <= 4950 < bottom - 4 < top + 8


def test_the_drawing_without_them_has_its_own_box_and_no_gray_rim():
    gray = np.where(drawing(), 0, 255).astype(np.uint8)
    gray[10:13, 20:23] = 90
    gray[9:14, 19], gray[9:14, 23] = 200, 200
    picture = Image.fromarray(gray)
    found = find_marks(picture, "a.png", scanned=False)
    assert found.box[0] == pytest.approx(20, abs=0.6)
    alone = without_specks(found)
    assert alone.box == (300, 300, 1100, 900)
    assert (np.asarray(alone.gray)[:250] == 255).all()
    assert (len(found.warnings), len(alone.warnings), alone.specks, alone.origin) == (1, 0, None, found.origin)
    assert without_specks(alone) is alone


def test_the_picture_stage_and_the_print_tell_of_it(tmp_path):
    folder = tmp_path / "in"
    folder.mkdir()
    art = line_art(900, 600, (300, 40, 860, 560))
    art.putpixel((12, 9), 0)
    art.save(folder / "s.png")
    found = read_one(folder, "s.png", Role.STENCIL)
    assert codes(found) == ["image.speck"]
    assert "12 pixels from the left" in found.findings[0].problem
    assert "--without-specks" in found.findings[0].remedy
    assert any("12 pixels from the left" in sentence for sentence in read_marks(folder / "s.png").warnings)
    assert codes(read_one(folder, "s.png", Role.PHOTO)) == []


def test_looking_at_the_ends_first_misses_no_speck(monkeypatch):
    """Drawings of one to three blocks with up to five small spots anywhere: the quick look changes no answer."""
    chance = np.random.default_rng(3)
    pictures = []
    for _ in range(120):
        ink = np.zeros((400, 500), bool)
        for least, most, far in ((3, 150, 50), *((1, 4, 0),) * int(chance.integers(0, 6))):
            for _ in range(1 if far == 0 else int(chance.integers(1, 4))):
                top, left = chance.integers(far, 396 - far), chance.integers(far, 496 - far)
                high, wide = chance.integers(least, most, 2)
                ink[top : top + high, left : left + wide] = True
        pictures.append(ink)
    quick = [specks.find_specks(ink) for ink in pictures]
    monkeypatch.setattr(specks, "_ends_in_a_speck", lambda _ink: True)
    assert quick == [specks.find_specks(ink) for ink in pictures]
    assert sum(found is not None for found in quick) > 20
