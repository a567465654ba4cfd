"""Reading a whole archive folder: what is found, what is said about it, and that nothing is changed."""

import datetime as dt
import hashlib
import os
import unicodedata
from pathlib import Path

import pytest

from archgen.errors import InputError
from archgen.findings import Severity
from archgen.records.reader import read_archive
from tests.plain_words import assert_plain

# One record in which nearly everything disagrees.
MESSY = """
title = "a"
client = "B"
photo = [
  { file = "../a", cover = true }, { file = "/a", cover = true }, { file = "a\\\\b" }, { file = "./a" },
  { file = "https://a.b/c" }, { file = "stencils/s.png" }, { file = "photos/p.jpg" }, { file = "photos/x.psd" },
]
[placement]
region = "left arm"
side = "right"
[[needle]]
code = "9XQ, 903RL, 1107RL, 1307RL, 4RL, 1209, liner, 1205RL bugpin"
[[reference]]
license = "x"
digital_source = "x"
[[stencil]]
file = "stencils/s.png"
version = 1
parent = 1
applied = true
[[stencil]]
file = "stencils/s.png"
version = 1
parent = 7
applied = true
landmark = [{ stencil = [-1, 0], on = "photos/p.jpg", at = [0, 0] }]
[release]
scope = ["x"]
"""


@pytest.fixture
def root(tmp_path):
    folder = tmp_path / "content"
    (folder / "pieces").mkdir(parents=True)
    return folder


def write(root, path, text=""):
    target = root / path
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_bytes(text if isinstance(text, bytes) else text.encode())
    return target


def piece(root, toml='title = "Owl"\n', *files, name="owl"):
    write(root, f"pieces/{name}/piece.toml", toml)
    for file in files:
        write(root, f"pieces/{name}/{file}", "x")


def read_one(root):
    archive = read_archive(root)
    (only,) = archive.pieces
    return only, archive.findings


def codes(findings):
    return [finding.code for finding in findings]


def test_one_line_and_one_photo_are_a_piece(root):
    piece(root, 'title = "Owl"\n[[photo]]\nfile = "photos/a.jpg"\n', "photos/a.jpg")
    owl, findings = read_one(root)
    assert (owl.id, owl.title, owl.photos, findings) == ("owl", "Owl", ("pieces/owl/photos/a.jpg",), ())
    assert owl.line("photo.0.file") == 3


def test_texts_are_read_and_an_empty_one_is_none(root):
    piece(root)
    write(root, "pieces/owl/notes.md", "﻿Left the *whiskers*.\n")
    write(root, "pieces/owl/story.md", "\n")
    owl, _ = read_one(root)
    assert (owl.notes, owl.story) == ("Left the *whiskers*.", None)


def test_texts_in_other_languages_are_read_and_are_no_misspelled_names(root):
    piece(root)
    write(root, "pieces/owl/story.de.md", "# Eule\n")
    write(root, "pieces/owl/story.pt-BR.md", "Coruja")
    write(root, "pieces/owl/story.sv.md", "\n")
    write(root, "about.de.md", "Ich zeichne.")
    archive = read_archive(root)
    (owl,) = archive.pieces
    assert [(one.language, one.story) for one in owl.stories] == [("de", "# Eule"), ("pt-BR", "Coruja")]
    assert (archive.texts["about.de"], archive.findings) == ("Ich zeichne.", ())


def test_a_text_in_another_language_that_cannot_be_read_is_named(root):
    piece(root)
    write(root, "pieces/owl/story.fr.md", "é".encode("cp1252"))
    owl, (finding,) = read_one(root)
    assert (owl.stories, finding.code, finding.place.file) == ((), "record.encoding", "pieces/owl/story.fr.md")


def test_a_text_in_another_encoding_is_left_out_and_named(root):
    piece(root)
    write(root, "pieces/owl/story.md", "é".encode("cp1252"))
    owl, (finding,) = read_one(root)
    assert (owl.story, finding.code, finding.place.file) == (None, "record.encoding", "pieces/owl/story.md")
    assert owl.record is not None


