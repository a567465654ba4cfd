"""archgen find, as typed."""

import io
import json
import os
from pathlib import Path

import cv2
import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image, ImageOps
from rich.console import Console

from archgen.cli import archgen
from archgen.commands.texts.find_text import print_likes
from archgen.errors import InputError, OutputError
from archgen.intake.comparing import filed_lines
from archgen.intake.comparing.filed_lines import FiledPicture
from archgen.intake.comparing.pieces_like import LaidOn, PieceLike
from archgen.laying.pose import similar
from archgen.laying.recognise import SHORTLIST
from tests.cli.archive import draw_f
from tests.demo.drawing import motif
from tests.demo.limb import Scene
from tests.demo.photo import render
from tests.demo.raster import stencil
from tests.demo.shade import ink
from tests.intake_pictures import file_piece, save, scene

OWL = """title = "Barn owl"
client = "C-0042"
finished = 2026-03-14
[size]
width = "58 mm"
[placement]
region = "forearm-outer"
[[sitting]]
date = 2026-03-14
note = "whiskers last; \\u001b[31mred\\u001b[0m"
[[ink]]
batch = "GW2-2231"
"""
SNAKE = 'title = "Snake"\n[[stencil]]\nfile = "stencils/1.png"\nwidth = "60 mm"\nmirrored = true\napplied = true\n'
SWALLOW = 'title = "Swallow"\n[[photo]]\nfile = "photos/fresh.jpg"\nstage = "fresh"\n'


@pytest.fixture(scope="module")
def root(tmp_path_factory):
    root = tmp_path_factory.mktemp("studio") / "content"
    file_piece(root, "2026-03-14-barn-owl", OWL, fresh=scene(1))
    light = Scene("forearm", "light", "fresh", "stone", 4, fill=0.55, tilt=8)
    picture = render(ink(motif("swallow", 60.0), 10.0, "wash", seed=4), light, (768, 1024))
    file_piece(root, "2026-02-14-swallow", SWALLOW, fresh=picture)
    stencils = root / "pieces/2026-01-10-snake/stencils"
    stencils.mkdir(parents=True)
    ImageOps.mirror(stencil(motif("snake", 60.0), 300)).save(stencils / "1.png")
    (stencils.parent / "piece.toml").write_text(SNAKE)
    return root


@pytest.fixture
def find(root):
    def typed(*words):
        return CliRunner().invoke(archgen, ["find", *map(str, words), "--archive", str(root)])

    return typed


def test_the_best_answer_is_printed_with_its_line(find):
    said = find("whiskers")
    assert said.exit_code == 0
    lines = said.stdout.split("\n")
    assert lines[1].startswith("Barn owl")
    assert "Sitting: 14 Mar 2026 · whiskers last" in said.stdout


def test_json_is_for_another_program(find):
    said = json.loads(find("owl", "58", "mm", "--format", "json").stdout)
    assert said["question"] == "owl 58 mm"
    assert [one["kind"] for one in said["answers"]] == ["piece"]
    first = said["answers"][0]
    assert (first["id"], first["piece"], first["name"]) == ("2026-03-14-barn-owl",) * 2 + ("Barn owl",)
    assert first["page"] == "pieces/2026-03-14-barn-owl.html"
    assert {"heading": "Size", "text": "58 mm wide"} in first["lines"]


def test_nothing_found_is_exit_code_1_and_names_what_failed(find):
    said = find("owl", "tractor")
    assert (said.exit_code, said.stdout.split("\n")[0]) == (0, "Nothing has “tractor”; shown without it.")
    nothing = find("dagger")
    assert (nothing.exit_code, nothing.stdout.strip()) == (1, "Nothing has “dagger”.")


def test_so_many_answers_are_shown_and_the_rest_is_counted(find):
    said = find("fresh", "--most", "1").stdout
    assert "\n1 more answer. Add a word to narrow it down; --most shows more." in said
    assert said.count("  piece") == 1


def test_words_or_a_picture_and_not_both(find, tmp_path):
    assert find().exit_code != 0
    picture = save(scene(3), tmp_path / "a.jpg")
    assert find("owl", "--like", picture).exit_code != 0


