"""An archive in German: nothing on its pages and sheets is left in English, and nothing is kept of what was English."""

import re
import shutil
import subprocess
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from click.testing import CliRunner

from archgen.cli import archgen

DEMO = Path(__file__).resolve().parents[2] / "content"
# One with a recall, landmarks, an order of work and rights; one with versions, stories and a release that ended.
PIECES = ("2025-02-08-barn-owl", "2024-06-22-peony")
# Called the same in both.
ALIKE = ("Stencils",)
FOLDERS = ("archive", "portfolio", "sheets", "reprints")
# What is read out or shown beside the text itself.
SPOKEN = ("aria-label", "alt", "title", "data-l", "placeholder")


def build(root, out):
    ran = CliRunner().invoke(archgen, ["build", "--archive", str(root), "--out", str(out)], catch_exceptions=False)
    assert ran.exit_code in {0, 1}, ran.output


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """Give a folder with an archive built in English, the same built in German over it, and in German alone."""
    top = tmp_path_factory.mktemp("house")
    root = top / "studio"
    shutil.copytree(DEMO, root, ignore=lambda at, names: set(names) - set(PIECES) if at == str(DEMO / "pieces") else ())
    settings = root / "archive.toml"
    # Most of a first build is the second kind of copies of public pictures, which says nothing.
    settings.write_text(settings.read_text().replace("[portfolio]\n", "[portfolio]\navif = false\n"))
    assert "avif" in settings.read_text()
    build(root, top / "both")
    for folder in FOLDERS:
        shutil.copytree(top / "both" / folder, top / "english" / folder)
    settings.write_text(settings.read_text().replace('language = "en"', 'language = "de"'))
    build(root, top / "both")
    build(root, top / "german")
    return top


class Texts(HTMLParser):
    """Collects what a page says."""

    def __init__(self, page):
        super().__init__()
        self.found, self.is_code = set(), False
        self.feed(page.read_text(encoding="utf-8"))

    def handle_starttag(self, tag, attrs):
        self.is_code = tag in {"script", "style", "code", "textarea"}
        self.found |= {value for name, value in attrs if name in SPOKEN and value}

    def handle_endtag(self, tag):  # noqa: ARG002  the parser's own
        self.is_code = False

    def handle_data(self, data):
        if not self.is_code:
            self.found.add(" ".join(data.split()))


def of_the_artist():
    texts = (path.read_text(encoding="utf-8") for path in DEMO.rglob("*") if path.suffix in {".toml", ".md"})
    return " ".join((*" ".join(texts).split(), *PIECES, *ALIKE))


def sentences(texts, written):
    """Give texts of three words or more, without what the artist wrote: titles, notes, codes, names of files."""
    said = {text for text in texts if len(re.findall(r"[A-Za-z’']{2,}", text)) >= 3}
    return {text for text in said if not all(part.rstrip("…. ") in written for part in parts(text))}


def parts(text):
    """Give what stands between commas, colons and the like; a path or a licence is one of the artist's own words."""
    return re.split(r", | and | und | – |: | \(|\)", re.sub(r"\S+\.\w{2,4}\b|CC [A-Z -]+[\d.]*", "", text))


def test_a_change_of_language_leaves_nothing_of_the_other(built):
    for folder in FOLDERS:
        trees = [
            {path.relative_to(top): path.read_bytes() for path in sorted((top / folder).rglob("*")) if path.is_file()}
            for top in (built / "both", built / "german")
        ]
        assert trees[0].keys() == trees[1].keys()
        assert [
            (str(path), *(parts_apart(content, trees[1][path]) if path.suffix == ".pdf" else ()))
            for path, content in trees[0].items()
            if content != trees[1][path]
        ] == []


def parts_apart(one, other):
    """Give the objects of a PDF that differ in another, pictures with how many of their bytes."""
    with pikepdf.open(BytesIO(one)) as first, pikepdf.open(BytesIO(other)) as second:
        for mine, theirs in zip(first.objects, second.objects, strict=True):
            if not isinstance(mine, pikepdf.Stream):
                if mine.unparse() != theirs.unparse():
                    yield mine.unparse()[:300], theirs.unparse()[:300]
            elif (a := mine.read_bytes()) != (b := theirs.read_bytes()):
                kind, count = str(mine.get("/Subtype", "")), sum(x != y for x, y in zip(a, b, strict=False))
                yield kind, len(a), len(b), count, ("" if kind == "/Image" else a[:300] + b" | " + b[:300])


def test_no_english_sentence_is_left_on_a_page_of_the_archive(built):
    written = of_the_artist()
    pages = [sorted((built / name / "archive").rglob("*.html")) for name in ("english", "german")]
    assert [page.name for page in pages[0]] == [page.name for page in pages[1]]
    english, german = (sentences(set().union(*(Texts(page).found for page in part)), written) for part in pages)
    assert len(english) > 100
    assert sorted(english & german) == []
    assert all('<html lang="de"' in page.read_text(encoding="utf-8") for page in pages[1])


def test_sheets_and_prints_are_in_german_and_say_so(built, pdftotext):
    found = []
    for name in ("english", "german"):
        lines = set()
        for folder in ("sheets", "reprints"):
            for pdf in sorted((built / name / folder).glob("*.pdf")):
                raw = subprocess.run(
                    [pdftotext, "-layout", pdf, "-"], capture_output=True, text=True, check=True
                ).stdout
                lines |= {part.strip() for line in raw.splitlines() for part in re.split(r" {3,}", line)}
                if name == "german" and folder == "sheets":
                    with pikepdf.open(pdf) as document:
                        assert str(document.Root.Lang).startswith("de")
        found.append(lines)
    written = of_the_artist()
    both = sentences(found[0], written) & sentences(found[1], written)
    # Lines of the artist's notes are cut where the paper ends.
    ours = {line for line in both if not set(re.findall(r"[a-z]{4,}", line)) <= set(re.findall(r"[a-z]{4,}", written))}
    assert sorted(ours) == []
