"""A file is searched once: what was found in it is known while it and all that is looked for stay the same."""

import msgspec
import pytest

from archgen.leaks import find
from archgen.leaks.find import search_folder
from archgen.leaks.memory import LeakMemory, Searched, file_key
from archgen.leaks.values.exact import PrivateValue
from archgen.publication.decision import decide_all
from archgen.storage.cache import Cache
from tests.builders import make_catalogue, make_piece, paper_catalogue

NOTE, OTHER = "Sat well and slept badly before.", "Wants the harbour next to it."


@pytest.fixture
def place(tmp_path):
    folder = tmp_path / "site"
    (folder / "img").mkdir(parents=True)
    (folder / "index.html").write_text(f"<p>{NOTE}</p>")
    (folder / "about.html").write_text(f"<p>{OTHER}</p>")
    return folder


@pytest.fixture
def search(place, tmp_path, monkeypatch):
    """Search the place; give the notes found in files, and which files were looked into."""
    looked = []
    disclose = find.disclose
    monkeypatch.setattr(find, "disclose", lambda name, content: looked.append(name) or disclose(name, content))

    def run(note=NOTE, **changes):
        looked.clear()
        catalogue = paper_catalogue(tmp_path, make_piece(notes=note), **changes)
        found = search_folder(place, catalogue, decide_all(catalogue), Cache(tmp_path))
        return {leak.file: leak.value for leak in found.leaks}, sorted(set(looked))

    return run


FOUND = {"index.html": NOTE}


def test_an_unchanged_folder_is_not_searched_again(search, monkeypatch):
    assert search() == (FOUND, ["about.html", "index.html"])
    monkeypatch.setattr(find, "LeakSearch", None)  # nor are the texts made ready
    assert search() == (FOUND, [])


def test_only_a_changed_file_is_searched(search, place):
    search()
    (place / "about.html").write_text(f"<p>{OTHER}</p><p>{NOTE}</p>")
    assert search() == (FOUND | {"about.html": NOTE}, ["about.html"])
    (place / "about.html").rename(place / "kiki.html")
    assert search() == (FOUND | {"kiki.html": NOTE}, ["kiki.html"])


def test_a_new_text_opens_only_known_files_that_may_hold_it(search, place):
    (place / "index.html").write_text("<p>An owl in grey.</p>")
    search()
    assert search("The right hand swelled for two days.") == ({}, [])
    assert search(OTHER) == ({"about.html": OTHER}, ["about.html"])


def test_a_file_that_became_known_meanwhile_is_opened_for_a_new_text(search, place):
    search()
    (place / "later.html").write_text(f"<p>{OTHER}</p>")
    search()
    assert search(OTHER)[0] == {"about.html": OTHER, "later.html": OTHER}


def test_another_private_text_is_looked_for_everywhere(search):
    search()
    assert search(OTHER) == ({"about.html": OTHER}, ["about.html", "index.html"])  # what was found is not private now


@pytest.mark.parametrize("damage", [lambda raw: raw.replace(b'"leaks":[{', b'"leaks":[],"x":[{'), lambda raw: raw[:-9]])
def test_a_damaged_memory_is_empty(search, tmp_path, damage):
    search()
    memory = tmp_path / "leaks.json"
    memory.write_bytes(damage(memory.read_bytes()))
    assert search() == (FOUND, ["about.html", "index.html"])


def test_a_picture_is_known_while_it_is_a_copy_of_a_public_one(search, place, tmp_path):
    facts = make_catalogue(tmp_path).facts
    fresh, healed = (f"pieces/2026-03-14-barn-owl/photos/owl-{stage}.jpg" for stage in ("fresh", "healed"))
    (place / "img/a.webp").write_bytes((tmp_path / "blobs" / facts[fresh].public[0].blob).read_bytes())
    assert search(facts=facts)[1] == ["about.html", "img/a.webp", "index.html"]
    assert search(facts=facts)[1] == []
    changed = msgspec.structs.replace(facts[fresh], public=facts[healed].public)
    assert search(facts=facts | {fresh: changed})[1] == ["img/a.webp"]


def test_a_memory_is_kept_where_no_folder_was_yet(tmp_path):
    file, values = tmp_path / "cache" / "leaks.json", (PrivateValue("name", NOTE),)
    memory = LeakMemory(file, values)
    memory.keep(file_key("a.html", None, b"a"), Searched(()))
    memory.save()
    assert LeakMemory(file, values).recall(file_key("a.html", None, b"a")) == Searched(())
    assert LeakMemory(file, values).recall(file_key("b.html", None, b"a")) is None
