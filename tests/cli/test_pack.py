"""archgen pack, as typed: chosen pieces in one file that needs nothing else, by the rules of the portfolio."""

import re
import zipfile

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from archgen.cli import archgen
from archgen.errors import OutputError, UsageError, WithheldError
from archgen.storage.staging import claim_folder
from tests.cli.archive import draw_f
from tests.drawn_twins import photo, save

PIECE = """title = "{title}"
publish = {publish}
client = "C-0042"
[[photo]]
file = "photos/fresh.jpg"
stage = "fresh"
[[photo]]
file = "photos/healed.jpg"
stage = "{stage}"
[release]
status = "granted"
scope = ["portfolio"]
"""

STENCILS = """[[stencil]]
file = "stencils/v1.png"
version = 1
width = "40 mm"
applied = true
mirrored = true
[[stencil]]
file = "stencils/v2.png"
version = 2
"""


def write_archive(root):
    for number, (name, publish, stage) in enumerate(
        (("owl", "true", "healed"), ("moth", "true", "in-progress"), ("koi", "false", "healed"))
    ):
        folder = root / "pieces" / name
        folder.mkdir(parents=True)
        text = PIECE.format(title=f"{name.title()} at night", publish=publish, stage=stage)
        (folder / "piece.toml").write_text(text, "utf-8")
        times = 3 if name == "owl" else 1
        save(photo(2 * number + 3).resize((480 * times, 600 * times)), folder / "photos/fresh.jpg")
        save(photo(2 * number + 4), folder / "photos/healed.jpg")
        if name == "owl":
            for version in (1, 2):
                draw_f(folder / f"stencils/v{version}.png", (600 + 300 * version, 800))
            with (folder / "piece.toml").open("a") as record:
                record.write(STENCILS)
    (root / "clients.toml").write_text('[[client]]\ncode = "C-0042"\nname = "Anna Söderqvist"\n', "utf-8")
    (root / "archive.toml").write_text('[portfolio]\nartist = "Tove"\ncreator = "Tove"\n', "utf-8")
    return root


@pytest.fixture(scope="module")
def archive(tmp_path_factory):
    root = write_archive(tmp_path_factory.mktemp("pack") / "content")
    claim_folder(root.parent / "built", root)  # pictures are read once then
    return root


@pytest.fixture
def run(archive, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    def ran(*arguments):
        where = ["--archive", str(archive), "--out", str(archive.parent / "built")]
        return CliRunner().invoke(archgen, ["pack", *arguments, *where])

    return ran


def test_a_page_holds_the_chosen_pieces_in_their_order_and_leads_nowhere(run, tmp_path):
    done = run("moth", "owl", "owl")
    assert done.exit_code == 0, done.output
    assert "Moth at night, Owl at night: 3 pictures, " in done.output
    page = (tmp_path / "pack.html").read_text("utf-8")
    assert re.findall(r"<cite>(.*?)</cite>", page) == ["Moth at night", "Owl at night"]
    sources = re.findall(r'(?:src|href)="(.*?)["#]', page)
    assert [one for one in sources if one] == [one for one in sources if one.startswith("data:image/")]
    assert len([one for one in sources if one]) == 3
    assert "Koi" not in page
    # The smallest copy that is sharp on a phone, else the largest there is.
    assert sorted(int(one) for one in re.findall(r' width="(\d+)"', page)) == [480, 480, 1440]


def test_only_photos_of_the_wanted_stage_go_along(run, tmp_path):
    assert run("owl", "--stage", "healed").exit_code == 0
    page = (tmp_path / "pack.html").read_text("utf-8")
    assert page.count("<img") == 1
    assert "Healed" in page
    assert "Fresh" not in page
    assert isinstance(run("moth", "--stage", "healed").exception, UsageError)


@pytest.mark.parametrize("name", ["owl.html", "owl.zip"])
def test_the_stencil_that_went_on_the_skin_goes_along_when_asked_for(run, tmp_path, name):
    done = run("owl", "--stencils", "--stage", "healed", "--to", name)
    assert done.exit_code == 0, done.output
    assert "2 pictures" in done.output
    page = (tmp_path / name).read_bytes()
    if name.endswith(".zip"):
        with zipfile.ZipFile(tmp_path / name) as packed:
            page = packed.read("index.html")
            drawing = Image.open(packed.open([one for one in packed.namelist() if one != "index.html"][-1]))
            assert drawing.size == (900, 800)
            assert np.asarray(drawing.convert("L")).min() < 40
    figures = re.findall(r"<figcaption>(.*?)</figcaption>", page.decode())
    assert figures == ["Healed", "Stencil, mirrored"]


def test_a_piece_without_a_stencil_is_told_of(run, tmp_path):
    done = run("owl", "moth", "--stencils")
    assert isinstance(done.exception, UsageError)
    assert "Moth at night has no stencil" in str(done.exception)
    assert not (tmp_path / "pack.html").exists()


def test_a_stencil_that_was_not_let_out_is_found(run, tmp_path, monkeypatch):
    monkeypatch.setattr("archgen.packing.pack._letting_out", lambda publications, _drawn: publications)
    done = run("owl", "--stencils")
    assert isinstance(done.exception, WithheldError)
    assert not (tmp_path / "pack.html").exists()


def test_what_may_not_be_shown_is_not_packed_and_why_is_said(run, tmp_path):
    done = run("owl", "koi")
    assert isinstance(done.exception, UsageError)
    assert "koi may not be shown" in str(done.exception)
    assert "You haven't asked for it to be published." in str(done.exception)
    assert not (tmp_path / "pack.html").exists()


def test_a_zip_holds_the_page_and_its_pictures_with_the_artists_rights(run, tmp_path):
    assert run("owl", "--to", "owl.zip").exit_code == 0
    with zipfile.ZipFile(tmp_path / "owl.zip") as packed:
        names = packed.namelist()
        page = packed.read("index.html").decode()
        pictures = [name for name in names if name != "index.html"]
        assert len(pictures) == 2
        assert all(f'src="{name}"' in page for name in pictures)
        assert all(b"Tove" in packed.read(name) for name in pictures)
    first = (tmp_path / "owl.zip").read_bytes()
    assert run("owl", "--to", "owl.zip").exit_code == 0
    assert (tmp_path / "owl.zip").read_bytes() == first


@pytest.mark.parametrize("name", ["pack.html", "pack.zip"])
def test_a_private_word_in_a_public_text_keeps_the_file_back(run, archive, tmp_path, name):
    story = archive / "pieces/owl/story.md"
    story.write_text("For Anna Söderqvist.", "utf-8")
    try:
        done = run("owl", "--to", name)
    finally:
        story.unlink()
    assert isinstance(done.exception, WithheldError)
    assert "Söderqvist" in done.output
    assert not (tmp_path / name).exists()


def test_nothing_else_is_replaced_and_nothing_lies_among_the_pieces(run, archive, tmp_path):
    (tmp_path / "letter.html").write_text("Dear client")
    assert isinstance(run("owl", "--to", "letter.html").exception, OutputError)
    assert (tmp_path / "letter.html").read_text() == "Dear client"
    assert isinstance(run("owl", "--to", str(archive / "pieces/owl/x.html")).exception, OutputError)
    assert run("owl", "--to", "owl.pdf").exit_code == 2
