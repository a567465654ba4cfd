"""archgen stock: the list, the page to print, and what a piece was made of."""

import json

import html5lib
import pytest

from archgen.wording.planning.stock import NO_COUNT

INKS = """[[batch]]
batch = "BK-1"
name = "dense black"
opened = 2026-01-10
expiry = 2026-02-01
claims = ["vegan"]
claim_source = "label"
"""
INK = '\n[[sitting]]\ndate = 2026-01-20\n[[ink]]\nbatch = "BK-1"\nuse = "lines"\n'


@pytest.fixture
def studio(terminal, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1772323200")  # 1 March 2026
    (terminal.root / "inks.toml").write_text(INKS, encoding="utf-8")
    record = terminal.root / "pieces/2026-03-14-barn-owl/piece.toml"
    record.write_text(record.read_text(encoding="utf-8") + INK, encoding="utf-8")
    return terminal


def test_the_list_says_what_is_open_and_what_to_do(studio):
    ran = studio.run("stock")
    assert ran.code == 0, ran.err
    assert "dense black  0.8 pieces a month" in ran.out
    assert "Past its date: set it aside, and reorder: no other is recorded." in ran.out
    assert "BK-1: open since 10 Jan 2026, 1 piece, for lines, past its date (1 Feb 2026)" in ran.out
    assert "3 round liner" in ran.out
    assert NO_COUNT in " ".join(ran.out.split())


def test_json_has_the_figures(studio):
    found = json.loads(studio.run("stock", "--format", "json").out)
    assert (found[0]["kind"], found[0]["name"], found[0]["need"]) == ("ink", "dense black", "expired")


def test_the_page_is_one_file_and_starts_with_what_to_do(studio, tmp_path):
    page = tmp_path / "stock.html"
    assert str(page) in studio.run("stock", "--page", str(page)).out
    text = page.read_text(encoding="utf-8")
    html5lib.HTMLParser(strict=True).parse(text)
    assert text.index("To do") < text.index("dense black") < text.index("Inks</h2>")
    assert "Inks and needles, 1 Mar 2026" in text
    assert "src=" not in text
    assert "href=" not in text


def test_what_a_piece_was_made_of(studio):
    ran = studio.run("stock", "barn", "owl", "--claim", "vegan")
    assert "Everything recorded of it is recorded as vegan." in ran.out
    found = json.loads(studio.run("stock", "barn", "owl", "--claim", "vegan", "--format", "json").out)
    assert found["answer"] == "yes"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("owl",), "Name a piece and a claim together"),
        (("--claim", "vegan"), "Name a piece and a claim together"),
        (("owl", "--claim", "vegan", "--page", "a.html"), "--page goes with the list"),
    ],
)
def test_halves_of_a_question_are_asked_about(studio, words, said):
    ran = studio.run("stock", *words)
    assert ran.code == 2
    assert said in ran.err


def test_an_archive_without_inks_and_needles_says_so(terminal):
    record = terminal.root / "pieces/2026-03-14-barn-owl/piece.toml"
    record.write_text('title = "Barn owl"\n', encoding="utf-8")
    assert "No inks and no needles are recorded yet." in terminal.run("stock").out