def test_pictures_come_in_the_order_people_count(root):
    piece(
        root,
        'title = "a"',
        "photos/owl-10.jpg",
        "photos/Owl-2.JPG",
        "photos/day 2/x.heic",
        "stencils/a.svg",
        "stencils/b.pdf",
    )
    owl, _ = read_one(root)
    assert [Path(file).name for file in owl.photos] == ["x.heic", "Owl-2.JPG", "owl-10.jpg"]
    assert len(owl.stencils) == 2


def test_a_picture_that_is_not_described_is_a_note(root):
    piece(root, 'title = "a"', "photos/a.jpg", "stencils/b.png", "references/c.webp", "references/letter.pdf")
    _, findings = read_one(root)
    assert [(f.code, f.severity, f.place.file) for f in findings] == [
        ("record.not-described", Severity.NOTE, "pieces/owl/photos/a.jpg"),
        ("record.not-described", Severity.NOTE, "pieces/owl/stencils/b.png"),
    ]


def test_files_of_the_operating_system_are_passed_over(root):
    piece(root, 'title = "a"', ".DS_Store", "photos/._a.jpg", "photos/Thumbs.db")
    write(root, "pieces/.DS_Store")
    owl, findings = read_one(root)
    assert (owl.photos, findings) == ((), ())


@pytest.mark.parametrize("name", ["Owl 'fresh' \"1\" 🦉.jpg", "a#b%20&c.png", "ö.jpg", "夜.jpg", "<b>.webp"])
def test_odd_names_work(root, name):
    quoted = name.replace('"', '\\"')
    piece(root, f'title = "a"\n[[photo]]\nfile = "photos/{quoted}"\n', f"photos/{name}")
    owl, findings = read_one(root)
    assert (owl.photos, findings) == ((f"pieces/owl/photos/{name}",), ())


def test_two_ways_to_store_an_accent_are_one_name(root):
    composed, apart = unicodedata.normalize("NFC", "é.jpg"), unicodedata.normalize("NFD", "é.jpg")
    piece(root, f'title = "a"\n[[photo]]\nfile = "photos/{composed}"\n', f"photos/{apart}")
    owl, findings = read_one(root)
    assert (owl.record.photo[0].file, findings) == (f"photos/{apart}", ())


@pytest.mark.parametrize(
    ("file", "code", "said"),
    [
        ("photos/ow1.jpg", "missing-file", "photos/owl.jpg"),
        ("photos/OWL.jpg", "misnamed", "photos/owl.jpg"),
        ("owl.jpg", "misnamed", "photos/owl.jpg"),
        ("photos/nothing-like-it.png", "missing-file", ""),
        ("../other/photos/owl.jpg", "outside", ""),
        ("photos/../../x.jpg", "outside", ""),
        ("/etc/passwd", "outside", ""),
        ("C:\\\\photos\\\\owl.jpg", "outside", ""),
        ("\\\\\\\\server\\\\owl.jpg", "outside", ""),
        ("photos\\\\owl.jpg", "misnamed", "photos/owl.jpg"),
        ("./photos/owl.jpg", "misnamed", "photos/owl.jpg"),
        ("photos//owl.jpg", "misnamed", "photos/owl.jpg"),
        ("photos/owl", "misnamed", "photos/owl.jpg"),
        ("https://example.org/owl.jpg", "bad-path", "source"),
        ("stencils/owl.png", "wrong-folder", "photos/owl.png"),
        ("photos", "missing-file", ""),
    ],
)
def test_a_name_that_leads_nowhere(root, file, code, said):
    piece(root, f'title = "a"\n[[photo]]\nfile = "{file}"\n', "photos/owl.jpg", "stencils/owl.png")
    owl, findings = read_one(root)
    (finding,) = (f for f in findings if f.severity is Severity.ERROR)
    assert (finding.code, finding.place.line) == (f"record.{code}", 3)
    assert said in finding.remedy
    assert owl.record is not None
    assert bool(owl.missing) is (code in ("missing-file", "outside", "bad-path"))


