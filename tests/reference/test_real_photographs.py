"""Real photographs (scikit-image's own) keep their look through every format, and their hashes through every edit."""

import numpy as np
import pytest
from PIL import Image
from skimage import data
from skimage.metrics import structural_similarity

from archgen.picture_facts.facts import Role
from tests.unit.images.pictures import blob, read_one

PHOTOGRAPHS = {"astronaut": data.astronaut, "cat": data.chelsea, "coffee": data.coffee, "rocket": data.rocket}


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "in"
    made.mkdir()
    return made


def similarity(one: Image.Image, other: Image.Image) -> float:
    return structural_similarity(np.asarray(one.convert("L")), np.asarray(other.convert("L")))


def color_difference(one: Image.Image, other: Image.Image) -> float:
    """Give the mean difference in levels after averaging 4 x 4 pixels, so that encoding noise does not count."""
    return float(np.abs(np.asarray(one.reduce(4), float) - np.asarray(other.reduce(4), float)).mean())


@pytest.mark.parametrize("name", PHOTOGRAPHS)
@pytest.mark.parametrize("ending", ["jpg", "heic", "avif", "webp", "png", "tif"])
def test_every_format_shows_the_photograph(folder, name, ending):
    photograph = Image.fromarray(PHOTOGRAPHS[name]())
    photograph.save(folder / f"p.{ending}", **({} if ending in {"png", "tif"} else {"quality": 92}))
    facts = read_one(folder, f"p.{ending}", public=True).facts
    assert (facts.width, facts.height) == photograph.size
    for copy in (facts.screen[0], facts.public[0]):
        with Image.open(blob(folder, copy.blob)) as seen:
            assert similarity(seen, photograph) > 0.94
            assert color_difference(seen.convert("RGB"), photograph) < 2


def test_a_scanned_page_is_cut_to_its_text(folder):
    sheet = np.pad(data.page(), 80, mode="constant", constant_values=210)
    Image.fromarray(sheet).save(folder / "s.png")
    left, top, right, bottom = read_one(folder, "s.png", Role.STENCIL).facts.marks
    assert 60 <= left <= 110
    assert right - left > 300
    assert bottom - top > 150


def test_cmyk_with_a_profile_comes_out_as_littlecms_says(folder):
    # libvips carries a CMYK profile of its own; littleCMS through another program's call is the reference.
    pyvips = pytest.importorskip("pyvips", reason="its built-in CMYK profile is needed")
    photograph = pyvips.Image.new_from_array(data.coffee()).copy(interpretation="srgb")
    inks = photograph.icc_export(output_profile="cmyk", depth=8)
    inks.tiffsave(str(folder / "p.tif"))
    inks.jpegsave(str(folder / "p.jpg"), Q=95)
    wanted = inks.icc_transform("srgb", embedded=True, intent="relative", black_point_compensation=True)
    reference = Image.fromarray(wanted.numpy())
    for name in ("p.tif", "p.jpg"):
        result = read_one(folder, name)
        assert not result.findings
        with Image.open(blob(folder, result.facts.screen[0].blob)) as seen:
            assert color_difference(seen, reference) < 2


def test_display_p3_comes_out_as_libvips_says(folder):
    pyvips = pytest.importorskip("pyvips", reason="its built-in Display P3 profile is needed")
    wide = pyvips.Image.new_from_array(data.coffee()).copy(interpretation="srgb").icc_transform("p3")
    wide.jpegsave(str(folder / "p.jpg"), Q=95)
    facts = read_one(folder, "p.jpg").facts
    photograph = Image.fromarray(data.coffee())
    with Image.open(blob(folder, facts.screen[0].blob)) as seen, Image.open(folder / "p.jpg") as stored:
        assert color_difference(seen, photograph) < 2
        assert color_difference(stored, photograph) > 3 * color_difference(seen, photograph)
