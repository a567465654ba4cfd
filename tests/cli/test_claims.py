"""What is recorded of inks and supplies is told to clients where the artist wants it: as the studio's record."""

import json
import subprocess

import pytest

from tests.cli.archive import add_piece

INKS = """[[batch]]
batch = "BK-1"
name = "dense black"
maker = "Hollow"
opened = 2026-01-10
claims = ["vegan"]
claim_source = "label"
[[batch]]
batch = "WH-1"
name = "opaque white"
opened = 2026-01-10
{white}
[[supply]]
name = "green soap"
claims = ["vegan"]
claim_source = "maker's letter"
"""
RECORD = """title = "Moth"
client = "C-0012"
[[sitting]]
date = 2026-03-14
[[ink]]
batch = "BK-1"
[[ink]]
batch = "WH-1"
"""


@pytest.fixture
def studio(terminal):
    root = terminal.root
    with (root / "archive.toml").open("a", encoding="utf-8") as file:
        file.write('\n[claims]\ntell = ["vegan"]\n[portfolio]\nlanguages = ["en", "de"]\n')
    (root / "care.md").write_text("# Care\n\nWash it.\n", encoding="utf-8")
    add_piece(root, "2026-03-14-moth", RECORD)
    return terminal


def say(studio, white):
    (studio.root / "inks.toml").write_text(INKS.format(white=white), encoding="utf-8")


def test_a_client_reads_the_answer_with_each_source(studio, tmp_path):
    say(studio, 'claims = ["vegan"]')
    assert studio.run("client", "C-0012", "--to", tmp_path / "them").code == 0
    page = (tmp_path / "them/index.html").read_text(encoding="utf-8")
    for words in (
        "As the studio recorded it",
        "Everything recorded of it is recorded as vegan.",
        "dense black (BK-1): yes, by label.",
        "opaque white (WH-1): yes, source not recorded.",
        "green soap: yes, by maker&#39;s letter.",
        "As recorded by the studio, from labels and makers. archgen checked none of it.",
    ):
        assert words in page, words
    data = json.loads((tmp_path / "them/data.json").read_text(encoding="utf-8"))
    assert data["pieces"][0]["claims"][0]["answer"] == "yes"


@pytest.mark.parametrize(
    ("white", "said"),
    [
        ('claims = ["not vegan"]', "No: opaque white (WH-1) is recorded as not vegan."),
        ("", "It can&#39;t be said: nothing is recorded about opaque white (WH-1)."),
    ],
)
def test_what_is_against_it_or_not_known_is_named(studio, tmp_path, white, said):
    say(studio, white)
    studio.run("client", "C-0012", "--to", tmp_path / "them")
    assert said in (tmp_path / "them/index.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("white", "said", "german"),
    [
        ('claims = ["vegan"]', "every ink and supply in use is vegan.", "in Gebrauch ist, vegan."),
        ('claims = ["not vegan"]', "not every ink and supply in use is vegan. Ask which.", "Frag, was nicht."),
        ("", "It is not recorded of every ink and supply in use whether it is vegan.", "Frag nach."),
    ],
)
def test_the_care_page_says_it_in_each_language_and_names_no_ink(studio, pdftotext, white, said, german):

    say(studio, white)
    studio.run("build")
    site = studio.root.parent / "build/portfolio"
    sheet = subprocess.run([pdftotext, str(site / "care.pdf"), "-"], capture_output=True, text=True, check=True).stdout
    page = (site / "care.html").read_text(encoding="utf-8")
    assert said in page
    assert said in " ".join(sheet.split())
    assert "From labels and makers; nobody else checked it." in page
    assert german in (site / "de/care.html").read_text(encoding="utf-8")
    for path in site.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert not any(name in text for name in ("opaque white", "WH-1", "Hollow", "green soap")), path


def test_nothing_is_told_that_the_artist_did_not_ask_for(studio, tmp_path):
    say(studio, 'claims = ["vegan"]')
    settings = studio.root / "archive.toml"
    settings.write_text(settings.read_text(encoding="utf-8").replace('tell = ["vegan"]', ""), encoding="utf-8")
    studio.run("build")
    studio.run("client", "C-0012", "--to", tmp_path / "them")
    assert "vegan" not in (tmp_path / "them/index.html").read_text(encoding="utf-8")
    assert "vegan" not in (studio.root.parent / "build/portfolio/care.html").read_text(encoding="utf-8")
