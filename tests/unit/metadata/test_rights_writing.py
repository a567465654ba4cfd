"""The artist's rights in published pictures, read back by exiftool (IPTC Photo Metadata, PLUS, EXIF)."""

import io
import json
import subprocess

import pytest
from PIL import Image, ImageChops

from archgen.metadata.rights_writing import OwnRights, mark

MARKS = OwnRights(
    "Sämple <Artist>", "© 2026 Sample & Co", "Sample credit", "https://example.org/r", "https://example.org/l"
)


def picture(form, mode="RGB", size=(301, 200)):
    stream = io.BytesIO()
    image = Image.new(mode, size)
    image.paste(tuple([90, 120, 150, 200][: len(image.getbands())]), (0, 0, 100, 100))
    image.save(stream, form)
    return stream.getvalue()


def read_back(exiftool, tmp_path, content, suffix):
    path = tmp_path / f"a.{suffix}"
    path.write_bytes(content)
    command = [exiftool, "-j", "-G1", "-a", "-struct", "-charset", "iptc=utf8", str(path)]
    (tags,) = json.loads(subprocess.run(command, capture_output=True, check=True).stdout)
    return tags


@pytest.mark.parametrize("suffix", ["jpeg", "webp", "avif"])
def test_every_mark_is_read_back(exiftool, tmp_path, suffix):
    tags = read_back(exiftool, tmp_path, mark(picture(suffix), MARKS), suffix)
    assert tags["XMP-dc:Creator"] == [MARKS.creator]
    assert tags["XMP-dc:Rights"] == MARKS.copyright
    assert tags["XMP-photoshop:Credit"] == MARKS.credit
    assert tags["XMP-xmpRights:WebStatement"] == MARKS.rights_url
    assert tags["XMP-plus:Licensor"] == [{"LicensorURL": MARKS.licensor_url}]
    assert tags["IFD0:Artist"] == MARKS.creator
    assert tags["IFD0:Copyright"] == MARKS.copyright


@pytest.mark.parametrize("suffix", ["jpeg", "webp", "avif"])
@pytest.mark.parametrize(
    ("choice", "said"),
    [
        (False, {"http://ns.useplus.org/ldf/vocab/DMI-PROHIBITED-AIMLTRAINING", "Prohibited for AI/ML training"}),
        (True, {"http://ns.useplus.org/ldf/vocab/DMI-ALLOWED", "Allowed"}),
        (None, {None}),
    ],
)
def test_whether_models_may_learn_is_read_back(exiftool, tmp_path, suffix, choice, said):
    """As the address of PLUS, or in the words that newer releases of exiftool have for it."""
    marked = mark(picture(suffix), OwnRights("A. Sample", model_training=choice))
    assert read_back(exiftool, tmp_path, marked, suffix).get("XMP-plus:DataMining") in said


def test_a_jpeg_carries_the_older_fields_too(exiftool, tmp_path):
    tags = read_back(exiftool, tmp_path, mark(picture("jpeg"), MARKS), "jpeg")
    assert tags["IPTC:By-line"] == MARKS.creator
    assert tags["IPTC:CopyrightNotice"] == MARKS.copyright
    assert tags["IPTC:Credit"] == MARKS.credit


@pytest.mark.parametrize("suffix", ["jpeg", "webp", "avif"])
def test_nothing_else_is_written(exiftool, tmp_path, suffix):
    before = read_back(exiftool, tmp_path, picture(suffix), suffix)
    tags = read_back(exiftool, tmp_path, mark(picture(suffix), MARKS), suffix)
    allowed = {"XMP-dc", "XMP-photoshop", "XMP-xmpRights", "XMP-plus", "IFD0", "IPTC", "XMP-x", "Photoshop"}
    told = {name for name in tags if name.split(":")[0] in allowed}
    rest = {name for name in tags if name not in told and name.split(":")[0] not in {"RIFF", "File"}}
    assert rest <= set(before)
    assert len(told) <= 14


@pytest.mark.parametrize("suffix", ["jpeg", "webp", "avif"])
def test_what_is_not_set_is_not_written(exiftool, tmp_path, suffix):
    tags = read_back(exiftool, tmp_path, mark(picture(suffix), OwnRights(credit="Sample credit")), suffix)
    assert tags["XMP-photoshop:Credit"] == "Sample credit"
    assert not [name for name in tags if "Creator" in name or "Rights" in name or name.startswith("IFD0")]


@pytest.mark.parametrize(
    ("form", "mode"), [("jpeg", "RGB"), ("jpeg", "L"), ("webp", "RGB"), ("webp", "RGBA"), ("avif", "RGB")]
)
def test_the_pixels_stay_as_they_are(form, mode):
    before = picture(form, mode)
    after = mark(before, MARKS)
    with Image.open(io.BytesIO(before)) as one, Image.open(io.BytesIO(after)) as two:
        assert (one.size, one.mode) == (two.size, two.mode)
        assert ImageChops.difference(one, two).getbbox() is None


def test_long_names_are_cut_at_a_whole_letter_in_the_older_fields(exiftool, tmp_path):
    tags = read_back(exiftool, tmp_path, mark(picture("jpeg"), OwnRights(creator="å" * 40)), "jpeg")
    assert tags["IPTC:By-line"] == "å" * 16
    assert tags["XMP-dc:Creator"] == ["å" * 40]


def test_other_files_are_refused():
    with pytest.raises(ValueError, match="JPEG, WebP and AVIF"):
        mark(picture("png"), MARKS)


def test_signs_xml_does_not_know_are_left_out(exiftool, tmp_path):
    tags = read_back(exiftool, tmp_path, mark(picture("webp"), OwnRights(credit="A\x00\x0bB & <C>")), "webp")
    assert tags["XMP-photoshop:Credit"] == "AB & <C>"
