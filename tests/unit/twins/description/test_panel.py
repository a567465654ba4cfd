"""The picture within a frame, on a screen, or between the corners that tilting leaves."""

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageOps

from archgen.twins.description.content import ink_map
from archgen.twins.description.panel import Panel, find_panel
from archgen.twins.engine import find_pairs
from tests.unit.twins.pictures import drawing, items, photograph

DRAWING, PHOTOGRAPH = drawing(3), photograph(5)
both = pytest.mark.parametrize("picture", [DRAWING, PHOTOGRAPH], ids=["drawing", "photograph"])
colors = pytest.mark.parametrize("color", ["black", "#c81e3c", "#3c506e", "#fafafa"])


def panel(picture: Image.Image) -> Panel | None:
    gray = np.asarray(picture.convert("L").resize((256, round(256 * picture.height / picture.width))))
    return find_panel(gray, ink_map(gray))


def is_found(a: Image.Image, b: Image.Image) -> bool:
    return len(find_pairs(items(a=a, b=b))) == 1


def on_a_phone(picture: Image.Image, ground: str, ink: str, *, left: int = 0) -> Image.Image:
    """A screen with a clock, a name, words and buttons around the picture."""
    screen = Image.new("RGB", (720, 1500), ground)
    pen = ImageDraw.Draw(screen)
    pen.text((30, 20), "12:41", fill=ink, font_size=28)
    pen.ellipse((40, 90, 120, 170), fill="#966eaa")
    pen.text((140, 110), "needle.and.moss", fill=ink, font_size=34)
    width = 720 - left - (20 if left else 0)
    shown = picture.convert("RGB").resize((width, round(picture.height * width / picture.width)))
    screen.paste(shown, (left, 260))
    for k in range(3):
        pen.ellipse((40 + 90 * k, 1000, 90 + 90 * k, 1050), outline=ink, width=5)
    pen.text((40, 1100), "fresh from today", fill=ink, font_size=30)
    return screen


@both
@colors
class TestFrames:
    def test_a_picture_is_found_within_a_border(self, picture, color):
        assert is_found(picture, ImageOps.expand(picture.convert("RGB"), 40, color))

    def test_a_picture_is_found_between_two_bars(self, picture, color):
        assert is_found(picture, ImageOps.expand(picture.convert("RGB"), (0, 70), color))

    def test_a_picture_is_found_within_two_borders(self, picture, color):
        inner = ImageOps.expand(picture.convert("RGB"), 12, "#e0e0d0")
        assert is_found(picture, ImageOps.expand(inner, 40, color))


@both
@pytest.mark.parametrize("theme", [("#121214", "#ebebeb"), ("#fafafa", "#191919")], ids=["dark", "light"])
class TestScreens:
    def test_a_picture_is_found_as_wide_as_the_screen(self, picture, theme):
        assert is_found(picture, on_a_phone(picture, *theme))

    def test_a_picture_is_found_in_a_chat(self, picture, theme):
        assert is_found(picture, on_a_phone(picture, *theme, left=150))


@pytest.mark.parametrize("color", ["white", "black", "#2f9a6e", "#808080"])
@pytest.mark.parametrize("grows", [True, False])
def test_a_tilted_drawing_is_found_whatever_fills_the_corners(color, grows):
    assert is_found(DRAWING, DRAWING.convert("RGB").rotate(4, Image.Resampling.BICUBIC, expand=grows, fillcolor=color))


def test_a_black_drawing_that_runs_into_black_bars_is_found():
    cross = Image.new("L", (400, 300), 255)
    pen = ImageDraw.Draw(cross)
    pen.rectangle((180, 0, 220, 300), fill=0)
    pen.rectangle((0, 120, 400, 150), fill=0)
    pen.ellipse((40, 30, 120, 90), fill=0)
    pen.polygon([(280, 200), (360, 270), (250, 280)], fill=0)
    assert is_found(cross, ImageOps.expand(cross, (0, 200), "black"))


def test_the_frame_of_two_drawings_is_no_copy():
    framed = [ImageOps.expand(drawing(seed).convert("RGB"), 40, "#c81e3c") for seed in (3, 4)]
    assert not is_found(*framed)


def test_two_screens_with_other_pictures_are_no_copies():
    assert not is_found(*(on_a_phone(photograph(seed), "white", "black") for seed in (5, 6)))


def test_a_box_holds_the_picture_and_nothing_else():
    found = panel(ImageOps.expand(PHOTOGRAPH, (48, 36), "black"))
    assert found is not None
    left, top, right, bottom = found.box
    assert np.allclose([left, top, 256 - right, 192 - bottom], [21, 16, 21, 16], atol=1.5)


def test_a_sky_that_darkens_is_no_frame():
    light = np.linspace(120, 240, 200)[:, None].repeat(300, axis=1)
    sky = Image.fromarray(light.astype(np.uint8))
    ImageDraw.Draw(sky).ellipse((100, 60, 200, 120), fill=90)
    assert panel(sky) is None


def test_a_round_drawing_is_no_picture_on_a_sheet():
    sheet = Image.new("L", (300, 300), 255)
    ImageDraw.Draw(sheet).ellipse((60, 60, 240, 240), outline=0, width=4)
    assert panel(sheet) is None


def silhouette(points: list[tuple[int, int]], turn: float = 0) -> Image.Image:
    """A shape all black, with a notch in its outline."""
    out = Image.new("L", (600, 600), 255)
    pen = ImageDraw.Draw(out)
    pen.polygon(points, fill=0)
    pen.ellipse((120, 300, 160, 340), fill=255)
    return out.rotate(turn, Image.Resampling.BICUBIC, fillcolor=255)


def test_two_black_shapes_are_not_alike_for_being_black_inside():
    apple = silhouette([(300, 110), (420, 130), (480, 250), (450, 420), (330, 500), (200, 470), (130, 330), (180, 160)])
    planks = silhouette([(150, 180), (420, 90), (470, 110), (455, 380), (190, 510), (120, 500)], turn=9)
    flag = Image.new("L", (600, 400), 0)
    ImageDraw.Draw(flag).rectangle((250, 0, 310, 400), fill=255)
    assert find_pairs(items(apple=apple, planks=planks, flag=flag)) == []
    assert is_found(apple, apple.rotate(3, Image.Resampling.BICUBIC, fillcolor=255))


def test_a_sheet_with_few_lines_that_reach_its_edge_is_a_picture_on_a_dark_screen():
    sheet = Image.new("L", (420, 360), 255)
    pen = ImageDraw.Draw(sheet)
    for line in ([(0, 60), (150, 130), (230, 0)], [(419, 200), (260, 240), (300, 359)], [(0, 300), (90, 359)]):
        pen.line(line, fill=0, width=5)
    assert is_found(sheet, on_a_phone(sheet, "#121214", "#ebebeb"))


def test_white_lines_on_black_are_a_picture_within_white():
    chalk = ImageOps.invert(DRAWING)
    assert is_found(chalk, ImageOps.expand(chalk, 90, "white"))
    assert not is_found(chalk, ImageOps.expand(ImageOps.invert(drawing(4)), 90, "white"))
