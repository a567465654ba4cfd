"""archgen twins, as typed."""

import json
import os
import re
import shutil
import subprocess
import sys
import tomllib

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image, ImageOps

from archgen.cli import archgen
from archgen.errors import ConfigError, InputError, UsageError
from tests.drawn_twins import drawing, photo, piece, save

KEYS = ("a", "b", "relation", "mirrored", "turned", "score")


def run_apart(*arguments):
    """Run in a process of its own, which a test can end: what opens a pipe waits for ever."""
    command = [sys.executable, "-m", "archgen", "twins", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)


def run(*arguments, typed=None):
    return CliRunner().invoke(archgen, ["twins", *map(str, arguments)], input=typed)


def pairs_in(folder):
    result = run("--images", folder, "--format", "jsonl")
    assert result.exit_code == 0, result.output
    return [json.loads(line) for line in result.stdout.splitlines()]


def snapshot(folder):
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


# --- any folder -----------------------------------------------------------------------------------------------


def test_each_pair_is_one_object_with_paths_below_the_folder(tmp_path):
    save(drawing(1), tmp_path / "roll" / "one.png")
    save(ImageOps.mirror(drawing(1)), tmp_path / "roll" / "deep" / "mirrored.png")
    save(drawing(2), tmp_path / "roll" / "other.png")
    (pair,) = pairs_in(tmp_path / "roll")
    assert {key: pair[key] for key in KEYS[:-1]} == {
        "a": "deep/mirrored.png",
        "b": "one.png",
        "relation": "mirrored",
        "mirrored": True,
        "turned": 0,
    }
    assert 0.5 < pair["score"] <= 1


def test_text_names_the_pictures_of_each_group(tmp_path):
    save(photo(1), tmp_path / "one.jpg", quality=95)
    save(photo(1, light=1.3), tmp_path / "brighter.jpg", quality=95)
    result = run("--images", tmp_path)
    assert "one.jpg" in result.stdout
    assert "2 pictures compared, 1 group found." in result.stdout


def test_the_folder_stays_as_it_is(tmp_path):
    save(photo(1), tmp_path / "one.jpg")
    save(photo(1), tmp_path / "two.jpg", quality=60)
    before = snapshot(tmp_path)
    pairs_in(tmp_path)
    assert snapshot(tmp_path) == before


def test_a_photo_held_upright_is_compared_upright(tmp_path):
    stored = photo(1).transpose(Image.Transpose.ROTATE_90)
    exif = Image.Exif()
    exif[0x0112] = 6
    stored.save(tmp_path / "turned-by-its-tag.jpg", exif=exif.tobytes(), quality=95)
    save(photo(1), tmp_path / "upright.jpg", quality=95)
    (pair,) = pairs_in(tmp_path)
    assert (pair["relation"], pair["turned"]) == ("identical", 0)


def test_what_cannot_be_read_is_a_note_and_stops_nothing(tmp_path):
    save(photo(1), tmp_path / "one.jpg")
    save(photo(1), tmp_path / "two.jpg", quality=60)
    (tmp_path / "empty.jpg").write_bytes(b"")
    (tmp_path / "text.png").write_text("no picture")
    (tmp_path / "half.jpg").write_bytes((tmp_path / "one.jpg").read_bytes()[:3000])
    (tmp_path / "folder.jpg").mkdir()
    (tmp_path / "notes.txt").write_text("not asked about")
    result = run("--images", tmp_path, "--format", "jsonl")
    assert result.exit_code == 0
    assert len(result.stdout.splitlines()) == 1
    *notes, _, _ = result.stderr.splitlines()
    assert [line.partition(":")[0] for line in notes] == ["empty.jpg", "half.jpg", "text.png"]


def test_a_pipe_is_passed_over_with_a_note(tmp_path):
    save(photo(1), tmp_path / "one.jpg")
    os.mkfifo(tmp_path / "pipe.jpg")
    result = run_apart("--images", tmp_path)
    assert result.returncode == 0
    assert "pipe.jpg: This isn't an ordinary file, so it was not opened." in result.stderr


