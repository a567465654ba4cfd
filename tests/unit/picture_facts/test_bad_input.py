"""Every kind of broken file is one finding; nothing crashes, nothing is printed, the folder stays as it was."""

import contextlib
import gzip
import os
import struct
import zlib

import pytest
from PIL import Image, PngImagePlugin

from archgen.isolation.child import RaisedError
from archgen.isolation.limits import WorkLimits
from archgen.metadata import picture_file
from archgen.picture_facts.facts import ImageJob, Role
from archgen.picture_facts.stage import read_pictures
from archgen.progress import Silent
from archgen.stencils import stencil_file
from archgen.storage.cache import Cache
from archgen.storage.files import digest_file
from archgen.storage.jobs import Budget
from tests.unit.images.pictures import codes, encoded, photo, read_one

posix = pytest.mark.skipif(os.name == "nt", reason="Windows has no signals")


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "in"
    made.mkdir()
    return made


def png_claiming(width: int, height: int) -> bytes:
    def chunk(name: bytes, content: bytes) -> bytes:
        return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")


def refused(folder, name, content, role=Role.PHOTO):
    (folder / name).write_bytes(content)
    result = read_one(folder, name, role)
    assert result.facts is None
    return codes(result)


@pytest.mark.parametrize("role", list(Role))
def test_an_empty_file(folder, role):
    assert refused(folder, "p.jpg", b"", role) == ["image.empty"]


@pytest.mark.parametrize("ending", ["jpg", "png", "webp", "tif", "avif", "heic"])
@pytest.mark.parametrize("kept", [0.02, 0.3, 0.7, 0.97])
def test_a_cut_file(folder, ending, kept):
    whole = encoded(photo(400, 300), {"jpg": "JPEG", "tif": "TIFF", "heic": "HEIF"}.get(ending, ending))
    found = refused(folder, f"p.{ending}", whole[: int(len(whole) * kept)])
    assert found[0] in {"image.truncated", "image.damaged", "image.not-a-picture"}
    assert len(found) == 1