def test_every_kind_of_named_file_is_looked_for(root):
    piece(
        root,
        'title = "a"\n[[stencil]]\nfile = "stencils/a.png"\nfrom = ["references/b.jpg"]\n'
        '[[stencil.landmark]]\nstencil = [1, 1]\non = "photos/c.jpg"\nat = [2, 2]\n'
        '[[reference]]\nfile = "references/d.jpg"\npermission = "references/e.pdf"\n[release]\nfile = "f.pdf"\n',
    )
    _, findings = read_one(root)
    assert [finding.place.line for finding in findings] == [3, 4, 7, 10, 11, 13]
    assert set(codes(findings)) == {"record.missing-file"}


def test_a_named_file_that_is_no_picture(root):
    piece(root, 'title = "a"\n[[photo]]\nfile = "photos/a.psd"\n', "photos/a.psd", "photos/b.mov")
    _, findings = read_one(root)
    assert [(f.code, f.severity) for f in findings] == [
        ("record.not-a-picture", Severity.ERROR),
        ("record.not-a-picture", Severity.NOTE),
    ]


def test_a_packed_svg_is_asked_for_plain(root):
    piece(root, 'title = "a"\n[[stencil]]\nfile = "stencils/a.SVGZ"\n', "stencils/a.SVGZ")
    _, (finding,) = read_one(root)
    assert finding.code == "record.not-a-picture"
    assert "plain SVG" in finding.remedy


@pytest.mark.parametrize("target", ["outside.jpg", "content/pieces/other/photos/a.jpg"])
def test_a_link_out_of_the_piece_is_not_followed(root, target):
    outside = write(root.parent, target)
    piece(root, 'title = "a"\n[[photo]]\nfile = "photos/link.jpg"\n', "photos/a.jpg")
    (root / "pieces/owl/photos/link.jpg").symlink_to(outside)
    archive = read_archive(root)
    owl = next(item for item in archive.pieces if item.id == "owl")
    assert owl.photos == ("pieces/owl/photos/a.jpg",)
    assert {"record.outside", "record.missing-file"} <= set(codes(archive.findings))


def test_a_link_inside_the_piece_is_a_picture(root):
    piece(root, 'title = "a"\n[[photo]]\nfile = "photos/b.jpg"\n', "stencils/a.jpg")
    (root / "pieces/owl/photos").mkdir()
    (root / "pieces/owl/photos/b.jpg").symlink_to(root / "pieces/owl/stencils/a.jpg")
    owl, _ = read_one(root)
    assert owl.photos == ("pieces/owl/photos/b.jpg",)


def test_folders_linked_out_or_in_a_circle(root, tmp_path):
    piece(root)
    (root / "pieces/owl/photos").symlink_to(tmp_path)
    (root / "pieces/owl/stencils").symlink_to(root / "pieces/owl")
    (root / "pieces/owl/loop").symlink_to(root / "pieces/owl/loop")
    (root / "pieces/elsewhere").symlink_to(tmp_path)
    owl, findings = read_one(root)
    assert (owl.photos, owl.stencils) == ((), ())
    assert codes(findings).count("record.outside") == 3


def test_the_record_itself_may_not_be_a_link_out(root, tmp_path):
    (tmp_path / "secret.toml").write_text('title = "secret"')
    (root / "pieces/owl").mkdir()
    (root / "pieces/owl/piece.toml").symlink_to(tmp_path / "secret.toml")
    owl, findings = read_one(root)
    assert (owl.record, codes(findings)) == (None, ["record.outside"])


def test_the_record_must_be_an_ordinary_file(root):
    (root / "pieces/owl/piece.toml").mkdir(parents=True)
    owl, findings = read_one(root)
    assert (owl.record, codes(findings)) == (None, ["record.no-file"])


