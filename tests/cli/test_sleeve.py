"""archgen sleeve: one client's limbs on one sheet, and nobody else on it."""

import subprocess

import outloud
import pikepdf
import pytest

from tests.cli.archive import add_piece

CLIENTS = """[[client]]
code = "C-0012"
name = "Mayumi Ostbrink"
notes = "Wants a moth on the calf. Came with Ida Vesterholt, who wants a snake on the shin."
[[client]]
code = "C-0043"
name = "Ida Vesterholt"
"""
RECORD = """title = "{title}"
client = "{client}"
finished = 2026-0{number}-01
[size]
width = "54 mm"
height = "103 mm"
[placement]
region = "{region}"
side = "right"
note = "skin slow here"
{more}
"""
STENCIL = '[[stencil]]\nfile = "stencils/a.png"\nwidth = "54 mm"\n'


def record(number, title, region, client="C-0012", more=""):
    return RECORD.format(number=number, title=title, region=region, client=client, more=more)


@pytest.fixture
def studio(terminal):
    root = terminal.root
    (root / "clients.toml").write_text(CLIENTS, encoding="utf-8")
    add_piece(
        root, "2026-01-01-snake", record(1, "Snake", "forearm-outer", more='girth = "286 mm"\n' + STENCIL), "a.png"
    )
    notes = add_piece(root, "2026-02-01-owl", record(2, "Owl", "upper-arm-outer")) / "notes.md"
    notes.write_text("Wants buds added. Wants to add buds next to the one of C-0043 some day.", encoding="utf-8")
    add_piece(root, "2026-03-01-fern", record(3, "Fern", "ribs"))
    add_piece(root, "2026-04-01-fox", record(4, "Fox of Ida", "calf", client="C-0043"))
    return terminal


@pytest.fixture
def words(pdftotext):
    def read(path):
        return subprocess.run([pdftotext, "-layout", str(path), "-"], capture_output=True, text=True, check=True).stdout

    return read


def test_all_pieces_are_on_one_sheet_the_oldest_first(studio, words, tmp_path):
    target = tmp_path / "for-mayumi.pdf"
    ran = studio.run("sleeve", "c12", "--to", target)
    assert ran.code == 0, ran.err
    lines = ("1 Snake: ", "2 Owl: ", "3 Fern: ", "not drawn: 3 Fern: not on an arm or leg")
    assert sorted(lines, key=ran.out.index) == list(lines)
    assert "Outer forearm, right, 54 × 103 mm, wraps 68° of 286 mm, 1 Jan 2026" in ran.out
    assert "Right arm, free skin in cm²" in ran.out
    assert "Forearm: 612 of about 667 cm² free (inner 167, little finger 167, outer 111 to 113, thumb 167)" in ran.out
    assert "Lengths: upper arm 325 mm, average; forearm 255 mm, average." in ran.out
    said = words(target)
    assert "Client C-0012" in said
    assert "286 mm, measured" in said
    assert "166 mm, average" in said
    assert "somewhere here" in said
    with pikepdf.open(target) as pdf:
        assert len(pdf.pages) == 1


def test_nothing_of_anybody_else_is_on_it_and_no_note_unless_it_is_asked_for(studio, words, tmp_path):
    studio.run("sleeve", "C-0012", "--to", tmp_path / "plain.pdf")
    ran = studio.run("sleeve", "C-0012", "--notes", "--to", tmp_path / "notes.pdf")
    plain, noted = words(tmp_path / "plain.pdf"), words(tmp_path / "notes.pdf")
    for said in (plain, noted, ran.out):
        for name in ("Ida", "Vesterholt", "C-0043", "Fox", "slow", "Ostbrink"):
            assert name not in said, name
    assert "moth" not in plain
    assert "Wants a moth on the calf. – in your register" in noted
    assert "Private, with notes" in noted
    assert "Private, with notes" not in plain


def test_a_title_that_names_somebody_else_keeps_the_sheet_back(studio, tmp_path):
    add_piece(studio.root, "2026-05-01-two", record(5, "Half of Ida Vesterholt", "shin"))
    ran = studio.run("sleeve", "C-0012", "--to", tmp_path / "a.pdf")
    assert ran.code == 1
    assert "names somebody else" in ran.err
    assert not (tmp_path / "a.pdf").exists()


def test_a_new_piece_and_measures_of_the_limb_are_reckoned_with(studio, tmp_path):
    measures = ("--girth", "wrist=180mm", "--length", "forearm=250mm")
    ran = studio.run("sleeve", "C-0012", "--new", "71.5mm", "90mm", *measures, "--to", tmp_path / "a.pdf")
    assert "A new piece of 71.5 × 90 mm on the right arm" in ran.out
    assert "Forearm: wraps 84 to 143°: it would go round where the limb is thin" in ran.out
    assert "forearm 250 mm, as you said" in ran.out


def test_the_sheet_is_tagged_and_a_rule_checker_finds_no_error(studio, tmp_path):
    target = tmp_path / "a.pdf"
    studio.run("sleeve", "C-0012", "--new", "60mm", "90mm", "--notes", "--to", target)
    result = outloud.check(str(target))
    assert (result.error, result.errors) == (None, 0)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("C-9999",), "No client has the code"),
        (("C-0012", "--girth", "tail=3mm"), "say which and how much"),
        (("C-0012", "--new", "60mm", "wide"), "wide"),
    ],
)
def test_what_cannot_be_is_said_in_a_sentence(studio, tmp_path, asked, said):
    ran = studio.run("sleeve", *asked, "--to", tmp_path / "a.pdf")
    assert ran.code == 2
    assert said in ran.err


def test_a_client_without_a_piece_is_told_so(studio, tmp_path):
    with (studio.root / "clients.toml").open("a", encoding="utf-8") as file:
        file.write('[[client]]\ncode = "C-0050"\nname = "New Name"\n')
    ran = studio.run("sleeve", "C-0050", "--to", tmp_path / "a.pdf")
    assert (ran.code, ran.err.strip().splitlines()[-1]) == (
        2,
        "No piece names C-0050 yet, so there is nothing to lay out.",
    )


def test_a_client_with_nothing_on_a_limb_gets_a_sheet_that_says_so(studio, tmp_path):
    add_piece(studio.root, "2026-06-01-back", record(6, "Heron", "full-back", client="C-0060"))
    ran = studio.run("sleeve", "C-0060", "--to", tmp_path / "a.pdf")
    assert ran.code == 0, ran.err
    assert "not drawn: 1 Heron: not on an arm or leg" in ran.out
