"""What a picture's file says in words."""

import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from tests.leak_manners import MANNERS, picture, xmp
from tests.unit.images.pictures import photo, read_one


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "in"
    made.mkdir()
    return made


def texts(folder, content, ending="jpg"):
    (folder / f"p.{ending}").write_bytes(content)
    return read_one(folder, f"p.{ending}").facts.texts


@pytest.mark.parametrize(
    "manner",
    ["jpeg_comment", "jpeg_exif", "jpeg_two_byte_exif", "jpeg_user_comment", "jpeg_xmp", "jpeg_iptc", "webp_xmp",
     "avif_xmp", "tiff_description", "png_text_behind_the_pixels"],
)  # fmt: skip
def test_a_text_is_read_from_every_place_for_texts(folder, manner):
    MANNERS[manner](folder, 0, "for Mika Söder, at the harbour")
    (path,) = folder.iterdir()
    assert texts(folder, path.read_bytes(), path.suffix[1:]) == ("for Mika Söder, at the harbour",)


@pytest.mark.parametrize("ending", ["jpg", "png", "webp", "tif", "avif", "heic"])
def test_owner_numbers_and_position_are_read_in_every_format(folder, ending):
    exif = Image.Exif()
    exif.get_ifd(0x8769).update({0xA430: "Runa Holt", 0xA431: "8023771", 0xA420: "f00ba4"})
    exif.get_ifd(0x8825).update({1: "S", 2: (10.0, 30.0, 0.0), 3: "E", 4: (1.0, 0.0, 36.0)})
    photo().save(folder / f"p.{ending}", exif=exif.tobytes())
    told = read_one(folder, f"p.{ending}").facts.texts
    assert set(told) == {"Runa Holt", "8023771", "f00ba4", "position -10.5000 1.0100"}


def test_items_of_lists_and_attributes_are_read_and_dates_and_settings_are_not(folder):
    packet = xmp("Mika at the harbour").decode().replace(
        "<dc:subject>",
        '<photoshop:City xmlns:photoshop="http://ns.adobe.com/photoshop/1.0/" photoshop:Credit="Holt">Ystad'
        '</photoshop:City><photoshop:DateCreated xmlns:photoshop="http://ns.adobe.com/photoshop/1.0/">2026-03-14T10:00'
        '</photoshop:DateCreated><xmp:Rating xmlns:xmp="http://ns.adobe.com/xap/1.0/">five</xmp:Rating><dc:subject>',
    )  # fmt: skip
    assert texts(folder, picture("WEBP", xmp=packet.encode()), "webp") == ("Ystad", "Holt", "Mika at the harbour")


def test_a_plain_picture_says_nothing(folder):
    assert texts(folder, picture("JPEG")) == ()


@pytest.mark.parametrize("packet", [b"<x:xmpmeta", b"<!DOCTYPE a [<!ENTITY b 'c'>]><a>&b;</a>", b"\xff\xfe"])
def test_damaged_metadata_says_nothing(folder, packet):
    assert texts(folder, picture("WEBP", xmp=packet), "webp") == ()


def test_very_many_and_very_long_texts_are_cut(folder):
    info = PngInfo()
    for number in range(200):
        info.add_text("Comment", f"{number} " + "word " * 400)
    told = texts(folder, picture("PNG", pnginfo=info), "png")
    assert (len(told), max(map(len, told))) == (60, 500)