@pytest.mark.parametrize(
    ("make", "code"),
    [
        (os.mkfifo, "record.no-file"),
        (Path.mkdir, "record.no-file"),
        (lambda path: path.symlink_to("nowhere.jpg"), "record.no-file"),
        (lambda path: path.symlink_to("a.jpg"), "record.outside"),
        (lambda path: path.symlink_to("/etc"), "record.outside"),
        (lambda path: path.symlink_to("../stencils"), "record.linked-folder"),
    ],
    ids=["pipe", "folder", "link nowhere", "circle", "link out", "linked folder"],
)
def test_what_only_looks_like_a_picture_is_one_finding(root, make, code):
    piece(root, 'title = "a"', "photos/b.jpg", "stencils/b.png")
    make(root / "pieces/owl/photos/a.jpg")
    owl, findings = read_one(root)
    assert [f.code for f in findings if f.code != "record.not-described"] == [code]
    assert owl.photos == ("pieces/owl/photos/b.jpg",)


@pytest.mark.parametrize(
    ("file", "hint"),
    [("photo/a.jpg", '"photos"'), ("Photos/a.jpg", '"photos"'), ("a.jpg", "photos"), ("x/y/a.png", "photos")],
)
def test_pictures_in_no_folder_that_is_read_are_told(root, file, hint):
    piece(root, 'title = "a"', file)
    _, (finding,) = read_one(root)
    assert finding.code == "record.misplaced"
    assert hint in finding.remedy
    assert file in finding.problem


def test_a_paper_beside_the_record_is_not_misplaced(root):
    piece(root, 'title = "a"\n[release]\nfile = "release.jpg"\n', "release.jpg", "letter.pdf")
    assert not read_one(root)[1]


@pytest.mark.parametrize("wrong", ["Notes.md", "note.md", "Story.md"])
def test_a_text_under_nearly_the_right_name_is_told(root, wrong):
    piece(root, 'title = "a"', wrong)
    _, (finding,) = read_one(root)
    assert finding.code == "record.misnamed"


@pytest.mark.parametrize("wrong", ["ink.toml", "Clients.toml", "About.md", "achive.toml"])
def test_a_register_under_nearly_the_right_name_is_told(root, wrong):
    piece(root, 'title = "a"')
    write(root, wrong, "")
    (finding,) = read_archive(root).findings
    assert (finding.code, finding.place.file) == ("record.misnamed", wrong)


@pytest.mark.parametrize("name", ["about.md", "clients.toml", "inks.toml", "decisions.toml"])
def test_texts_and_registers_may_not_be_links_out(root, tmp_path, name):
    piece(root, 'title = "a"')
    (tmp_path / "secret").write_text("")
    (root / name).symlink_to(tmp_path / "secret")
    archive = read_archive(root)
    assert [(f.code, f.place.file) for f in archive.findings] == [("record.outside", name)]
    assert not archive.texts


def test_a_folder_instead_of_a_public_text_is_told(root):
    piece(root, 'title = "a"')
    (root / "about.md").mkdir()
    assert codes(read_archive(root).findings) == ["record.unreadable"]


@pytest.mark.parametrize("target", ["owl", "..", "."])
def test_a_link_to_what_is_read_anyway_is_not_followed(root, target):
    piece(root, 'title = "a"')
    (root / "pieces/twin").symlink_to(target)
    archive = read_archive(root)
    assert [p.id for p in archive.pieces] == ["owl"]
    assert codes(archive.findings) == ["record.linked-folder"]


def test_a_file_among_the_piece_folders_is_a_note(root):
    piece(root)
    write(root, "pieces/loose.jpg")
    _, (finding,) = read_one(root)
    assert (finding.code, finding.severity) == ("record.stray-file", Severity.NOTE)


