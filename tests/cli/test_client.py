"""archgen client: all that is held about one person and nobody else, and the plan of its removal."""

import json
import zipfile

import html5lib
import pytest
from PIL import Image

from archgen.holdings.person import LEFT_OUT

CLIENTS = """[[client]]
code = "C-0012"
name = "Mayumi Ostbrink"
contact = "mayumi@example.org"
note = "Faints at the sight of needles. Came with Ida Vesterholt."
[[client]]
code = "C-0043"
name = "Ida Vesterholt"
contact = "+47 555 01 234"
note = "allergic to latex"
"""
TOLD = '[[told]]\nbatch = "GW2-1"\nclient = "c12"\ndate = 2026-05-04\nhow = "phone"\n'
INKS = '[[batch]]\nbatch = "GW2-1"\nname = "grey wash 2"\nmaker = "Hollow"\nrecalled = 2026-05-02\n'
OWL = """title = "Barn owl"
client = "C-0012"
[size]
width = "58 mm"
height = "92 mm"
[placement]
region = "calf"
[[sitting]]
date = 2026-03-14
hours = 3.5
note = "Slow skin. Spoke of C-0043 all the time! Rested ten minutes."
[[healing]]
date = 2026-04-20
note = "settled well"
[[ink]]
batch = "GW2-1"
[[needle]]
code = "3RL"
batch = "N-1"
[[photo]]
file = "photos/ida-and-mayumi.jpg"
stage = "fresh"
[[reference]]
file = "references/ida.jpg"
[release]
status = "granted"
date = 2026-03-14
file = "release-ostbrink.pdf"
[price]
charged = 420
"""


def photo(path):
    path.parent.mkdir(parents=True, exist_ok=True)
    exif = Image.Exif()
    exif[0x010F] = "Ida Vesterholt's phone"
    Image.effect_noise((900, 700), 60).convert("RGB").save(path, exif=exif)


@pytest.fixture
def studio(terminal):
    root = terminal.root
    (root / "clients.toml").write_text(CLIENTS, encoding="utf-8")
    (root / "told.toml").write_text(TOLD, encoding="utf-8")
    (root / "inks.toml").write_text(INKS, encoding="utf-8")
    (root / "care.md").write_text("Keep it clean.\n\nSee a doctor if it worries you.", encoding="utf-8")
    piece = root / "pieces/2026-03-14-owl-of-mayumi"
    photo(piece / "photos/ida-and-mayumi.jpg")
    photo(piece / "references/ida.jpg")
    (piece / "piece.toml").write_text(OWL, encoding="utf-8")
    (piece / "release-ostbrink.pdf").write_bytes(b"%PDF-1.4 signed")
    (piece / "notes.md").write_text("a draft of mine", encoding="utf-8")
    other = root / "pieces/2026-03-15-moth-of-ida"
    other.mkdir()
    (other / "piece.toml").write_text('title = "Ida\'s moth"\nclient = "C-0043"\n', encoding="utf-8")
    return terminal


@pytest.fixture
def bundle(studio, tmp_path):
    ran = studio.run("client", "c 12", "--to", tmp_path / "them")
    assert ran.code == 0, ran.err
    return tmp_path / "them", ran


def test_all_that_is_held_is_there_to_read_and_as_data(bundle):
    folder, ran = bundle
    files = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())
    assert files == ["data.json", "index.html", "papers/release-1.pdf", "photos/2026-03-14-fresh-1.jpg"]
    page = (folder / "index.html").read_text(encoding="utf-8")
    html5lib.HTMLParser(strict=True).parse(page)
    for said in (
        "Mayumi Ostbrink", "mayumi@example.org", "Faints at the sight of needles.", "Barn owl", "Calf", "58 × 92 mm",
        "14 Mar 2026, 3 h 30 min", "Slow skin.", "Rested ten minutes.", "settled well", "grey wash 2", "batch GW2-1",
        "called back on 2 May 2026", "Needle: 3RL", "you agreed, 14 Mar 2026", "420.00", "GW2-1 · 4 May 2026 · phone",
        "See a doctor if it worries you.",
    ):  # fmt: skip
        assert said in page, said
    data = json.loads((folder / "data.json").read_text(encoding="utf-8"))
    assert data["pieces"][0]["width_mm"] == 58
    assert data["pieces"][0]["sittings"][0]["hours"] == 3.5
    assert (folder / "papers/release-1.pdf").read_bytes() == b"%PDF-1.4 signed"
    assert "C-0012: 1 piece, 1 photo, 1 paper" in ran.out


