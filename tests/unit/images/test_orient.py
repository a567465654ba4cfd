import io

import numpy as np
import pytest
from PIL import Image

from archgen.images.orient import upright_size
from tests.unit.images.pictures import blob, difference, photo, read_one

# Exif 2.32, tag 0x0112: on which visual side row 0 and column 0 of the stored picture lie.
SIDES = {
    1: ("top", "left"), 2: ("top", "right"), 3: ("bottom", "right"), 4: ("bottom", "left"),
    5: ("left", "top"), 6: ("right", "top"), 7: ("right", "bottom"), 8: ("left", "bottom"),
}  # fmt: skip


def stored_as(picture: Image.Image, orientation: int) -> Image.Image:
    row_0, column_0 = SIDES[orientation]
    pixels = np.asarray(picture)
    if row_0 in {"left", "right"}:
        pixels = pixels.transpose(1, 0, 2)
    if row_0 in {"bottom", "right"}:
        pixels = pixels[::-1]
    if column_0 in {"bottom", "right"}:
        pixels = pixels[:, ::-1]
    return Image.fromarray(np.ascontiguousarray(pixels))


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("ending", ["jpg", "png", "webp", "tif"])
def test_every_orientation_gives_the_one_upright_picture(tmp_path, orientation, ending):
    folder = tmp_path / "in"
    folder.mkdir()
    exif = Image.Exif()
    exif[0x0112] = orientation
    stored_as(photo(), orientation).save(folder / f"p.{ending}", exif=exif, quality=95)
    facts = read_one(folder, f"p.{ending}").facts
    assert (facts.width, facts.height) == (120, 80)
    with Image.open(blob(folder, facts.screen[0].blob)) as seen:
        assert difference(seen, photo()) < 4


@pytest.mark.parametrize("orientation", [3, 6, 8])
@pytest.mark.parametrize("ending", ["heic", "avif"])
def test_turns_stored_in_the_container_are_done_once(tmp_path, orientation, ending):
    folder = tmp_path / "in"
    folder.mkdir()
    exif = Image.Exif()
    exif[0x0112] = orientation
    stored_as(photo(), orientation).save(folder / f"p.{ending}", exif=exif.tobytes(), quality=95)
    facts = read_one(folder, f"p.{ending}").facts
    assert (facts.width, facts.height) == (120, 80)
    with Image.open(blob(folder, facts.screen[0].blob)) as seen:
        assert difference(seen, photo()) < 5


def test_a_nonsense_orientation_counts_as_upright(tmp_path):
    folder = tmp_path / "in"
    folder.mkdir()
    exif = Image.Exif()
    exif[0x0112] = 77
    buffer = io.BytesIO()
    photo().save(buffer, "JPEG", exif=exif)
    (folder / "p.jpg").write_bytes(buffer.getvalue())
    assert read_one(folder, "p.jpg").facts.width == 120


def test_quarter_turns_swap_the_sides():
    assert [upright_size(3, 2, value)[0] for value in range(1, 9)] == [3, 3, 3, 3, 2, 2, 2, 2]