@pytest.mark.parametrize(
    "name",
    ["Piece.toml", "PIECE.TOML", "piece.toml.txt", "PIECE.toml.TXT", "pice.toml", "piece.tml", "piece.toml.toml",
     "piece.toml~", "piece.toml.bak", "piece (1).toml", "piece - Copy.toml"],
)  # fmt: skip
def test_a_record_under_another_name_is_read_and_its_name_asked_about_once(root, name):
    write(root, f"pieces/owl/{name}", 'title = "a"\n[placement]\nside = "lefft"')
    owl, findings = read_one(root)
    assert (owl.record.title, owl.toml) == ("a", f"pieces/owl/{name}")
    asked, slip = sorted(findings, key=lambda one: one.code == "record.doubtful")
    assert (asked.code, asked.severity, asked.place.file) == ("record.record-name", Severity.ERROR, owl.toml)
    assert asked.problem == f'"{name}" is read as the record of this piece, though it has another name.'
    assert (slip.place.file, slip.place.line) == (owl.toml, 3)


@pytest.mark.parametrize("others", [["Piece.toml"], ["piece.toml.txt", "piece.toml~"]])
def test_a_record_by_its_right_name_comes_first(root, others):
    piece(root, 'title = "right"')
    for name in others:
        write(root, f"pieces/owl/{name}", 'title = "wrong"')
    owl, findings = read_one(root)
    assert (owl.title, "record.record-name" in codes(findings)) == ("right", False)


def test_a_copy_of_an_editor_is_read_only_where_nothing_else_can_be_the_record(root):
    write(root, "pieces/owl/Piece.toml", 'title = "right"')
    write(root, "pieces/owl/piece.toml~", 'title = "older"')
    assert read_one(root)[0].title == "right"


def test_which_of_two_records_is_meant_is_asked(root):
    write(root, "pieces/owl/Piece.toml", 'title = "a"')
    write(root, "pieces/owl/piece.toml.txt", 'title = "b"')
    owl, (finding,) = read_one(root)
    assert owl.record is None
    assert finding.code == "record.no-record"
    assert finding.remedy == ('Which of Piece.toml, piece.toml.txt is it? Rename that one to "piece.toml".')


def test_a_name_that_is_only_near_is_pointed_at(root):
    write(root, "pieces/owl/piece.txt", 'title = "a"')
    owl, (finding,) = read_one(root)
    assert owl.record is None
    assert (finding.code, finding.remedy) == ("record.no-record", 'Rename "piece.txt" to "piece.toml".')


def test_a_broken_line_costs_neither_the_record_nor_another_piece(root):
    piece(root, "title = Owl\njust words\n", "photos/a.jpg", name="b-broken")
    piece(root, "titel = 'x'\npublish = 3\n", name="c-wrong")
    piece(root, "title = 'Owl'\n", name="a-sound")
    archive = read_archive(root)
    assert [(p.id, p.title) for p in archive.pieces] == [("a-sound", "Owl"), ("b-broken", "Owl"), ("c-wrong", "x")]
    assert archive.pieces[1].photos == ("pieces/b-broken/photos/a.jpg",)
    assert codes(archive.findings) == [
        "record.broken",
        "record.not-described",
        "record.read-as",
        "record.wrong-type",
        "record.unknown-key",
    ]


def test_newest_pieces_come_first(root):
    piece(root, 'title = "a"\nfinished = 2025-01-01\n', name="a")
    piece(root, 'title = "b"\n[[sitting]]\ndate = 2026-01-01\n', name="b")
    piece(root, 'title = "c"\n', name="c")
    assert [p.id for p in read_archive(root).pieces] == ["b", "a", "c"]


