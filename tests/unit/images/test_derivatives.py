import io

import numpy as np
import pytest
from PIL import Image
from skimage import data
from skimage.metrics import structural_similarity

from archgen.images import derivatives
from archgen.metadata import tags
from archgen.picture_facts.facts import ImageJob, Role
from archgen.picture_facts.stage import read_pictures
from archgen.progress import Silent
from archgen.storage.cache import Cache
from tests.demo.drawing import motif
from tests.demo.raster import stencil
from tests.unit.images.pictures import blob, photo, read_one


@pytest.mark.parametrize(
    ("size", "largest"),
    [((4032, 3024), 2016), ((3024, 4032), 2016), ((6000, 4000), 3000), ((8064, 6048), 2016), ((1999, 1000), 1999),
     ((16320, 12240), 2040), ((3199, 10), 3199), ((3200, 10), 1600)],
)  # fmt: skip
def test_the_largest_copy_is_about_two_thousand_pixels(size, largest):
    assert max(size) // derivatives.first_factor(*size) == largest


@pytest.mark.parametrize(("side", "sides"), [(2016, [2016, 1008, 504]), (1000, [1000, 500]), (639, [639]), (20, [20])])
def test_copies_are_exact_halves_and_never_larger(side, sides):
    assert [size.width for size in derivatives.halves(Image.new("L", (side, 20)))] == sides


def test_the_printed_copy_is_the_one_near_a_thousand_pixels():
    assert derivatives.nearest_to_print([(2016, 1512), (1008, 756), (504, 378)]) == 1
    assert derivatives.nearest_to_print([(640, 480)]) == 0


def test_public_copies_are_made_only_when_asked_for(tmp_path):
    folder = tmp_path / "in"
    folder.mkdir()
    photo(1200, 800).save(folder / "p.jpg")
    assert read_one(folder, "p.jpg").facts.public == ()
    facts = read_one(folder, "p.jpg", public=True).facts
    assert [(copy.width, copy.height) for copy in facts.public] == [(1200, 800), (600, 400)] * 2
    formats = {"webp": "WEBP", "avif": "AVIF", "jpg": "JPEG"}
    for copy in (*facts.public, *facts.screen):
        content = blob(folder, copy.blob).read_bytes()
        assert tags.prove_clean(content) == []
        with Image.open(blob(folder, copy.blob)) as picture:
            assert picture.size == (copy.width, copy.height)
            assert picture.format == formats[copy.blob.rpartition(".")[2]]


def test_copies_as_avif_look_like_those_as_webp_in_fewer_bytes():
    """By structural similarity to what both were made of, as another library reckons it."""
    for drawn in (data.astronaut(), data.coffee(), data.chelsea()):
        size = Image.fromarray(drawn)
        webp, avif = derivatives.public_webp(size), derivatives.public_avif(size)
        likeness = [
            structural_similarity(drawn, np.asarray(Image.open(io.BytesIO(one)).convert("RGB")), channel_axis=2)
            for one in (webp, avif)
        ]
        assert likeness[1] > likeness[0] - 0.01
        assert derivatives.is_worthwhile([avif], [webp])
        assert avif == derivatives.public_avif(size)


def test_copies_as_avif_are_left_out_where_they_save_nothing(tmp_path):
    folder = tmp_path / "in"
    folder.mkdir()
    Image.effect_noise((48, 40), 120).save(folder / "p.png")
    assert {copy.blob[-5:] for copy in read_one(folder, "p.png", public=True).facts.public} == {".webp"}
    photo(640, 480).save(folder / "q.jpg")
    job = ImageJob("q.jpg", Role.PHOTO, public=True)
    facts = read_pictures([job], folder, Cache(tmp_path / "c"), 1, Silent())["q.jpg"].facts
    assert {copy.blob[-5:] for copy in facts.public} == {".webp"}


@pytest.mark.parametrize(("width_mm", "share"), [(None, 1.0), (60, 1.05)], ids=["dense", "clean"])
def test_line_art_takes_fewer_bytes_than_by_the_usual_packing_or_hardly_more(width_mm, share):
    """A drawing with all its lines, and one redrawn for the needle."""
    drawn = stencil(motif("koi", width_mm), dpi=300).convert("L")
    packed, usual = derivatives.gray_png(drawn), io.BytesIO()
    drawn.save(usual, "PNG", compress_level=6)
    assert len(packed) < share * len(usual.getvalue())
    assert Image.open(io.BytesIO(packed)).tobytes() == drawn.tobytes()
