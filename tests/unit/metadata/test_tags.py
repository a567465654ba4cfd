import datetime as dt
import struct

import pytest
from PIL import Image, PngImagePlugin

from archgen.metadata import tags
from tests.unit.images.pictures import P3_COLORANTS, encoded, matrix_profile, photo, read_one


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "in"
    made.mkdir()
    return made


def seeded_exif(**exif_ifd) -> Image.Exif:
    exif = Image.Exif()
    exif[0x013B] = "Somebody"
    details = exif.get_ifd(0x8769)
    details.update({0x9003: "2026:03:14 15:09:26", 0xA431: "12345", 0xA430: "Somebody", **exif_ifd})
    exif.get_ifd(0x8825).update({1: "N", 2: (10.0, 20.0, 30.0), 3: "E", 4: (1.0, 2.0, 3.0)})
    return exif


@pytest.mark.parametrize("ending", ["jpg", "png", "webp", "tif", "avif", "heic"])
def test_what_the_camera_wrote_is_named_in_every_format(folder, ending):
    options = {"quality": 90} if ending not in {"png", "tif"} else {}
    exif = seeded_exif()
    photo().save(folder / f"p.{ending}", exif=exif.tobytes(), **options)
    facts = read_one(folder, f"p.{ending}").facts
    assert facts.taken == dt.datetime.fromisoformat("2026-03-14T15:09:26")
    wanted = {"position", "camera serial number", "camera owner's name", "author's name", "date and time"}
    assert wanted <= set(facts.private)
    assert facts.serials == ("12345",)


def test_serial_numbers_are_read_from_xmp_too(folder):
    xmp = b"<rdf:Description aux:SerialNumber='31 415'><exifEX:LensSerialNumber>92-65</exifEX:LensSerialNumber>"
    photo().save(folder / "p.jpg", xmp=xmp, exif=seeded_exif())
    assert read_one(folder, "p.jpg").facts.serials == ("12345", "31 415", "92-65")


def test_a_clean_picture_holds_nothing_private(folder):
    photo().save(folder / "p.jpg")
    facts = read_one(folder, "p.jpg").facts
    assert facts.private == ()
    assert facts.taken is None


@pytest.mark.parametrize(
    "written", ["0000:00:00 00:00:00", "2000:01:01 00:00:00", "1899:03:14 15:09:26", "yesterday", ""]
)
def test_a_clock_that_was_never_set_is_not_believed(folder, written):
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x9003] = written
    photo().save(folder / "p.jpg", exif=exif)
    assert read_one(folder, "p.jpg").facts.taken is None


def test_comments_and_text_are_named(folder):
    photo().save(folder / "p.jpg", comment=b"for Somebody")
    text = PngImagePlugin.PngInfo()
    text.add_text("note", "for Somebody")
    photo().save(folder / "p.png", pnginfo=text)
    assert read_one(folder, "p.jpg").facts.private == ("comment",)
    assert read_one(folder, "p.png").facts.private == ("comment",)


@pytest.mark.parametrize(
    ("after", "word"),
    [(encoded(photo(), "JPEG"), "extra images"), (b"\0\0\0\x18ftypmp42" + bytes(50) + b"moov", "motion video"),
     (b"anything at all", "data after the picture")],
)  # fmt: skip
@pytest.mark.parametrize("progressive", [False, True])
def test_what_follows_the_picture_is_named(folder, after, word, progressive):
    (folder / "p.jpg").write_bytes(encoded(photo(), "JPEG", progressive=progressive) + after)
    assert read_one(folder, "p.jpg").facts.private == (word,)


def test_several_pictures_in_one_jpeg_are_named(folder):
    photo().save(folder / "p.jpg", "MPO", save_all=True, append_images=[photo()])
    facts = read_one(folder, "p.jpg").facts
    assert facts.file_format == "JPEG"
    assert "extra images" in facts.private


def test_a_frame_too_damaged_to_be_counted_is_named_and_stops_nothing(folder):
    frames = [Image.new("L", (64, 64), tone) for tone in (0, 99)]
    frames[0].save(folder / "two.tif", save_all=True, append_images=frames[1:])
    content = (folder / "two.tif").read_bytes()
    width = struct.pack("<HH", 256, 4)
    at = content.rindex(width)
    assert at > content.index(width)
    (folder / "two.tif").write_bytes(content[:at] + struct.pack("<HH", 255, 4) + content[at + 4 :])
    assert "extra images" in read_one(folder, "two.tif").facts.private