def test_links_are_counted(tmp_path):
    save(photo(1), tmp_path / "one.jpg")
    (tmp_path / "link.jpg").symlink_to("one.jpg")
    (tmp_path / "nowhere.jpg").symlink_to("gone.jpg")
    (tmp_path / "circle").symlink_to(tmp_path)
    result = run("--images", tmp_path)
    assert "3 links were passed over" in result.stderr
    assert "1 picture compared, 0 groups found." in result.stdout


def test_what_holds_nothing_to_compare_is_named_with_the_reason(tmp_path):
    for number in range(8):
        save(Image.new("RGB", (400, 300), (200, 20, number)), tmp_path / f"red-{number}.png")
    save(photo(1).resize((900, 20)), tmp_path / "strip.png")
    result = run("--images", tmp_path, "--format", "jsonl")
    assert result.stdout == ""
    red, strip, work, _ = result.stderr.splitlines()
    assert red.startswith("8 files: red-0.png, red-1.png, red-2.png, red-3.png, red-4.png and 3 more: ")
    assert "of one colour" in red
    assert strip.startswith("strip.png: The picture is a strip")
    assert work.startswith("9 pictures read in ")


def test_the_work_done_is_told_beside_the_result(tmp_path):
    for number in (1, 2):
        save(photo(1), tmp_path / f"{number}.jpg", quality=60 + 10 * number)
    result = run("--images", tmp_path)
    assert re.search(r"^2 pictures read in \d+\.\d s; 1 pair looked at in \d+\.\d s\.$", result.stderr, re.MULTILINE)
    assert " read in " not in result.stdout


def test_signs_that_steer_the_terminal_are_written_out(tmp_path):
    name = "a\x1b[31m\n\t\u202eb.jpg"
    save(photo(1), tmp_path / "one.jpg")
    save(photo(1), tmp_path / name, quality=60)
    (tmp_path / "empty\x1b.jpg").write_bytes(b"")
    result = run("--images", tmp_path)
    assert r"a\u001b[31m\n\t\u202eb.jpg" in result.stdout
    assert r"empty\u001b.jpg: " in result.stderr
    assert not {"\x1b", "\t", "\u202e"} & set(result.output)
    (pair,) = pairs_in(tmp_path)
    assert name in {pair["a"], pair["b"]}


def test_pictures_without_a_design_are_paired_with_nothing(tmp_path):
    noise = np.random.default_rng(5)
    for number in range(3):
        save(Image.new("RGB", (400, 300), "white"), tmp_path / f"blank-{number}.png")
        save(Image.new("RGB", (300, 400), (90, 20, 20)), tmp_path / f"red-{number}.png")
        save(photo(number).resize((8, 10)), tmp_path / f"tiny-{number}.png")
        save(photo(number).resize((900, 20)), tmp_path / f"strip-{number}.png")
        save(Image.fromarray(noise.integers(0, 256, (400, 400), np.uint8)), tmp_path / f"noise-{number}.png")
    assert pairs_in(tmp_path) == []


def test_an_animated_picture_counts_by_its_first_frame(tmp_path):
    frames = [photo(1), photo(2), photo(3)]
    for suffix in ("gif", "webp", "png"):
        frames[0].save(tmp_path / f"moving.{suffix}", save_all=True, append_images=frames[1:], duration=80)
    save(photo(1), tmp_path / "still.png")
    found = {(pair["a"], pair["b"]) for pair in pairs_in(tmp_path)}
    assert {("moving.gif", "still.png"), ("moving.webp", "still.png"), ("moving.png", "still.png")} <= found