DESIGN = """title = "Two ferns"
state = "held"
holder = "c12"
until = 2026-12-20
note = "Both ankles. Told Ida Vesterholt too."
"""


def test_a_design_that_is_held_for_them_is_told_and_would_go(studio, tmp_path):
    (studio.root / "designs/ferns").mkdir(parents=True)
    (studio.root / "designs/ferns/design.toml").write_text(DESIGN)
    assert studio.run("client", "C-0012", "--to", tmp_path / "gift").code == 0
    held = json.loads((tmp_path / "gift/data.json").read_text(encoding="utf-8"))
    assert held["designs"] == [["Two ferns", "2026-12-20", f"Both ankles. {LEFT_OUT}"]]
    assert "Two ferns · until 20 Dec 2026 · Both ankles." in (tmp_path / "gift/index.html").read_text()
    plan = studio.run("client", "C-0012", "--removal").out
    assert "designs/ferns/design.toml" in plan
    assert "that a design is held for them" in plan
    assert "Two ferns" not in studio.run("client", "C-0043", "--removal").out


def test_nobody_else_is_in_any_byte_of_it(bundle):
    folder, ran = bundle
    for path in folder.rglob("*"):
        if path.is_file():
            content = path.read_bytes().lower()
            for word in (b"ida", b"vesterholt", b"c-0043", b"555 01", b"latex", b"moth", b"draft of"):
                assert word not in content or path.suffix == ".jpg", (path.name, word)
            assert b"vesterholt" not in content
    page = (folder / "index.html").read_text(encoding="utf-8")
    assert page.count(LEFT_OUT) == 2
    assert "2 sentences about somebody else left out and marked." in ran.out


def test_a_photo_has_nothing_of_the_camera(bundle):
    with Image.open(bundle[0] / "photos/2026-03-14-fresh-1.jpg") as picture:
        assert picture.size == (900, 700)
        assert not picture.getexif()


def test_a_zip_is_the_same_twice(studio, tmp_path):
    first = studio.run("client", "C-0012")
    assert "client-C-0012.zip" in first.out
    content = (tmp_path / "client-C-0012.zip").read_bytes()
    assert studio.run("client", "C-0012", "--to", tmp_path / "again.zip").code == 0
    assert (tmp_path / "again.zip").read_bytes() == content
    assert "index.html" in zipfile.ZipFile(tmp_path / "again.zip").namelist()


def test_a_title_that_names_somebody_else_is_left_out(studio, tmp_path):
    record = studio.root / "pieces/2026-03-14-owl-of-mayumi/piece.toml"
    record.write_text(OWL.replace("Barn owl", "Owl like Vesterholt's"), encoding="utf-8")
    assert studio.run("client", "C-0012", "--to", tmp_path / "them").code == 0
    assert LEFT_OUT in (tmp_path / "them/index.html").read_text(encoding="utf-8")


def test_what_names_somebody_else_in_a_paper_stops_it(studio, tmp_path):
    (studio.root / "pieces/2026-03-14-owl-of-mayumi/release-ostbrink.pdf").write_bytes(b"signed by Ida Vesterholt")
    ran = studio.run("client", "C-0012", "--to", tmp_path / "them")
    assert ran.code != 0
    assert "Somebody else is named in it" in ran.err
    assert not (tmp_path / "them").exists()