def test_a_cut_jpeg_is_called_cut(folder):
    whole = encoded(photo(400, 300), "JPEG")
    assert refused(folder, "p.jpg", whole[: len(whole) // 2]) == ["image.truncated"]


def test_text_named_as_picture(folder):
    assert refused(folder, "p.jpg", b"Dear diary, this is no picture.") == ["image.not-a-picture"]


def test_a_web_page_named_as_picture(folder):
    assert refused(folder, "p.png", b"<!doctype html><title>404</title>") == ["image.not-a-picture"]


def test_a_picture_under_another_name_is_used(folder):
    photo().save(folder / "p.jpg", "PNG")
    result = read_one(folder, "p.jpg")
    assert result.facts.file_format == "PNG"
    assert codes(result) == ["image.mislabelled"]


def test_one_pixel(folder):
    assert refused(folder, "p.png", encoded(Image.new("RGB", (1, 1)), "PNG")) == ["image.too-small"]


def test_three_hundred_megapixels(folder):
    assert refused(folder, "p.png", png_claiming(20_000, 15_000)) == ["image.too-large"]


def test_more_pixels_than_anybody_has(folder):
    assert refused(folder, "p.png", png_claiming(2_000_000, 1_000_000)) == ["image.too-large"]


def test_what_fits_the_pixel_limit_but_not_the_memory(folder):
    assert refused(folder, "p.png", png_claiming(12_000, 12_000)) == ["image.too-large"]


def test_exif_of_noise_is_noted_and_the_picture_used(folder):
    photo().save(folder / "p.jpg", exif=b"Exif\0\0II*\0\x08\0\0\0\xff\xff" + bytes(range(200)))
    result = read_one(folder, "p.jpg")
    assert codes(result) == ["image.damaged-metadata"]
    assert result.facts.width == 120


def test_exif_pointing_outside_is_noted(folder):
    entry = struct.pack("<HHII", 0x010F, 2, 5000, 60000)
    photo().save(folder / "p.jpg", exif=b"Exif\0\0II*\0\x08\0\0\0\x01\0" + entry + bytes(4))
    assert codes(read_one(folder, "p.jpg")) == ["image.damaged-metadata"]


def test_a_broken_profile_is_noted_and_the_picture_used(folder):
    photo().save(folder / "p.jpg", icc_profile=b"no profile at all" * 20)
    assert codes(read_one(folder, "p.jpg")) == ["image.damaged-profile"]


def test_an_animation_shows_its_first_picture(folder):
    photo().save(folder / "p.webp", save_all=True, append_images=[photo().rotate(90)])
    result = read_one(folder, "p.webp")
    assert codes(result) == ["image.animated"]
    assert result.facts.screen


def test_a_missing_file(folder):
    assert codes(read_one(folder, "gone.jpg")) == ["image.missing"]


def test_a_folder_named_as_picture(folder):
    (folder / "p.jpg").mkdir()
    assert codes(read_one(folder, "p.jpg")) == ["image.unreadable"]


def test_a_pipe_is_not_waited_for(folder):
    os.mkfifo(folder / "p.jpg")
    assert codes(read_one(folder, "p.jpg")) == ["image.unreadable"]


@pytest.mark.skipif(os.geteuid() == 0, reason="the administrator may read everything")
def test_a_file_without_permission(folder):
    photo().save(folder / "p.jpg")
    (folder / "p.jpg").chmod(0)
    assert codes(read_one(folder, "p.jpg")) == ["image.unreadable"]


def test_a_link_out_of_the_archive(folder):
    photo().save(folder.parent / "outside.jpg")
    (folder / "p.jpg").symlink_to(folder.parent / "outside.jpg")
    assert codes(read_one(folder, "p.jpg")) == ["image.outside"]


def test_no_pixel_is_decoded_before_its_memory_is_set_aside(folder, monkeypatch):
    photo().save(folder / "p.png")
    held, loaded = [], []

    @contextlib.contextmanager
    def hold(_budget, amount):
        held.append(amount)
        yield

    def load(picture, *arguments):
        loaded.append(bool(held))
        return decode_png(picture, *arguments)

    decode_png = PngImagePlugin.PngImageFile.load
    monkeypatch.setattr(PngImagePlugin.PngImageFile, "load", load)
    monkeypatch.setattr(Budget, "hold", hold)
    assert read_one(folder, "p.png").facts
    assert set(loaded) == {True}


@pytest.mark.parametrize(("target", "said"), [("../far", ["image.outside"]), ("near", [])])
def test_a_linked_folder_counts_where_it_leads(folder, target, said):
    place = folder / target
    (place / "photos").mkdir(parents=True)
    photo().save(place / "photos" / "p.jpg")
    (folder / "linked").symlink_to(place)
    assert codes(read_one(folder, "linked/photos/p.jpg")) == said


def test_a_circle_of_links(folder):
    (folder / "a.jpg").symlink_to(folder / "b.jpg")
    (folder / "b.jpg").symlink_to(folder / "a.jpg")
    assert codes(read_one(folder, "a.jpg"))[0] in {"image.outside", "image.missing"}


def test_a_link_inside_the_archive_is_followed(folder):
    photo().save(folder / "real.jpg")
    (folder / "p.jpg").symlink_to("real.jpg")
    assert read_one(folder, "p.jpg").facts


@pytest.mark.parametrize(
    "name", ["with space.jpg", 'it\'s "quoted".jpg', "ünïcode-😀.jpg", "-dash.jpg", "per%20cent#.jpg"]
)
def test_odd_names_are_plain_names(folder, name):
    photo().save(folder / name)
    result = read_one(folder, name)
    assert result.facts.path == name
    assert not result.findings


def test_a_whole_bad_folder_prints_nothing_and_is_left_alone(folder, capfd):
    kinds = {"jpg": "JPEG", "png": "PNG", "tif": "TIFF", "webp": "WEBP", "heic": "HEIF", "avif": "AVIF"}
    whole = {ending: encoded(photo(300, 200), kind) for ending, kind in kinds.items()}
    for ending, content in whole.items():
        (folder / f"cut.{ending}").write_bytes(content[: len(content) * 2 // 3])
        (folder / f"flipped.{ending}").write_bytes(
            bytes(b ^ 0x55 if i % 37 == 36 else b for i, b in enumerate(content))
        )
    Image.new("RGB", (64, 64)).save(folder / "lzw.tif", compression="tiff_lzw")
    lzw = (folder / "lzw.tif").read_bytes()
    (folder / "lzw.tif").write_bytes(lzw[:20] + b"\xff" * 30 + lzw[50:])
    before = {path.name: (digest_file(path), path.stat().st_mtime_ns) for path in folder.iterdir()}
    jobs = [ImageJob(name, role) for name in sorted(before) for role in (Role.PHOTO,)]
    results = read_pictures(jobs, folder, Cache(folder.parent / "cache"), 2, Silent())
    assert set(results) == set(before)
    assert all(result.facts or result.findings for result in results.values())
    assert {path.name: (digest_file(path), path.stat().st_mtime_ns) for path in folder.iterdir()} == before
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("error", [MemoryError(), RecursionError(), ZeroDivisionError()])
def test_an_error_that_nobody_foresaw_is_one_finding_and_is_tried_again(folder, monkeypatch, error):
    photo().save(folder / "p.png")

    def fail(*_):
        raise error

    with monkeypatch.context() as broken:
        broken.setattr("archgen.images.derivatives.halves", fail)
        result = read_one(folder, "p.png")
        assert (result.facts, codes(result)) == (None, ["image.damaged"])
    assert read_one(folder, "p.png").facts


@posix
@pytest.mark.parametrize(("task", "kept"), [("dies", True), ("is_killed", False)])
def test_a_drawing_that_kills_what_draws_it_is_one_finding(folder, monkeypatch, task, kept):
    (folder / "p.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0h9v2z"/></svg>'
    )
    with monkeypatch.context() as broken:
        broken.setattr(stencil_file, "_TASKS", f"tests.unit.isolation.{task}")
        result = read_one(folder, "p.svg", Role.STENCIL)
        assert (result.facts, codes(result)) == (None, ["image.damaged"])
        assert "stops the program" in result.findings[0].problem
    # What may have been chance is tried again.
    assert (read_one(folder, "p.svg", Role.STENCIL).facts is None) == kept


def test_a_drawing_nested_too_deeply_is_one_finding(folder):
    deep = "<g>" * 60_000 + "</g>" * 60_000
    (folder / "deep.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{deep}</svg>')
    result = read_one(folder, "deep.svg", Role.STENCIL)
    assert (result.facts, codes(result)) == (None, ["image.damaged"])
    assert "PNG" in result.findings[0].remedy


def test_a_drawing_packed_to_fill_the_memory_is_one_finding(folder):
    (folder / "bomb.svg").write_bytes(gzip.compress(b"<svg>" + b" " * 200_000_000, 1))
    result = read_one(folder, "bomb.svg", Role.STENCIL)
    assert (result.facts, codes(result)) == (None, ["image.damaged"])
    assert "more than 50 MB" in result.findings[0].problem


@pytest.mark.parametrize("name", ["p.jpg", "p.svg"])
def test_a_file_padded_beyond_any_picture_is_refused_unread(folder, name, monkeypatch):
    with (folder / name).open("wb") as stream:
        stream.write(encoded(photo(), "JPEG"))
        stream.truncate(600_000_000)
    monkeypatch.setattr(Cache, "digest", None)
    result = read_one(folder, name, Role.STENCIL)
    assert (result.facts, codes(result)) == (None, ["image.too-large"])
    assert "600 MB" in result.findings[0].problem


@pytest.mark.parametrize("role", list(Role))
def test_damaged_pictures_behind_the_first_are_noted_and_the_first_is_used(folder, role):
    raw = bytearray(encoded(photo(64, 48), "TIFF", save_all=True, append_images=[photo(64, 48)]))
    (first,) = struct.unpack_from("<I", raw, 4)
    (entries,) = struct.unpack_from("<H", raw, first)
    (second,) = struct.unpack_from("<I", raw, first + 2 + 12 * entries)
    struct.pack_into("<H", raw, second + 2, 0x00FF)  # where its width stood
    (folder / "p.tif").write_bytes(raw)
    result = read_one(folder, "p.tif", role)
    assert result.facts is not None
    assert "image.damaged-frames" in codes(result)


@posix
@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize("kind", ["tif", "gif", "webp", "avif", "heic", "bmp"])
def test_a_picture_that_kills_its_decoder_is_one_finding(folder, monkeypatch, kind, role):
    photo().save(folder / f"p.{kind}")
    with monkeypatch.context() as broken:
        broken.setattr(picture_file, "_TASKS", "tests.unit.isolation.dies")
        result = read_one(folder, f"p.{kind}", role)
        assert (result.facts, codes(result)) == (None, ["image.damaged"])
        assert "stops the program" in result.findings[0].problem


@posix
def test_a_picture_whose_decoder_was_ended_from_outside_is_tried_again(folder, monkeypatch):
    photo().save(folder / "p.webp")
    with monkeypatch.context() as broken:
        broken.setattr(picture_file, "_TASKS", "tests.unit.isolation.is_killed")
        assert codes(read_one(folder, "p.webp")) == ["image.damaged"]
    assert read_one(folder, "p.webp").facts


@posix
@pytest.mark.parametrize(("way", "why"), [("eats", "too much memory"), ("hangs", "too long")])
def test_a_picture_whose_decoder_takes_too_much_is_one_finding(folder, monkeypatch, way, why):
    photo().save(folder / "p.tif")
    monkeypatch.setattr(picture_file, "_TASKS", f"tests.unit.isolation.{way}")
    monkeypatch.setattr(picture_file, "_LIMITS", WorkLimits(cpu_s=1, memory_bytes=300_000_000))
    result = read_one(folder, "p.tif")
    assert (result.facts, codes(result)) == (None, ["image.damaged"])
    assert why in result.findings[0].problem


def test_a_file_that_goes_away_while_it_is_read_cannot_be_read(folder, monkeypatch):
    photo().save(folder / "p.tif")

    def gone(*_, **__):
        raise RaisedError("FileNotFoundError", ("2", "No such file or directory"))

    monkeypatch.setattr(picture_file, "call", gone)
    assert codes(read_one(folder, "p.tif")) == ["image.unreadable"]