def test_registers_are_read_by_code(root):
    write(root, "inks.toml", '[[batch]]\nbatch = "GW2-2231"\nname = "grey wash 2"\n')
    write(root, "clients.toml", '[[client]]\ncode = "C-0042"\n')
    write(root, "decisions.toml", '[[same]]\nimages = ["pieces/a/photos/1.jpg", "pieces/b/photos/2.jpg"]\n')
    archive = read_archive(root)
    assert archive.inks["GW2-2231"].name == "grey wash 2"
    assert list(archive.clients) == ["C-0042"]
    assert archive.decisions.same[0].images[1] == "pieces/b/photos/2.jpg"
    assert [finding.code for finding in archive.findings] == ["record.decision", "record.decision"]


def test_a_decision_about_a_missing_picture_is_a_note_with_its_line(root):
    write(root, "decisions.toml", '# mine\n[[same]]\nimages = ["pieces/a/photos/1.jpg", "pieces/a/photos/gone.jpg"]\n')
    write(root, "pieces/a/photos/1.jpg", "")
    (finding,) = (f for f in read_archive(root).findings if f.place.file == "decisions.toml")
    assert (finding.severity, finding.place.line) == (Severity.NOTE, 3)
    assert "gone.jpg" in finding.problem


def test_a_code_that_no_register_holds_gets_the_nearest_but_never_another_person(root):
    write(root, "inks.toml", '[[batch]]\nbatch = "GW2-2231"\n')
    write(root, "clients.toml", '[[client]]\ncode = "C-0042"\n')
    piece(
        root, 'title = "a"\nclient = "C-0043"\n[[ink]]\nbatch = "GW2-2213"\n[[ink]]\nbatch = "other"\nname = "black"\n'
    )
    _, findings = read_one(root)
    assert [(f.code, f.place.line, f.severity) for f in findings] == [
        ("record.unknown-client", 2, Severity.WARNING),
        ("record.unknown-ink", 4, Severity.WARNING),
    ]
    assert "C-0042" not in findings[0].remedy
    assert 'Nearest: "GW2-2231"' in findings[1].remedy


@pytest.mark.parametrize(("code", "is_known"), [("c0042", True), ("C 42", True), ("c-42", True), ("C-0043", False)])
def test_a_client_is_known_however_the_code_is_written(root, code, is_known):
    write(root, "clients.toml", '[[client]]\ncode = "C-0042"\n')
    piece(root, f'title = "a"\nclient = "{code}"\n')
    assert ("record.unknown-client" in {f.code for f in read_one(root)[1]}) is not is_known


@pytest.mark.parametrize(
    ("written", "unknown"),
    [
        ("gw2 2231", []),
        ("Lot GW02-2231", []),
        ("see label photo", []),
        ("GW2-2231, BK-1", ["BK-1"]),
        ("BK-1 + BK-2", ["BK-1", "BK-2"]),
        ("GW2-2231?", []),
    ],
)
def test_a_batch_is_known_however_it_is_written_and_words_are_no_code(root, written, unknown):
    write(root, "inks.toml", '[[batch]]\nbatch = "GW2-2231"\n')
    piece(root, f'title = "a"\n[[ink]]\nbatch = "{written}"\n')
    _, findings = read_one(root)
    assert [(f.code, number in f.problem) for f, number in zip(findings, unknown, strict=True)] == [
        ("record.unknown-ink", True)
    ] * len(unknown)


def test_the_line_of_each_batch_is_known_the_first_of_two(root):
    write(root, "inks.toml", '\n[[batch]]\nbatch = "A"\n[[batch]]\nbatch = "B"\n[[batch]]\nbatch = "A"\n')
    assert read_archive(root).ink_lines == {"A": 2, "B": 4}


def test_a_register_that_is_missing_or_broken_is_not_asked(root):
    write(root, "clients.toml", '[[client]]\nname = "x"\n')
    piece(root, 'title = "a"\nclient = "C-0043"\n[[ink]]\nbatch = "GW2-2213"\n')
    _, findings = read_one(root)
    assert [finding.place.file for finding in findings] == ["clients.toml"]


