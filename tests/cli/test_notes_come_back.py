"""What was noted before comes back when a piece is printed, and is in nothing that a client gets."""

import shutil

import pytest

from archgen.leaks.find import find_leaks
from archgen.leaks.values.exact import PrivateValue
from tests.cli.archive import add_piece, draw_f

NOTED = ("bled where it bends", "skin slow under the knee", "stood up twice, lay him down", "settled crooked")
RECORD = """title = "{title}"
client = "{client}"
publish = true
[size]
width = "40 mm"
height = "60 mm"
[placement]
region = "{region}"
[[sitting]]
date = 2026-0{number}-01
hours = 2
{note}
[[stencil]]
file = "stencils/a.png"
width = "40 mm"
applied = true
{held}
[[photo]]
file = "photos/a.png"
stage = "fresh"
[release]
status = "granted"
scope = ["portfolio"]
date = 2026-01-01
"""


PIECES = (
    (1, "Owl", "C-0011", "calf"),
    (2, "Moth", "C-0012", "wrist-inner"),
    (3, "Fox", "C-0013", "calf"),
    (4, "Koi", "C-0019", "nape"),
)


@pytest.fixture
def studio(terminal):
    root = terminal.root
    shutil.rmtree(root / "pieces")
    notes = (
        (1, "Owl", "C-0011", "calf"),
        (2, "Moth", "C-0012", "wrist-inner"),
        (3, "Fox", "C-0013", "calf"),
        (4, "Koi", "C-0019", "nape"),
    )
    for number, title, client, region in notes:
        note, held = "", ""
        if number == 1:
            held = f'held = "{NOTED[0]}"\n[[healing]]\ndate = 2026-05-01\nnote = "{NOTED[3]}"'
            note = f'note = "{NOTED[1]}"'
        if number == 2:
            note = f'note = "{NOTED[2]}"'
        text = RECORD.format(number=number, title=title, client=client, region=region, note=note, held=held)
        folder = add_piece(root, f"2026-0{number}-01-{title.lower()}", text, "a.png")
        draw_f(folder / "photos/a.png", (500 + number, 700), "RGB")
    return terminal


def test_a_print_says_what_was_noted_there_and_on_the_client(studio, tmp_path):
    ran = studio.run("reprint", "fox", "--out", tmp_path / "fox.pdf")
    assert ran.code == 0, ran.err
    noted = ran.out.partition("Noted before:\n")[2]
    assert noted.splitlines() == [
        f"  Owl  healing, 1 May 2026: {NOTED[3]}",
        f"  Owl  stencil, 1 Jan 2026: {NOTED[0]}",
        f"  Owl  sitting, 1 Jan 2026: {NOTED[1]}",
    ]
    own = studio.run("reprint", "owl", "--plan").out
    assert [f"Owl  this client, {what}" in own for what in ("healing", "stencil", "sitting")] == [True, True, True]
    on_client = studio.run("reprint", "moth", "--out", tmp_path / "moth.pdf").out
    assert f"  Moth  this client, sitting, 1 Feb 2026: {NOTED[2]}" in on_client
    assert NOTED[1] not in on_client


def test_it_is_quiet_where_there_is_nothing(studio, tmp_path):
    assert "Noted" not in studio.run("reprint", "koi", "--out", tmp_path / "koi.pdf").out
    picture = studio.root / "pieces/2026-04-01-koi/stencils/a.png"
    assert "Noted" not in studio.run("reprint", "--image", picture, "--width", "40mm", "--out", tmp_path / "a.pdf").out


def test_nothing_of_it_is_in_what_a_client_gets(studio, tmp_path):
    given = tmp_path / "given"
    given.mkdir()
    size = ("--width", "40mm", "--height", "60mm", "--placement", "calf", "--client", "C-0012")
    for ran in (
        studio.run("reprint", "fox", "--out", given / "fox.pdf"),
        studio.run("reprint", "--gang", "fox", "owl", "--out", given / "gang.pdf"),
        studio.run("client", "C-0013", "--to", given / "for-c3"),
        studio.run("sleeve", "C-0013", "--to", given / "sleeve.pdf"),
        studio.run("build"),
    ):
        assert ran.code in (0, 1), ran.err
    studio.run("quote", *size, "--page", given / "quote.html")
    shutil.copytree(studio.root.parent / "build/portfolio", given / "portfolio")
    shutil.copytree(studio.root.parent / "build/reprints", given / "reprints")
    assert (given / "fox.pdf").is_file()
    assert (given / "for-c3/index.html").is_file()
    values = [PrivateValue("a note", note) for note in NOTED]
    assert [leak for leak in find_leaks(given, values) if leak.value in NOTED] == []
    # The same search finds them where they may be.
    (given / "mine.txt").write_text(NOTED[1], encoding="utf-8")
    assert [leak.value for leak in find_leaks(given, values) if leak.value in NOTED] == [NOTED[1]]
