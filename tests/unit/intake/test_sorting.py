"""What one picture is by itself, and that a limit passed changes the answer."""

import msgspec
import pytest

from archgen.intake.reading.look import PictureLook
from archgen.intake.reading.measures import Measures, measure_picture
from archgen.intake.reading.sorting import is_drawing, sort_picture
from archgen.metadata.file_rights import EmbeddedRights
from archgen.metadata.origin import FileOrigin
from archgen.picture_facts.facts import Derivative, Role
from tests.intake_pictures import scene, skin, stencil

BLANK = Derivative(1, 1, "x")


def look(picture=None, **changes):
    measures = measure_picture(picture) if picture is not None else None
    values = {
        "digest": "d",
        "file_bytes": 1,
        "file_format": "JPEG",
        "width": 3000,
        "height": 4000,
        "taken": None,
        "has_camera": False,
        "origin": FileOrigin(),
        "rights": None,
        "measures": measures,
        "small": BLANK,
        "middle": BLANK,
        "description": "x",
    }
    return PictureLook(**(values | changes))


def measured(picture, **changes) -> Measures:
    return msgspec.structs.replace(measure_picture(picture), **changes)


def test_skin_with_a_drawing_is_a_photo():
    found = sort_picture(look(skin(1), has_camera=True), "IMG_1.jpg")
    assert found.role is Role.PHOTO
    assert found.sureness >= 0.5
    assert found.reason == "Dark marks on skin, taken with a camera."


def test_lines_on_white_are_a_stencil():
    found = sort_picture(look(stencil(1), file_format="PNG"), "moth.png")
    assert (found.role, found.note) == (Role.STENCIL, "lines on white")


def test_anything_else_is_a_reference():
    found = sort_picture(look(scene(1)), "forest.jpg")
    assert (found.role, found.reason) == (Role.REFERENCE, "No skin.")


def test_bare_skin_is_asked_about_when_a_camera_took_it():
    found = sort_picture(look(skin(1, done=0.0), has_camera=True), "IMG_1.jpg")
    assert found.role is Role.REFERENCE
    assert found.sureness < 0.5
    assert "no tattoo was found" in found.reason


def test_somebodys_right_makes_a_photo_of_skin_a_doubtful_reference():
    rights = EmbeddedRights(creators=("A. Maker",), licence="https://creativecommons.org/licenses/by/4.0/")
    found = sort_picture(look(skin(1), rights=rights), "a.jpg")
    assert (found.role, found.sureness < 0.5) == (Role.REFERENCE, True)
    own = sort_picture(look(skin(1), has_camera=True, rights=EmbeddedRights(creators=("Me",))), "a.jpg")
    assert own.role is Role.PHOTO  # a camera may write its owner's name into every photo


def test_a_screenshot_is_doubtful_by_name_size_or_its_own_word():
    for made in (
        look(scene(1), origin=FileOrigin(is_screenshot=True)),
        look(scene(1), width=1170, height=2532, file_format="PNG"),
    ):
        assert sort_picture(made, "a.png").note == "a screenshot, no date"
    assert sort_picture(look(scene(1)), "Screenshot_1.jpg").sureness < 0.5
    assert sort_picture(look(scene(1), width=1170, height=2532), "a.jpg").note == "not skin"


def test_blue_lines_are_a_drawing_and_colours_are_not():
    assert is_drawing(look(measures=measured(stencil(1), ink_chroma=60.0, one_hue=True)))
    assert not is_drawing(look(measures=measured(stencil(1), ink_chroma=60.0, one_hue=False)))
    assert not is_drawing(look(measures=measured(stencil(1), ink_chroma=60.0, one_hue=True, planes=0.4)))
    assert measure_picture(stencil(1)).planes < 0.02


@pytest.mark.parametrize(
    "changes",
    [{"paper": 0.3}, {"paper": 1.0}, {"paper_light": 60.0}, {"gray_ink": 0.3}, {"paper_chroma": 30.0}],
)
def test_a_drawing_needs_bare_light_paper_and_full_lines(changes):
    assert is_drawing(look(measures=measured(stencil(1))))
    assert not is_drawing(look(measures=measured(stencil(1), **changes)))


@pytest.mark.parametrize("changes", [{"skin_block": 0.2}, {"skin": 0.3}, {"ink_on_skin": 0.6}, {"ink_on_skin": 0.001}])
def test_a_photo_needs_even_skin_and_marks_on_it(changes):
    assert sort_picture(look(measures=measured(skin(1))), "a.jpg").role is Role.PHOTO
    assert sort_picture(look(measures=measured(skin(1), **changes)), "a.jpg").role is Role.REFERENCE


def test_painted_skin_is_no_photo_unless_a_camera_took_it():
    painted = measured(skin(1), flat=0.8)
    assert sort_picture(look(measures=painted), "a.png").role is Role.REFERENCE
    assert sort_picture(look(measures=painted, has_camera=True), "a.png").role is Role.PHOTO


def test_much_ink_on_skin_needs_a_cameras_word():
    dark = measured(skin(1), ink_on_skin=0.35)
    assert sort_picture(look(measures=dark), "a.png").role is Role.REFERENCE
    assert sort_picture(look(measures=dark, has_camera=True), "a.png").role is Role.PHOTO


def test_a_small_share_of_colour_makes_no_stencil():
    assert not is_drawing(look(measures=measured(stencil(1), coloured=0.08)))


def test_fresh_skin_measures_redder_beside_the_lines():
    assert measure_picture(skin(1, red=1.0)).redness > 2
    assert abs(measure_picture(skin(1, red=0.0)).redness) < 0.35