def test_many_copies_make_no_more_pairs_than_copies(tmp_path):
    original = save(photo(1), tmp_path / "0000.jpg", quality=92)
    for number in range(1, 160):
        shutil.copy(original, tmp_path / f"{number:04}.jpg")
    for number in range(40):
        save(photo(1), tmp_path / f"again-{number:02}.jpg", quality=60 + number)
    save(ImageOps.mirror(photo(1)), tmp_path / "mirrored.jpg")
    pairs = pairs_in(tmp_path)
    assert len(pairs) < 220
    assert {p["relation"] for p in pairs if "mirrored.jpg" in (p["a"], p["b"])} == {"mirrored"}
    joined = {path for pair in pairs for path in (pair["a"], pair["b"])}
    assert len(joined) == 201
    assert "and 189 more" in run("--images", tmp_path).stdout


def test_a_missing_folder_is_told():
    result = run("--images", "no-such-folder")
    assert isinstance(result.exception, InputError)


def test_a_file_is_told_from_a_missing_folder(tmp_path):
    file = save(photo(1), tmp_path / "one.jpg")
    result = run("--images", file)
    assert isinstance(result.exception, InputError)
    assert str(result.exception) == f"{file} is a file. Name the folder that holds it: --images {tmp_path}"


def test_a_folder_without_pictures_says_what_is_looked_for(tmp_path):
    result = run("--images", tmp_path)
    assert result.exit_code == 0
    assert f"There are no pictures in {tmp_path}." in result.stdout
    assert "heic, heif" in result.stdout


# --- the archive and its decisions ----------------------------------------------------------------------------

ONE, TWO, THREE = (f"pieces/owl/photos/{name}.jpg" for name in ("one", "two", "three"))


@pytest.fixture
def root(tmp_path):
    """An archive in which one photo has an edited copy, and a third photo is another one."""
    root = tmp_path / "content"
    owl = piece(root, "owl")
    save(photo(1), owl / "photos" / "one.jpg", quality=95)
    save(photo(1, light=1.3), owl / "photos" / "two.jpg", quality=95)
    save(photo(2), owl / "photos" / "three.jpg", quality=95)
    return root


@pytest.fixture
def twins(root, tmp_path):
    def ran(*arguments, typed=None):
        return run(*arguments, "--archive", root, "--out", tmp_path / "build", typed=typed)

    return ran


def decisions(root):
    return tomllib.loads((root / "decisions.toml").read_text("utf-8"))


def test_the_archive_s_undecided_groups_are_listed(twins):
    result = twins()
    assert ONE in result.stdout
    assert THREE not in result.stdout
    assert "1 group undecided, 0 decisions." in result.stdout


def test_the_picture_with_the_most_pixels_is_offered_first(twins, root):
    save(photo(1, light=1.3).resize((700, 875)), root / TWO, quality=95)
    lines = twins().stdout.splitlines()
    assert lines[1].split() == ["1", TWO]


def test_jsonl_of_the_archive_says_what_each_pair_is_to_the_artist(twins):
    (pair,) = [json.loads(line) for line in twins("--format", "jsonl").stdout.splitlines()]
    assert set(KEYS) <= set(pair)
    assert (pair["a"], pair["b"], pair["standing"]) == (ONE, TWO, "double")


@pytest.mark.parametrize(("typed", "table"), [("2\ny\n", "same"), ("d\ny\n", "different")])
def test_an_answer_is_shown_written_and_not_asked_again(twins, root, typed, table):
    result = twins("--decide", typed=typed)
    assert f"[[{table}]]" in result.stdout
    (decision,) = decisions(root)[table]
    assert set(decision["images"]) == {ONE, TWO}
    assert decision.get("keep") == (TWO if table == "same" else None)
    assert "Nothing is left to decide." in twins("--decide").stdout


@pytest.mark.parametrize("typed", ["l\n", "q\n", "1\nn\n", "7\nx\n\n", ""])
def test_without_a_clear_yes_nothing_is_written(twins, root, typed):
    assert twins("--decide", typed=typed).exit_code == 0
    assert not (root / "decisions.toml").exists()