def test_a_bad_entry_does_not_hide_the_others_of_a_register(root):
    write(
        root,
        "inks.toml",
        'titel = 1\n[[batch]]\nbatch = "A"\nexpiry = "soon"\n[[batch]]\nbatch = "B"\n[[batch]]\nname = "x"\n',
    )
    archive = read_archive(root)
    assert list(archive.inks) == ["A", "B"]
    assert archive.inks["A"].expiry is None
    assert [(f.code, f.place.line) for f in archive.findings] == [
        ("record.unknown-key", 1),
        ("record.bad-date", 4),
        ("record.missing-key", 7),
    ]


@pytest.mark.parametrize(
    ("other", "asked"),
    [
        ("31/12/2025", "7 Mar 2026 or 3 Jul 2026"),
        ("12/31/2025", "3 Jul 2026 or 7 Mar 2026"),
        ("2025-12-31", "7 Mar 2026 or 3 Jul 2026"),
    ],
)
def test_a_date_that_can_be_two_is_asked_in_the_order_of_the_rest_of_the_archive(root, other, asked):
    piece(root, 'title = "a"\nfinished = "07/03/2026"\n')
    piece(root, f'title = "b"\nfinished = "{other}"\n', name="b")
    (finding,) = read_archive(root).findings
    assert f"is that {asked}?" in finding.problem


def test_a_recall_counts_though_its_day_can_be_two(root):
    write(
        root, "inks.toml", '[[batch]]\nbatch = "A"\nrecalled = "02/05/2026"\n[[batch]]\nbatch = "B"\nrecalled = "x"\n'
    )
    archive = read_archive(root)
    assert archive.inks["A"].recalled == dt.date(2026, 5, 2)
    assert {(f.code, f.severity) for f in archive.findings} == {
        ("record.doubtful", Severity.WARNING),
        ("record.bad-date", Severity.ERROR),
    }


def test_a_broken_line_of_a_register_costs_no_other_entry(root):
    write(root, "inks.toml", '[[batch]]\nbatch = "A"\nname = grey wash\n\n??\n[[batch]]\nbatch = "B"\n')
    archive = read_archive(root)
    assert [(ink.batch, ink.name) for ink in archive.inks.values()] == [("A", "grey wash"), ("B", None)]
    assert {finding.code for finding in archive.findings} == {"record.broken", "record.read-as"}


def test_a_code_that_stands_twice(root):
    write(root, "clients.toml", '[[client]]\ncode = "C-1"\nname = "a"\n[[client]]\ncode = "C-1"\nname = "b"\n')
    archive = read_archive(root)
    (finding,) = archive.findings
    assert (finding.code, finding.place.line, archive.clients["C-1"].name) == ("record.code-twice", 4, "a")


def test_names_no_other_program_can_write(root):
    piece(root)
    folder = os.fsencode(root / "pieces/owl")
    try:
        (Path(os.fsdecode(folder)) / os.fsdecode(b"bad\xff.jpg")).touch()
    except OSError:
        pytest.skip("this disk refuses such names")
    _, (finding,) = read_one(root)
    assert finding.code == "record.file-name"
    str(finding).encode()


def test_a_pipe_in_the_folder_is_not_opened(root):
    piece(root)
    os.mkfifo(root / "pieces/owl/notes.md")
    owl, _ = read_one(root)
    assert owl.notes is None


@pytest.mark.parametrize("named", ["studio/archive/pieces/owl", "studio/archive/pieces", "studio"])
def test_an_archive_near_the_wrong_folder_is_named(tmp_path, named):
    (tmp_path / "studio/archive/pieces/owl").mkdir(parents=True)
    with pytest.raises(InputError, match=r"Perhaps it is \S*/studio/archive\.$"):
        read_archive(tmp_path / named)


def test_a_folder_that_is_no_archive_stops(tmp_path):
    with pytest.raises(InputError, match="--archive"):
        read_archive(tmp_path)


def test_an_archive_without_pieces_says_so(tmp_path):
    (tmp_path / "archive.toml").write_text("")
    assert codes(read_archive(tmp_path).findings) == ["record.no-pieces"]