def test_an_embedded_thumbnail_is_named(folder):
    small = encoded(photo(32, 24), "JPEG")
    # An Exif block by hand: an empty first directory that leads to a second one with the thumbnail.
    second = b"\x03\x00" + b"".join(
        tag.to_bytes(2, "little") + kind.to_bytes(2, "little") + (1).to_bytes(4, "little") + value.to_bytes(4, "little")
        for tag, kind, value in ((0x0103, 3, 6), (0x0201, 4, 56), (0x0202, 4, len(small)))
    )
    block = b"II*\0\x08\0\0\0" + b"\0\0" + (14).to_bytes(4, "little") + second + bytes(4)
    photo().save(folder / "p.jpg", exif=b"Exif\0\0" + block + small)
    assert "embedded thumbnail" in read_one(folder, "p.jpg").facts.private


def test_xmp_is_searched(folder):
    xmp = b"<rdf:Description exif:GPSLatitude='1' Iptc4xmpExt:PersonInImage='S' mwg-rs:Regions='x'/>"
    photo().save(folder / "p.jpg", xmp=xmp)
    assert read_one(folder, "p.jpg").facts.private == ("marked faces", "names of people shown", "position")


@pytest.mark.parametrize("file_format", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("mode", ["RGB", "L", "RGBA"])
def test_a_bare_picture_is_proven_clean(file_format, mode):
    if (file_format, mode) == ("JPEG", "RGBA"):
        mode = "CMYK"
    picture = photo().convert(mode)
    if mode == "RGBA":
        picture.putalpha(Image.linear_gradient("L").resize(picture.size))
    # CMYK needs Adobe's segment to be read: that one is no plain JPEG and must be told.
    assert tags.prove_clean(encoded(picture, file_format)) == (["Adobe segment"] if mode == "CMYK" else [])


def png_text():
    text = PngImagePlugin.PngInfo()
    text.add_text("note", "x")
    return text


@pytest.mark.parametrize(
    ("file_format", "options", "left"),
    [
        ("JPEG", {"comment": b"x"}, "comment"),
        ("JPEG", {"exif": seeded_exif()}, "Exif or XMP"),
        ("JPEG", {"xmp": b"<x/>"}, "Exif or XMP"),
        ("JPEG", {"icc_profile": matrix_profile(P3_COLORANTS)}, "colour profile or extra images"),
        ("PNG", {"pnginfo": png_text()}, "text"),
        ("PNG", {"exif": seeded_exif()}, "Exif"),
        ("PNG", {"icc_profile": matrix_profile(P3_COLORANTS)}, "colour profile"),
        ("PNG", {"dpi": (300, 300)}, "part pHYs"),
        ("WEBP", {"exif": seeded_exif()}, "Exif"),
        ("WEBP", {"xmp": b"<x/>"}, "XMP"),
        ("WEBP", {"icc_profile": matrix_profile(P3_COLORANTS)}, "colour profile"),
    ],
)
def test_anything_left_in_is_told(file_format, options, left):
    assert left in tags.prove_clean(encoded(photo(), file_format, **options))


@pytest.mark.parametrize("file_format", ["JPEG", "PNG", "WEBP"])
def test_bytes_after_the_end_are_told(file_format):
    assert tags.prove_clean(encoded(photo(), file_format) + b"hidden") == ["data after the picture"]


def test_an_unknown_file_is_never_called_clean():
    assert tags.prove_clean(b"GIF89a") == ["unknown file format"]
    assert tags.prove_clean(b"") == ["unknown file format"]


@pytest.mark.parametrize("file_format", ["JPEG", "PNG", "WEBP"])
def test_a_file_without_its_end_is_not_called_clean(file_format):
    assert tags.prove_clean(encoded(photo(), file_format)[:-40]) == ["no end"]


@pytest.mark.parametrize("header", [b"", b"\x20" + bytes(9)])
def test_a_header_that_announces_more_or_nothing_is_told_of(header):
    content = encoded(photo(), "WEBP")
    added = b"VP8X" + len(header).to_bytes(4, "little") + header
    whole = b"RIFF" + (len(content) - 8 + len(added)).to_bytes(4, "little") + b"WEBP" + added + content[12:]
    assert tags.prove_clean(whole) == ["part VP8X"]