def test_one_of_three_can_be_another_picture(twins, root):
    save(photo(1, light=0.8), root / "pieces" / "owl" / "photos" / "zero.jpg", quality=95)
    twins("--decide", typed="1 -3\ny\n")
    written = decisions(root)
    assert len(written["same"][0]["images"]) == len(written["different"][0]["images"]) == 2
    assert "Nothing is left to decide." in twins("--decide").stdout


def test_every_picture_of_a_group_is_described(twins, root):
    moth = piece(root, "moth")
    owl = root / "pieces" / "owl"
    save(drawing(1, weight=5), owl / "stencils" / "a.png")
    save(drawing(1, weight=9), owl / "stencils" / "b.png")
    save(drawing(1, weight=5).resize((240, 300)), moth / "stencils" / "c.png")
    block = twins().stdout.split("\n\n")[0].splitlines()
    assert "one drawing, with lines of different weight" in block[0]
    assert [line.split()[0] for line in block[1::2]] == ["1", "2", "3"]
    assert "times as heavy" in block[4]


def test_how_to_answer_is_explained_and_a_wrong_answer_is_asked_again(twins, root):
    result = twins("--decide", typed="x\n1\nmaybe\ny\n")
    assert "1 or 2  keep that one; the other is the same picture" in result.stdout
    assert "That isn't one of the answers." in result.stdout
    assert "Type y to write these lines, n to leave the group for later" in result.stdout
    assert "Error" not in result.output
    assert decisions(root)["same"]


def test_the_end_of_the_input_at_the_last_question_writes_nothing(twins, root):
    assert "0 decided, 1 left for later." in twins("--decide", typed="1\n").stdout
    assert not (root / "decisions.toml").exists()


@pytest.mark.parametrize("verdict", ["--same", "--different"])
def test_a_dry_run_shows_the_lines_and_writes_nothing(twins, root, verdict):
    (root / "decisions.toml").write_text("# mine\n")
    result = twins(verdict, ONE, TWO, "--dry-run")
    assert f"[[{verdict[2:]}]]" in result.stdout
    assert "Nothing was written." in result.stdout
    assert (root / "decisions.toml").read_text() == "# mine\n"


@pytest.mark.parametrize("before", ["", "# mine\n", "# mine\r\n\r\n\r\n"])
def test_the_lines_to_delete_are_named(twins, root, before):
    (root / "decisions.toml").write_bytes(before.encode())
    place = re.search(r"Added to (.+), lines (\d+) to (\d+)\. To take it back", twins("--same", ONE, TWO).stdout)
    lines = (root / "decisions.toml").read_text().splitlines()
    first, last = int(place[2]), int(place[3])
    assert place[1] == str(root / "decisions.toml")
    assert (lines[first - 1], last) == ("[[same]]", len(lines))
    assert "\n".join(lines[: first - 1]).strip() == before.strip()


def test_one_line_decides(twins, root):
    result = twins("--same", ONE, TWO, "--keep", TWO, "--reason", "edited copy")
    assert result.exit_code == 0
    assert {key: decisions(root)["same"][0][key] for key in ("images", "keep", "reason")} == {
        "images": [ONE, TWO],
        "keep": TWO,
        "reason": "edited copy",
    }
    assert "0 groups undecided, 1 decision." in twins().stdout


def test_deciding_the_same_twice_writes_once(twins, root):
    twins("--different", ONE, TWO)
    before = (root / "decisions.toml").read_bytes()
    assert twins("--different", TWO, ONE).exit_code == 0
    assert (root / "decisions.toml").read_bytes() == before


def test_the_later_decision_counts(twins):
    twins("--different", ONE, TWO)
    assert "0 groups undecided" in twins().stdout
    twins("--same", ONE, TWO)
    assert json.loads(twins("--format", "jsonl").stdout)["relation"] == "edited"


