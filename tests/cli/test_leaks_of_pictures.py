"""Copies of pictures that are not public are found in any folder, and those of public ones are nobody's secret."""

import base64
import io
import json
import zipfile

import pikepdf
import pytest
from click.testing import CliRunner
from PIL import ImageEnhance, ImageOps

from archgen.cli import archgen
from tests.drawn_twins import drawing, photo, save

SHOWN = """
publish = true
finished = 2026-03-14
[release]
status = "granted"
scope = ["portfolio"]
[[photo]]
file = "photos/fresh.jpg"
stage = "fresh"
[[photo]]
file = "photos/lines.jpg"
stage = "in-progress"
[[stencil]]
file = "stencils/owl.png"
width = "60 mm"
[[reference]]
file = "references/field.jpg"
license = "own-work"
likeness = "none"
"""
HIDDEN = '[[photo]]\nfile = "photos/fresh.jpg"\nstage = "fresh"\n[release]\nfile = "letter.pdf"\n'
PUBLIC, LINES, STENCIL, REFERENCE, MOTH = photo(1), photo(2), drawing(3), photo(4), photo(5)


@pytest.fixture(scope="module")
def archive(tmp_path_factory):
    root = tmp_path_factory.mktemp("pictures") / "content"
    for name, record in (("owl", SHOWN), ("moth", HIDDEN)):
        folder = root / "pieces" / name
        folder.mkdir(parents=True)
        (folder / "piece.toml").write_text(f'title = "{name.title()}"\n{record}', "utf-8")
    save(PUBLIC, root / "pieces/owl/photos/fresh.jpg", taken="2026:03:14 12:00:00", quality=92)
    save(LINES, root / "pieces/owl/photos/lines.jpg", quality=92)
    save(STENCIL, root / "pieces/owl/stencils/owl.png")
    save(REFERENCE, root / "pieces/owl/references/field.jpg", quality=92)
    save(MOTH, root / "pieces/moth/photos/fresh.jpg", quality=92)
    (root / "pieces/moth/letter.pdf").write_bytes(b"%PDF-1.4 a letter\n%%EOF\n")
    out = root.parent / "build"
    result = CliRunner().invoke(archgen, ["build", "--archive", str(root), "--out", str(out)])
    assert result.exit_code == 0, result.output
    return root, out


def jpeg(picture, quality=80):
    stream = io.BytesIO()
    picture.convert("RGB").save(stream, "JPEG", quality=quality)
    return stream.getvalue()


def in_a_pdf(picture):
    stream = io.BytesIO()
    picture.convert("RGB").save(stream, "PDF")
    return stream.getvalue()


def bare_in_a_pdf(picture):
    pdf = pikepdf.new()
    pdf.add_blank_page()
    gray = picture.convert("L")
    pdf.make_indirect(
        pdf.make_stream(
            gray.tobytes(), Type=pikepdf.Name.XObject, Subtype=pikepdf.Name.Image, Width=gray.width,
            Height=gray.height, ColorSpace=pikepdf.Name.DeviceGray, BitsPerComponent=8,
        )
    )  # fmt: skip
    pdf.Root.Kept = pdf.objects[-1]
    stream = io.BytesIO()
    pdf.save(stream)
    return stream.getvalue()


def in_a_zip(picture):
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("a/b.jpg", jpeg(picture))
    return stream.getvalue()


def in_a_page(picture):
    return f'<img src="data:image/jpeg;base64,{base64.b64encode(jpeg(picture)).decode()}">'.encode()


def as_thumbnail(picture):
    plain = jpeg(photo(9))
    small = jpeg(picture.resize((160, 200)))
    content = b"Exif\0\0II*\0\x08\0\0\0\0\0\0\0\0\0" + small
    return plain[:2] + b"\xff\xe1" + (len(content) + 2).to_bytes(2, "big") + content + plain[2:]


CHANGES = {
    "stripped": lambda picture: picture,
    "smaller": lambda picture: picture.resize((240, 300)),
    "mirrored": ImageOps.mirror,
    "turned": lambda picture: picture.rotate(90, expand=True),
    "cropped": lambda picture: picture.crop((60, 80, 440, 560)),
    "lighter": lambda picture: ImageEnhance.Brightness(picture.convert("RGB")).enhance(1.25),
}


PRIVATE = {"lines": LINES, "stencil": STENCIL, "reference": REFERENCE, "hidden": MOTH}
WRAPPED = {"a.pdf": in_a_pdf, "b.pdf": bare_in_a_pdf, "c.zip": in_a_zip, "d.html": in_a_page, "e.jpg": as_thumbnail}


@pytest.fixture(scope="module")
def found(archive, tmp_path_factory):
    """Every copy in one folder, searched once: codes and severities by file."""
    root, out = archive
    place = tmp_path_factory.mktemp("site")
    for change, made in CHANGES.items():
        for name, picture in (PRIVATE | {"public": PUBLIC}).items():
            (place / f"{name}-{change}.jpg").write_bytes(jpeg(made(picture)))
    for name, wrap in WRAPPED.items():
        (place / name).write_bytes(wrap(LINES))
    (place / "other.jpg").write_bytes(jpeg(photo(11)))
    (place / "letter.bin").write_bytes((root / "pieces/moth/letter.pdf").read_bytes())
    arguments = ["leaks", str(place), "--archive", str(root), "--out", str(out), "--format", "json"]
    by_file = {}
    for finding in json.loads(CliRunner().invoke(archgen, arguments).stdout):
        file = finding["file"].removeprefix(f"{place}/")
        by_file.setdefault(file, set()).add((finding["code"], finding["severity"]))
    return by_file


SURE = ("privacy.picture", "error")


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("private", PRIVATE)
def test_a_changed_copy_of_a_private_picture_is_found(found, private, change):
    assert SURE in found[f"{private}-{change}.jpg"]


@pytest.mark.parametrize("name", WRAPPED)
def test_a_private_picture_inside_another_file_is_found(found, name):
    assert SURE in found[name]


@pytest.mark.parametrize("change", CHANGES)
def test_a_copy_of_a_public_photo_is_nobodys_secret(found, change):
    assert f"public-{change}.jpg" not in found


def test_a_picture_of_something_else_is_none(found):
    assert "other.jpg" not in found


def test_a_letter_of_the_archive_is_found_by_its_bytes(found):
    assert SURE in found["letter.bin"]


def test_the_portfolio_itself_is_clean(archive):
    root, out = archive
    result = CliRunner().invoke(archgen, ["leaks", "--archive", str(root), "--out", str(out)])
    assert (result.exit_code, "nothing private found" in result.stdout) == (0, True)