def test_who_shares_a_name_may_read_it(studio, tmp_path):
    text = CLIENTS.replace("Mayumi Ostbrink", "Mayumi Vesterholt")
    (studio.root / "clients.toml").write_text(text, encoding="utf-8")
    assert studio.run("client", "C-0012", "--to", tmp_path / "them").code == 0
    assert "Mayumi Vesterholt" in (tmp_path / "them/index.html").read_text(encoding="utf-8")


def test_a_photo_that_cannot_be_read_is_named(studio, tmp_path):
    (studio.root / "pieces/2026-03-14-owl-of-mayumi/photos/ida-and-mayumi.jpg").write_bytes(b"no picture")
    ran = studio.run("client", "C-0012", "--to", tmp_path / "them")
    assert "Not in it, because it can't be read: pieces/2026-03-14-owl-of-mayumi/photos/ida-and-mayumi.jpg" in ran.out
    assert "<img" not in (tmp_path / "them/index.html").read_text(encoding="utf-8")


def test_a_paper_outside_the_archive_stays_there(studio, tmp_path):
    paper = studio.root / "pieces/2026-03-14-owl-of-mayumi/release-ostbrink.pdf"
    (tmp_path / "elsewhere.pdf").write_bytes(b"secret of others")
    paper.unlink()
    paper.symlink_to(tmp_path / "elsewhere.pdf")
    assert studio.run("client", "C-0012", "--to", tmp_path / "them").code == 0
    assert not (tmp_path / "them/papers").exists()


@pytest.mark.parametrize("name", ["them", "them.zip"])
def test_nothing_is_written_over(studio, tmp_path, name):
    place = tmp_path / name
    (place if name.endswith("zip") else place / "mine.txt").parent.mkdir(exist_ok=True)
    (place if name.endswith("zip") else place / "mine.txt").write_text("mine")
    ran = studio.run("client", "C-0012", "--to", place)
    assert ran.code != 0
    assert (place if name.endswith("zip") else place / "mine.txt").read_text() == "mine"


def test_nothing_is_written_into_the_archive(studio):
    ran = studio.run("client", "C-0012", "--to", studio.root / "them")
    assert "lies in your archive" in ran.err
    assert not (studio.root / "them").exists()


def test_a_client_without_pieces_has_a_bundle_too(studio, tmp_path):
    with (studio.root / "clients.toml").open("a", encoding="utf-8") as file:
        file.write('[[client]]\ncode = "C-0099"\nname = "Orm Halvarsen"\n')
    assert studio.run("client", "C-0099", "--to", tmp_path / "them").code == 0
    assert "No piece is recorded under your code." in (tmp_path / "them/index.html").read_text(encoding="utf-8")


def test_an_unknown_code_is_asked_about(studio):
    assert "Do you mean C-0012?" in studio.refused(2, "client", "C-0022")


def test_the_plan_lists_what_goes_what_stays_and_what_is_online(studio):
    before = {path: path.read_bytes() for path in studio.root.rglob("*") if path.is_file()}
    said = studio.run("client", "C-0012", "--removal").out
    going, staying = said.split("May have to stay for a time:")
    for line in (
        "photos/ida-and-mayumi.jpg: photo of them",
        "release-ostbrink.pdf: their release",
        "piece.toml, line 2: whose piece it is",
        "piece.toml, line 11: a note on a sitting",
        "piece.toml, line 14: a note on a healing",
        "notes.md: your notes",
        "clients.toml: the table of C-0012",
        "told.toml: that they were told of 1 recall",
    ):
        assert line in going, line
    for line in ("which inks and needles went into whose skin", "what they signed", "what was charged"):
        assert f"{line}" in staying
    assert "for how long is not set" in staying
    assert "ask your authority" in staying
    assert "moth" not in said
    assert "To be taken down" not in said
    assert before == {path: path.read_bytes() for path in studio.root.rglob("*") if path.is_file()}


def test_years_of_keeping_are_set_in_the_settings(studio):
    with (studio.root / "archive.toml").open("a", encoding="utf-8") as file:
        file.write("\n[keep]\nyears = 10\n")
    assert "until 14 Mar 2036 by your 10 years" in studio.run("client", "C-0012", "--removal").out


