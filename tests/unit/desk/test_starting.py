"""The first page where there is no archive: every question may stay open."""

import time
import tomllib

import pytest

from archgen.build import Options
from archgen.desk.state import DeskState, SharedProgress
from archgen.progress import Silent
from archgen.storage.remembered import remembered_archive
from tests.unit.desk.asking import Asker


@pytest.fixture
def new(tmp_path):
    return DeskState(
        tmp_path / "my-archive", tmp_path / "my-archive-built", Options(workers=1), SharedProgress(Silent())
    )


def test_any_address_asks_the_five_questions_and_nothing_is_made_yet(new):
    for path in ("", "index.html", "inbox.html"):
        page = Asker(new).get(path).text
        for words in ("What is this archive called?", "Who tattoos?", "What does the stencil printer take?"):
            assert words in page
        assert "How do you measure?" in page
        assert "Which currency for prices?" in page
    assert not new.root.exists()


def ready(state):
    for _ in range(200):
        if state.shown:
            return
        time.sleep(0.05)
    raise AssertionError(state.trouble)


def test_what_every_page_asks_for_is_there_before_an_archive_is(new):
    assert Asker(new).get("data/now.css").headers["content-type"].startswith("text/css")


def test_the_answers_make_the_archive_which_is_remembered_and_open(new):
    asker = Asker(new)
    fields = {"title": "Ostermarr", "artist": "Tove", "printer": "Letter thermal", "units": "in", "currency": "GBP"}
    answer = asker.post("start", fields)
    assert answer.status == 303
    settings = tomllib.loads((new.root / "archive.toml").read_text())
    assert settings["archive"] == {"title": "Ostermarr", "units": "in"}
    assert settings["printer"] == {"paper": "Letter", "method": "thermal"}
    assert settings["portfolio"]["artist"] == "Tove"
    assert settings["portfolio"]["currency"] == "GBP"
    assert remembered_archive() == new.root
    ready(new)
    assert "Drop pictures anywhere." in asker.get("").text


def test_all_questions_may_stay_open(new):
    asker = Asker(new)
    assert asker.post("start", {}).status == 303
    assert tomllib.loads((new.root / "archive.toml").read_text())["archive"] == {"title": "My archive"}
    ready(new)
    assert asker.get("inbox.html").status == 200


def test_answers_that_were_not_offered_are_left_open(new):
    Asker(new).post("start", {"printer": "A4 laser", "units": "cubits", "currency": "gold"})
    settings = tomllib.loads((new.root / "archive.toml").read_text())
    assert "units" not in settings["archive"]
    assert settings.get("printer", {}) == {}
    ready(new)


def test_an_archive_that_is_there_is_never_started_again(state):
    before = (state.root / "archive.toml").read_bytes()
    Asker(state).post("start", {"title": "Another"})
    assert (state.root / "archive.toml").read_bytes() == before