def test_a_screenshot_finds_its_piece_and_another_photo_too(find, tmp_path):
    saved = save(scene(1).resize((450, 350)), tmp_path / "shot.png")
    said = json.loads(find("--like", saved, "--format", "json").stdout)
    assert [(one["piece"], one["sure"]) for one in said["answers"]] == [("2026-03-14-barn-owl", True)]
    healed = Scene("forearm", "light", "healed", "slate", 9, fill=0.5, tilt=-6, exposure=0.95)
    photo = render(ink(motif("swallow", 60.0), 10.0, "wash", seed=4), healed, (768, 1024))
    printed = find("--like", save(photo, tmp_path / "healed.jpg")).stdout
    assert "Swallow  2026-02-14-swallow" in printed
    assert "Its lines lie on those of pieces/2026-02-14-swallow/photos/fresh.jpg." in printed


def test_a_photo_of_the_tattoo_finds_a_piece_that_has_only_its_stencil(find, tmp_path):
    """The stencil is kept as the transfer paper wants it; its lines are those on skin."""
    worn = Scene("forearm", "light", "fresh", "stone", 6, fill=0.6, tilt=5)
    photo = render(ink(motif("snake", 60.0), 10.0, "line", seed=2), worn, (768, 1024))
    said = json.loads(find("--like", save(photo, tmp_path / "worn.jpg"), "--format", "json").stdout)
    first = said["answers"][0]
    assert (first["piece"], first["sure"], first["overlay"]) == ("2026-01-10-snake", True, None)


def test_the_lines_are_shown_on_the_picture_where_they_lie(find, tmp_path):
    """The stencil's violet lines lie on the ink: darker there than beside, and violet where the photo is not."""
    worn = Scene("forearm", "light", "fresh", "stone", 6, fill=0.6, tilt=5)
    photo = render(ink(motif("snake", 60.0), 10.0, "line", seed=2), worn, (768, 1024))
    folder = tmp_path / "laid"
    said = find("--like", save(photo, tmp_path / "worn.jpg"), "--overlay", folder, "--format", "json").stdout
    shown = Path(json.loads(said)["answers"][0]["overlay"])
    assert shown == (folder / "1-2026-01-10-snake.jpg").resolve()
    with Image.open(shown) as opened:
        laid = np.asarray(opened.convert("RGB"), int)
        before = np.asarray(photo.resize(opened.size), int)
    violet = np.abs(laid - (74, 42, 138)).max(axis=2) < 40
    assert 1500 < violet.sum() < 60_000
    near = cv2.dilate(violet.astype(np.uint8), np.ones((15, 15), np.uint8)) > 0
    assert before[violet].mean() < before[near & ~violet].mean() - 25
    assert np.abs(laid - before)[~near].mean() < 4


def test_lines_are_drawn_only_into_a_new_folder_outside_the_archive(find, root, tmp_path):
    picture = save(scene(3), tmp_path / "a.jpg")
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "mine.txt").write_text("mine")
    for folder, words in ((tmp_path / "full", "not empty"), (root / "laid", "inside the archive")):
        said = find("--like", picture, "--overlay", folder)
        assert isinstance(said.exception, OutputError)
        assert words in str(said.exception)
    assert not (root / "laid").exists()
    assert find("owl", "--overlay", tmp_path / "laid").exit_code == 2


def test_one_picture_is_compared_with_many_more_than_an_intake_compares(find, tmp_path, monkeypatch):
    asked = []
    monkeypatch.setattr(filed_lines, "recognise", lambda *given: asked.append(given[-1]) or [])
    find("--like", save(scene(78), tmp_path / "one.jpg"))
    assert asked[0] >= 5 * SHORTLIST


def test_a_picture_that_is_none_is_said_in_one_sentence(find, tmp_path):
    (tmp_path / "note.jpg").write_text("no picture")
    said = find("--like", tmp_path / "note.jpg")
    assert isinstance(said.exception, InputError)
    assert str(said.exception).startswith("note.jpg: ")