def test_a_piece_that_may_be_shown_is_to_be_taken_down(studio):
    record = studio.root / "pieces/2026-03-14-owl-of-mayumi/piece.toml"
    shown = (
        OWL.replace('client = "C-0012"', 'client = "C-0012"\npublish = true')
        .replace('date = 2026-03-14\nfile = "rel', 'scope = ["portfolio"]\ndate = 2026-03-14\nfile = "rel')
        .replace('file = "references/ida.jpg"', 'file = "references/ida.jpg"\nlicense = "own-work"\nlikeness = "none"')
    )
    record.write_text(shown, encoding="utf-8")
    assert "Barn owl: may be in your portfolio." in studio.run("client", "C-0012", "--removal").out


def test_the_plan_has_no_place(studio, tmp_path):
    assert "--to goes with the bundle" in studio.run("client", "C-0012", "--removal", "--to", tmp_path / "a").err


@pytest.mark.parametrize("where", ["piece", "told"])
def test_a_code_that_no_register_has_is_somebody_too(studio, tmp_path, where):
    if where == "piece":
        other = studio.root / "pieces/2026-03-16-fern"
        other.mkdir()
        (other / "piece.toml").write_text('title = "Fern"\nclient = "C-0077"\n', encoding="utf-8")
    else:
        with (studio.root / "told.toml").open("a", encoding="utf-8") as file:
            file.write(TOLD.replace("c12", "C-0077"))
    record = studio.root / "pieces/2026-03-14-owl-of-mayumi/piece.toml"
    record.write_text(OWL.replace("settled well", "settled well. Better than that of C-0077."), encoding="utf-8")
    assert studio.run("client", "C-0012", "--to", tmp_path / "them").code == 0
    page = (tmp_path / "them/index.html").read_text(encoding="utf-8")
    assert "C-0077" not in page
    assert f"settled well. {LEFT_OUT}" in page


def test_who_stands_on_pieces_alone_has_a_bundle_and_a_plan(studio, tmp_path):
    (studio.root / "clients.toml").write_text(CLIENTS.replace("C-0012", "C-0099"), encoding="utf-8")
    (studio.root / "told.toml").unlink()
    assert studio.run("client", "C-0012", "--to", tmp_path / "them").code == 0
    page = (tmp_path / "them/index.html").read_text(encoding="utf-8")
    assert "C-0012" in page
    assert "Barn owl" in page
    assert "clients.toml" not in studio.run("client", "C-0012", "--removal").out


def test_a_release_that_is_not_there_is_not_in_it_and_need_not_go(studio, tmp_path):
    (studio.root / "pieces/2026-03-14-owl-of-mayumi/release-ostbrink.pdf").unlink()
    assert studio.run("client", "C-0012", "--to", tmp_path / "them").code == 0
    assert not (tmp_path / "them/papers").exists()
    assert "release-ostbrink" not in studio.run("client", "C-0012", "--removal").out


def test_without_a_release_or_a_day_the_plan_says_so_much_less(studio):
    record = studio.root / "pieces/2026-03-14-owl-of-mayumi/piece.toml"
    record.write_text('title = "Owl"\nclient = "C-0012"\n[[ink]]\nbatch = "GW2-1"\n', encoding="utf-8")
    with (studio.root / "archive.toml").open("a", encoding="utf-8") as file:
        file.write("\n[keep]\nyears = 10\n")
    said = studio.run("client", "C-0012", "--removal").out
    assert "for a recall; for how long is not set" in said
    assert "release" not in said


def test_ten_years_after_the_last_of_february_is_a_day(studio):
    record = studio.root / "pieces/2026-03-14-owl-of-mayumi/piece.toml"
    record.write_text(OWL.replace("2026-03-14\nhours", "2024-02-29\nhours"), encoding="utf-8")
    with (studio.root / "archive.toml").open("a", encoding="utf-8") as file:
        file.write("\n[keep]\nyears = 9\n")
    assert "until 28 Feb 2033 by your 9 years" in studio.run("client", "C-0012", "--removal").out