def test_pieces_may_not_be_a_link_out(tmp_path):
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "content").mkdir()
    (tmp_path / "content/pieces").symlink_to(tmp_path / "elsewhere")
    archive = read_archive(tmp_path / "content")
    assert (archive.pieces, codes(archive.findings)) == ((), ["record.outside"])


def test_the_archive_folder_itself_may_be_a_link(root, tmp_path):
    piece(root, 'title = "a"\n[[photo]]\nfile = "photos/a.jpg"\n', "photos/a.jpg")
    (tmp_path / "link").symlink_to(root)
    owl, findings = read_one(tmp_path / "link")
    assert (owl.title, findings) == ("a", ())


def test_a_folder_that_may_not_be_opened(root, monkeypatch):
    piece(root, 'title = "a"', "photos/a.jpg")
    scandir = os.scandir

    def refuse(path):
        if str(path).endswith("photos"):
            raise PermissionError(13, "Permission denied")
        return scandir(path)

    monkeypatch.setattr(os, "scandir", refuse)
    owl, (finding,) = read_one(root)
    assert (owl.photos, finding.code, finding.place.file) == ((), "record.unreadable", "pieces/owl/photos")


def test_every_finding_of_a_messy_archive_is_in_plain_words(root, tmp_path):
    write(root, "inks.toml", "x")
    write(root, "clients.toml", '[[client]]\ncode = "A"\n[[client]]\ncode = "A"\n')
    write(root, "decisions.toml", "same = 3\n")
    write(root, "pieces/loose.jpg")
    (root / "pieces/out").symlink_to(tmp_path)
    piece(root, "", name="Bad Name")
    write(root, "pieces/none/photos/a.jpg")
    write(root, "pieces/bytes/piece.toml", b"\xff\xfea")
    broken = ("a", "a = ", "[", "a = 1\na = 2", "= 1", 'a = "\\q"', f"a = {'[' * 3000}", "é = 1")
    for number, text in enumerate(broken):
        piece(root, text, name=f"broken-{number}")
    sitting = "[[sitting]]\nhours = 99\ndate = 2026-01-01T00:00:00\n"
    piece(root, f"title = 1\nx = 2\n[size]\nwidth = 'a'\n{sitting}", name="wrong")
    piece(root, MESSY, "stencils/s.png", "photos/P.jpg", "photos/x.psd", "photos/new.jpg", "photos/new.mov")
    findings = read_archive(root).findings
    assert len({finding.code for finding in findings}) > 35
    for finding in findings:
        assert_plain(finding.problem, finding.remedy)


def digests(folder):
    return {
        str(path): (path.stat().st_mtime_ns, hashlib.sha256(path.read_bytes()).hexdigest())
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_reading_changes_nothing_and_gives_the_same_again(root):
    piece(root, 'titel = "a"', "photos/a.jpg", name="Bad Name")
    piece(root, 'title = "a"\n[[photo]]\nfile = "x.jpg"\n', "photos/a.jpg")
    write(root, "inks.toml", "broken")
    before = digests(root)
    first = read_archive(root)
    assert read_archive(root) == first
    assert digests(root) == before
    assert list(first.findings) == sorted(first.findings, key=lambda finding: finding.sort_key)


@pytest.mark.parametrize(
    ("region", "place", "written"),
    [
        ("inner bicep", "upper-arm-inner", "inner bicep"),
        ("upper-arm-inner", "upper-arm-inner", None),
        ("wrist", None, None),  # kept among what was not understood
    ],
)
def test_other_words_for_a_place_are_kept_beside_it(root, region, place, written):
    piece(root, f'title = "Owl"\n[placement]\nregion = "{region}"\n')
    read, _ = read_one(root)
    assert (read.record.placement.region, read.place_as_written) == (place, written)
    assert read.written("placement.region") == (None if place else f'"{region}"')