def test_what_stands_in_the_file_stays_as_it_is(twins, root):
    before = "# mine\r\n[[different]]   # odd   spacing\r\nimages = ['x', 'y']\r\n\r\n\r\n"
    (root / "decisions.toml").write_bytes(before.encode())
    twins("--same", ONE, TWO)
    after = (root / "decisions.toml").read_bytes().decode()
    assert after.startswith(before.rstrip())
    assert "\n" not in after.replace("\r\n", "")
    assert decisions(root)["same"][0]["keep"] == ONE


def test_a_broken_file_is_not_touched(twins, root):
    (root / "decisions.toml").write_text("[[same\n")
    assert isinstance(twins("--same", ONE, TWO).exception, ConfigError)
    assert (root / "decisions.toml").read_text() == "[[same\n"


def test_a_pipe_in_place_of_the_decisions_is_told(root):
    os.mkfifo(root / "decisions.toml")
    result = run_apart("--same", ONE, TWO, "--archive", root)
    assert "decisions.toml isn't an ordinary file" in result.stderr


@pytest.mark.parametrize("verdict", ["--same", "--different"])
def test_a_changed_file_is_asked_about_again_and_why(twins, root, verdict):
    twins(verdict, ONE, TWO)
    assert "0 groups undecided" in twins().stdout
    save(photo(1, light=1.2), root / TWO, quality=95)
    result = twins()
    assert "1 group undecided" in result.stdout
    assert "two.jpg was changed since then" in " ".join(result.stdout.split())
    twins(verdict, ONE, TWO)
    assert "0 groups undecided" in twins().stdout


@pytest.mark.parametrize("decide", [(), ("--decide",)])
def test_why_it_is_asked_again_is_wrapped_and_not_cut(twins, root, decide):
    named = root / "pieces" / "owl" / "photos" / f"{'long-' * 9}name.jpg"
    (root / ONE).rename(named)
    twins("--different", named, TWO)
    save(photo(1, light=1.2), named, quality=95)
    lines = twins(*decide, typed="q\n").stdout.splitlines()
    assert f"{'long-' * 9}name.jpg was changed since then." in " ".join(" ".join(lines).split())
    assert not [line for line in lines if len(line) > 80 or line != line.rstrip()]


def test_a_decision_about_a_missing_picture_is_a_finding_and_the_rest_holds(twins, root, tmp_path):
    gone = "pieces/owl/photos/gone.jpg"
    (root / "decisions.toml").write_text(f'[[same]]\nimages = ["{ONE}", "{TWO}", "{gone}"]\n')
    assert "0 groups undecided" in twins().stdout
    audit = CliRunner().invoke(
        archgen, ["audit", "--archive", str(root), "--out", str(tmp_path / "build"), "--format", "json"]
    )
    (finding,) = [f for f in json.loads(audit.stdout) if f["code"] == "record.decision"]
    assert (finding["file"], finding["line"], finding["severity"]) == ("decisions.toml", 2, "note")


def test_only_the_decisions_are_written(twins, root):
    before = snapshot(root)
    twins("--decide", typed="1\ny\n")
    after = snapshot(root)
    assert {path for path in after if after[path] != before.get(path)} == {root / "decisions.toml"}


@pytest.mark.parametrize(
    "arguments",
    [
        ("--same", ONE),
        ("--same", ONE, ONE),
        ("--same", ONE, "pieces/owl/photos/tow.jpg"),
        ("--same", ONE, TWO, "--keep", THREE),
        ("--different", ONE, TWO, "--keep", ONE),
        ("--same", "--different", ONE, TWO),
        (ONE, TWO),
        ("--reason", "why"),
        ("--decide", "--dry-run"),
    ],
)
def test_a_wrong_command_line_writes_nothing(twins, root, arguments):
    assert isinstance(twins(*arguments).exception, UsageError)
    assert not (root / "decisions.toml").exists()
