"""The desk of a German archive speaks German on every page, in its forms and in what its scripts say."""

import re

import html5lib
import pytest

from archgen.desk.inbox import waiting
from tests.unit.desk.asking import Asker
from tests.unit.desk.conftest import call_them_photos, copied, moth, opened, stencil
from tests.unit.desk.test_filing import settled

OWL = "2026-03-14-barn-owl"
PAGES = (
    "", "inbox.html", "checks.html", "asking-list.html", "doubles.html", "quote.html", "quote.html?width=60&height=90",
    f"pieces/{OWL}.html", f"change/{OWL}.html", f"lay/{OWL}.html", f"order/{OWL}.html", "removal/C-0042.html",
    "designs.html", "batches/GW2-1.html", "nothing.html", "file/a.html",
)  # fmt: skip
# What is read out, shown or said by the scripts beside the texts themselves.
SPOKEN = (
    "aria-label", "alt", "title", "placeholder", "data-say", "data-empty", "data-last", "data-holds", "data-phrases",
)  # fmt: skip
# The artist's own words.
WRITTEN = {"3RL, 15 curved mag", "Barn owl – Trial archive", "forearm-outer, left"}
RECORD = '\n[release]\nstatus = "maybe"\n[[reference]]\nsource = "https://example.org/owl"\nlicense = "stock"\n'


@pytest.fixture(scope="module")
def desks(read_archive_folder, tmp_path_factory):
    """The same desk, with pictures in its inbox, in English and in German."""
    top = tmp_path_factory.mktemp("tongues")
    for tag in ("en", "de"):
        root = copied(read_archive_folder, top / tag) / "archive"
        (root / "archive.toml").write_text(f'[archive]\ntitle = "Trial archive"\nlanguage = "{tag}"\n')
        record = root / f"pieces/{OWL}/piece.toml"
        record.write_text(record.read_text() + RECORD)
        moth(root / "inbox/IMG_1.jpg", 1, "2026:11:26 11:20:00")
        stencil(root / "inbox/night-moth-1.png")
    return top


def pages(top, tag):
    state = opened(top / tag / "archive", top / tag / "archive-built")
    settled(state)
    call_them_photos(state.inbox)
    asker = Asker(state)
    return {path: asker.get(path).text for path in PAGES}


def said(page):
    """Give every text of three words and more that a page says or shows beside its texts."""
    tree = html5lib.parse(page, namespaceHTMLElements=False)
    texts = set()
    for node in tree.iter():
        if isinstance(node.tag, str) and node.tag not in {"script", "style", "code", "pre", "textarea"}:
            texts |= {node.text or "", *(node.get(name) or "" for name in SPOKEN)}
        texts.add(node.tail or "")
    found = {part.strip() for text in texts for part in re.split(r'"[^"]*": |[\n"{}]', text)}
    return {text for text in found if " " in text and len(re.findall(r"[^\W\d_]{2,}", text)) > 2}


def test_no_text_of_a_german_desk_is_the_english_one(desks, monkeypatch):
    monkeypatch.setattr(waiting, "SETTLE_SECONDS", 0.0)
    english, german = pages(desks, "en"), pages(desks, "de")
    assert all('lang="de"' in page for page in german.values())
    assert all(said(page) for page in english.values())
    same = {path: said(english[path]) & said(german[path]) - WRITTEN for path in PAGES}
    assert {path: texts for path, texts in same.items() if texts} == {}