def test_a_picture_that_is_not_there_is_said_in_one_sentence_before_anything_is_read(tmp_path):
    (tmp_path / "content" / "pieces").mkdir(parents=True)
    picture, content = str(tmp_path / "gone.jpg"), str(tmp_path / "content")
    said = CliRunner().invoke(archgen, ["find", "--like", picture, "--archive", content])
    assert isinstance(said.exception, InputError)
    assert str(said.exception) == f"{picture}: there is no such file. Check the name."
    assert [one.name for one in tmp_path.iterdir()] == ["content"]


def test_a_picture_like_nothing_says_so(find, tmp_path):
    said = find("--like", save(scene(77), tmp_path / "other.jpg"))
    assert (said.exit_code, said.stdout.strip()) == (1, "No filed piece is like this picture.")


@pytest.mark.parametrize(
    ("is_sure", "overlays", "offered"),
    [(False, {}, True), (True, {}, False), (False, {"owl": Path("1-owl.jpg")}, False)],
)
def test_lines_on_the_picture_are_offered_where_somebody_has_to_look(is_sure, overlays, offered):
    filed = FiledPicture("owl", "stencils/1.png", Path("1.png"), "d", is_stencil=True)
    laid = LaidOn(filed, similar(1.0, 0.0, (0.0, 0.0), (0.0, 0.0), 1.0), Path("asked.png"))
    console = Console(file=io.StringIO(), width=200)
    print_likes(
        console, [PieceLike("owl", "Owl", "stencils/1.png", "Its lines may be those of", is_sure, laid)], overlays
    )
    said = console.file.getvalue()
    assert ("add --overlay" in said) == offered
    assert ("Laid on each other: 1-owl.jpg" in said) == bool(overlays)
    assert ("look at both" in said) == (not is_sure)


def test_a_height_that_only_the_picture_tells_is_known_while_records_changed(terminal):
    """As on the pages; and no more once the stencil's own file changed."""
    stencils = sorted(terminal.root.glob("pieces/*/stencils/*"))
    for one in stencils:
        os.utime(one, (1_700_000_000, 1_700_000_000))
    terminal.run("build")
    on_the_page = terminal.run("find", "60 mm").out
    assert "40 × 60 mm" in on_the_page
    record = terminal.root / "pieces/2025-01-01-moth/piece.toml"
    record.write_text(record.read_text().replace('"Moth"', '"Hawk moth"'))
    assert "Hawk moth" in terminal.run("find", "hawk").out
    assert terminal.run("find", "60 mm").out == on_the_page
    for one in stencils:
        draw_f(one, (600, 790))
    assert "Nothing has “60 mm”" in terminal.run("find", "60 mm").out
    for one in stencils:
        one.unlink()
    assert "Nothing has “60 mm”" in terminal.run("find", "60 mm").out


def test_a_drawing_that_two_pieces_hold_nearly_alike_is_said_of_both_and_sure_of_neither(tmp_path):
    root = tmp_path / "content"
    for name, weight in (("2026-01-10-snake", 1.0), ("2026-01-11-again", 1.25)):
        folder = root / "pieces" / name / "stencils"
        folder.mkdir(parents=True)
        stencil(motif("snake", 60.0), 300, weight).save(folder / "1.png")
        (folder.parent / "piece.toml").write_text(SNAKE.replace("mirrored = true\n", ""))
    save(stencil(motif("snake", 60.0), 200), tmp_path / "shot.png")
    asked = ["find", "--like", str(tmp_path / "shot.png"), "--archive", str(root), "--format", "json"]
    said = json.loads(CliRunner().invoke(archgen, asked).stdout)
    assert {(one["piece"], one["sure"]) for one in said["answers"]} == {
        ("2026-01-10-snake", False),
        ("2026-01-11-again", False),
    }
    (root / "pieces/2026-01-11-again/stencils/1.png").unlink()
    said = json.loads(CliRunner().invoke(archgen, asked).stdout)
    assert [(one["piece"], one["sure"]) for one in said["answers"]] == [("2026-01-10-snake", True)]
