"""The sites as `archgen build --watch` shows them: files of the sites, the artist's own, and nothing else."""

import json
import threading
import time
import urllib.request

import pytest

from archgen.desk import watched_sites
from archgen.desk.watched_sites import WatchedSites, showing, sites_app
from tests.unit.desk.asking import Asker

PAGE = (
    "<!doctype html><head><meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src 'self'\">"
    "</head><body><p>Works</p></body></html>"
)


@pytest.fixture
def sites(tmp_path):
    files = {
        "build/portfolio/index.html": PAGE, "build/archive/index.html": PAGE, "build/archive/data/now.css": "p {}",
        "build/.published.json": "{}", "build/cache/records.json": "{}", "content/pieces/owl/piece.toml": "title = 1",
        "content/.hidden": "x", "other.txt": "x",
    }  # fmt: skip
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    return WatchedSites(tmp_path / "content", tmp_path / "build")


@pytest.fixture
def browser(sites):
    return Asker(sites, app=sites_app)


def test_a_page_waits_for_the_next_build_and_may_ask_for_it(sites, browser):
    sites.failed('The line "x" & more.')
    page = browser.get("build/archive/index.html").text
    assert "default-src 'none'; script-src 'self'; connect-src 'self'; img-src 'self'" in page
    assert '<script src="/test-key/watched.js" data-way="/test-key/turn"' in page
    assert "&quot;The line \\&quot;x\\&quot; &amp; more.&quot;" in page
    assert page.index("watched.js") < page.index("</body>")
    assert browser.get("watched.js").status == browser.get("watched.css").status == 200


def test_files_are_given_as_they_are(sites, browser):
    given = browser.get("build/archive/data/now.css")
    assert (given.text, given.headers["content-type"]) == ("p {}", "text/css; charset=utf-8")
    assert (sites.out / "archive/index.html").read_text("utf-8") == PAGE


def test_what_is_not_published_is_marked_on_the_home_page_of_the_portfolio_alone(sites, browser):
    sites.built([("Owl <b>", "No right & no letter.")], 3)
    home = browser.get("build/portfolio/index.html").text
    assert '<li><b dir="auto">Owl &lt;b&gt;</b> No right &amp; no letter.</li><li>and 2 more</li>' in home
    assert "Owl" not in browser.get("build/archive/index.html").text
    sites.built([], 0)
    assert "Not published" not in browser.get("build/portfolio/index.html").text


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("content/pieces/owl/piece.toml", 200), ("content/.hidden", 404), ("build/.published.json", 404),
        ("build/cache/records.json", 404), ("other.txt", 404), ("../etc/passwd", 404), ("build/archive/none", 404),
        ("content/../other.txt", 404), ("build/archive/../cache/records.json", 404), ("watched.html", 404),
    ],
)  # fmt: skip
def test_only_the_sites_and_the_artists_own_files_are_there(browser, path, status):
    assert browser.get(path).status == status


def test_nobody_else_is_answered(browser):
    assert browser.get("build/archive/index.html", headers={"host": "evil.example"}).status == 421
    assert browser.get("build/archive/index.html", key="wrong").status == 404


def test_a_page_that_has_seen_the_last_build_waits_and_is_told_of_the_next(sites, browser, monkeypatch):
    monkeypatch.setattr(watched_sites, "_WAIT_SECONDS", 0.05)
    sites.built([], 0)
    assert json.loads(browser.get("turn?seen=0").text) == {"turn": 1, "trouble": "", "ends": False}
    assert json.loads(browser.get("turn?seen=1").text)["turn"] == 1  # nothing new in all that time
    sites.failed("no disk")
    assert json.loads(browser.get("turn?seen=1").text) == {"turn": 2, "trouble": "no disk", "ends": False}


def test_the_server_is_there_as_long_as_it_is_watched_and_lets_go_of_pages_that_wait(sites):
    answers = []
    with showing(sites) as (archive, portfolio):
        assert portfolio.endswith("/build/portfolio/index.html")
        with urllib.request.urlopen(archive, timeout=10) as page:  # noqa: S310  of this very test
            assert b"watched.js" in page.read()
        turn = archive.removesuffix("build/archive/index.html") + "turn?seen=0"

        def ask():
            with urllib.request.urlopen(turn, timeout=10) as told:  # noqa: S310
                answers.append(json.load(told))

        waiting = threading.Thread(target=ask)
        waiting.start()
        time.sleep(0.2)
    waiting.join(timeout=5)
    assert answers == [{"turn": 0, "trouble": "", "ends": True}]
    with pytest.raises(OSError, match="refused"):
        urllib.request.urlopen(archive, timeout=1)  # noqa: S310
