"""Folders of any name: an id is made from each, a clash is a question, and no piece is lost."""

import re
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archgen.findings import Place
from archgen.records.files.piece_folders import id_of, name_pieces
from archgen.records.find import find_piece
from archgen.records.folder import list_folder
from archgen.records.reader import read_archive

ID = re.compile(r"[a-z0-9][a-z0-9-]*")


@pytest.mark.parametrize(
    ("folder", "made"),
    [
        ("2026-03-14-barn-owl", "2026-03-14-barn-owl"),
        ("Barn Owl", "barn-owl"),
        ("café_2", "cafe-2"),
        ("a'b\"c", "a-b-c"),
        ("-x", "x"),
        ("Straße & Øl", "strasse-ol"),
        ("owl.", "owl"),
        ("owl 🦉", "owl"),
        ("  moth  ", "moth"),
        ("CON", "con"),
    ],
)
def test_an_id_is_made_from_the_name(folder, made):
    assert id_of(folder) == made


@pytest.mark.parametrize("folder", ["猫", "夜", "Сова", "🦉", "...", "猫 2024", "x" * 300 + "!"])
def test_names_that_leave_nothing_or_too_much_keep_apart(folder):
    assert ID.fullmatch(id_of(folder))
    assert len(id_of(folder)) <= 80
    assert id_of(folder) != id_of(folder + "犬")


@given(st.sets(st.text(min_size=1, max_size=12), max_size=8))
def test_every_folder_has_an_id_of_its_own_always_the_same(folders):
    named, clashes = name_pieces(folders)
    assert {piece.folder for piece in named} == folders
    assert len({piece.id for piece in named}) == len(folders)
    assert all(ID.fullmatch(piece.id) for piece in named)
    assert name_pieces(sorted(folders, reverse=True)) == (named, clashes)


@pytest.fixture
def archive(tmp_path):
    def make(*folders):
        for folder in folders:
            (tmp_path / "pieces" / folder / "photos").mkdir(parents=True)
            (tmp_path / "pieces" / folder / "piece.toml").write_text(f'title = "In {len(folder)}"')
            (tmp_path / "pieces" / folder / "photos" / "a.jpg").write_bytes(b"x")
        return tmp_path

    return make


def test_a_clash_is_asked_once_and_both_pieces_stay(archive):
    read = read_archive(archive("barn-owl", "Barn Owl", "BARN_OWL"))
    assert [(piece.id, piece.folder) for piece in sorted(read.pieces, key=lambda piece: piece.id)] == [
        ("barn-owl", "pieces/barn-owl"),
        ("barn-owl-2", "pieces/BARN_OWL"),
        ("barn-owl-3", "pieces/Barn Owl"),
    ]
    asked = [finding for finding in read.findings if finding.code == "record.same-id"]
    assert [finding.piece for finding in asked] == ["barn-owl-2", "barn-owl-3"]
    assert all("are they one piece?" in finding.problem for finding in asked)


def test_two_ways_to_store_an_accent_are_two_folders_and_one_question(archive):
    names = [unicodedata.normalize(form, "Café") for form in ("NFC", "NFD")]
    read = read_archive(archive(*names))
    assert {piece.folder.rpartition("/")[2] for piece in read.pieces} == set(names)
    assert [finding.code for finding in read.findings if finding.code == "record.same-id"] == ["record.same-id"]


def test_files_are_found_under_the_true_name(archive):
    (piece,) = read_archive(archive("Owl. on Arm 🦉")).pieces
    assert piece.photos == ("pieces/Owl. on Arm 🦉/photos/a.jpg",)
    assert piece.toml == "pieces/Owl. on Arm 🦉/piece.toml"
    assert piece.id == "owl-on-arm"


@pytest.mark.parametrize("typed", ["Big Moth", "big-moth", "moth", "Big", "big moht", "the moth stencil", "wings"])
def test_a_piece_is_found_by_its_folder_and_by_loose_words(archive, typed):
    root = archive("Big Moth", "owl")
    (root / "pieces" / "Big Moth" / "piece.toml").write_text('titel: “Night wings”\nsubjects = ["bat"]\n')
    assert find_piece(root, typed) == "big-moth"


def test_a_name_that_would_command_a_terminal_is_told_without_doing_so(archive):
    read = read_archive(archive("a\x1b[31mred\n\u202eb"))
    (piece,) = read.pieces
    assert piece.folder == "pieces/a\x1b[31mred\n\u202eb"
    (piece_file,) = {str(Place(piece.toml, 2))}
    assert piece_file.isprintable()
    assert all(str(finding).isprintable() for finding in read.findings)


def test_of_far_too_many_files_only_the_first_are_read_and_no_other_folder_suffers(tmp_path, monkeypatch):
    monkeypatch.setattr("archgen.records.folder.MOST_FILES", 3)
    for folder, count in (("photos", 5), ("stencils", 2)):
        (tmp_path / folder).mkdir()
        for number in range(count):
            (tmp_path / folder / f"{number}.png").touch()
    listing = list_folder(tmp_path)
    assert listing.files == ("photos/0.png", "photos/1.png", "photos/2.png", "stencils/0.png", "stencils/1.png")
    (problem,) = listing.problems
    assert (problem.code, problem.key) == ("too-many-files", "photos")
    assert "5 files" in problem.problem
