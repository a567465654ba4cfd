"""archgen upload, as typed: built, shown, asked, sent, looked at as a visitor does; nothing private goes along."""

import http.server
import re
import shutil
import threading
import urllib.request
from functools import partial

import pytest
from click.testing import CliRunner

from archgen.cli import archgen
from archgen.errors import UsageError, WithheldError
from archgen.storage.build_folder import remember_archive
from tests.drawn_twins import photo, save

PIECE = """title = "{title}"
publish = true
client = "C-0042"
[[photo]]
file = "photos/fresh.jpg"
stage = "fresh"
[release]
status = "granted"
scope = ["portfolio"]
"""


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_):
        pass


@pytest.fixture(scope="module")
def visited(tmp_path_factory):
    """Serve a folder as a host does; give it, and its address."""
    web = tmp_path_factory.mktemp("host") / "web"
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=web))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield web, f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


@pytest.fixture(scope="module")
def first_built(tmp_path_factory, visited):
    top = tmp_path_factory.mktemp("archive")
    root = top / "pieces-of-mine"
    for number, name in enumerate(("owl", "moth")):
        folder = root / "pieces" / name
        folder.mkdir(parents=True)
        (folder / "piece.toml").write_text(PIECE.format(title=f"{name.title()} at night"), "utf-8")
        save(photo(number + 3), folder / "photos/fresh.jpg")
    (root / "clients.toml").write_text('[[client]]\ncode = "C-0042"\nname = "Anna Söderqvist"\n', "utf-8")
    (root / "archive.toml").write_text(f'[portfolio]\nurl = "{visited[1]}"  # mine\n', "utf-8")
    CliRunner().invoke(archgen, ["build", "--archive", str(root), "--out", str(top / "built")])
    return top


@pytest.fixture
def archive(first_built, visited, tmp_path):
    """Give an archive that was built, and an empty host."""
    top = tmp_path / "copy"
    shutil.copytree(first_built, top, symlinks=True)
    shutil.rmtree(visited[0], ignore_errors=True)
    return top


@pytest.fixture
def run(archive, monkeypatch, visited):
    monkeypatch.setattr("archgen.uploading.check._PAUSE_S", 0.01)

    def ran(*arguments, place=True, answer=None):
        command = ["upload", *([str(visited[0])] if place else []), *arguments]
        where = ["--archive", str(archive / "pieces-of-mine"), "--out", str(archive / "built")]
        return CliRunner().invoke(archgen, [*command, *where], input=answer)

    return ran


def online(web):
    return {path.relative_to(web).as_posix() for path in web.rglob("*") if path.is_file()}


def fetched(address):
    with urllib.request.urlopen(address, timeout=10) as answer:  # noqa: S310  of this computer
        return answer.read()


def withdraw(archive, name):
    record = archive / "pieces-of-mine/pieces" / name / "piece.toml"
    record.write_text(record.read_text("utf-8").replace('"granted"', '"withdrawn"'), "utf-8")


def test_a_portfolio_goes_online_is_found_there_and_the_place_is_remembered(run, archive, visited):
    web, address = visited
    done = run("--yes")
    assert done.exit_code == 0, done.output
    assert re.search(r"Checked http\S+: \d\d files as built", done.output)
    built = {
        path.relative_to(archive / "built/portfolio").as_posix() for path in (archive / "built/portfolio").rglob("*")
    }
    assert online(web) - {"archgen-sent.bin"} == {
        path for path in built if (archive / "built/portfolio" / path).is_file()
    }
    settings = (archive / "pieces-of-mine/archive.toml").read_text("utf-8")
    assert f'url = "{address}"  # mine' in settings
    assert f'[upload]\ntarget = "{web}"' in settings
    again = run(place=False)
    assert again.exit_code == 0, again.output
    assert "Everything there is as it was built." in again.output
    assert "Send it?" not in again.output
    assert "target = " not in run("--yes").output


def test_a_withdrawal_is_offline_after_one_command_and_its_address_answers_that_nothing_is_there(run, archive, visited):
    web, address = visited
    assert run("--yes").exit_code == 0
    assert b"Owl at night" in fetched(f"{address}pieces/owl-at-night.html")
    withdraw(archive, "owl")
    done = run("--yes")
    assert done.exit_code == 0, done.output
    assert "may not be shown any more, goes first: " in done.output
    assert re.search(r"What left is gone: nothing answers at (\d) of \1 addresses", done.output)
    assert not [path for path in online(web) if "owl" in path]
    assert b"Owl at night" not in b"".join((web / path).read_bytes() for path in online(web))


def test_a_piece_under_a_new_title_was_not_withdrawn_but_a_photo_that_left_was(run, archive, visited):
    folder = archive / "pieces-of-mine/pieces/owl"
    save(photo(9), folder / "photos/healed.jpg")
    record = folder / "piece.toml"
    more = '[[photo]]\nfile = "photos/healed.jpg"\nstage = "healed"\n'
    record.write_text(f"{record.read_text('utf-8')}{more}", "utf-8")
    assert run("--yes").exit_code == 0
    assert "img/owl-at-night-2-" in " ".join(online(visited[0]))
    text = record.read_text("utf-8")
    record.write_text(text.replace("Owl at night", "Owl by day"), "utf-8")
    renamed = run("--dry-run").output
    assert "may not be shown" not in renamed
    assert "  goes: " in renamed
    record.write_text(text.replace('"healed"', '"in-progress"'), "utf-8")
    first = run("--dry-run").output.partition("may not be shown any more, goes first: ")[2].partition("changes")[0]
    assert "img/owl-at-night-2-" in first
    assert "img/owl-at-night-1-" not in first
    assert "pieces/owl-at-night.html" not in first


def test_a_host_that_still_answers_at_a_withdrawn_address_is_told_of(run, archive, visited):
    web, _ = visited
    assert run("--yes").exit_code == 0
    old = (web / "pieces/owl-at-night.html").read_bytes()
    withdraw(archive, "owl")
    assert run("--yes").exit_code == 0
    (web / "pieces/owl-at-night.html").write_bytes(old)
    done = run("--check")
    assert done.exit_code == 1
    assert "STILL ONLINE: pieces/owl-at-night.html" in done.output


def test_a_check_finds_a_page_that_is_not_what_was_built(run, visited):
    web, _ = visited
    assert run("--yes").exit_code == 0
    assert run("--check").exit_code == 0
    page = web / "about.html" if (web / "about.html").exists() else web / "index.html"
    page.write_bytes(page.read_bytes().replace(b"<", b" ", 1))
    done = run("--check")
    assert done.exit_code == 1
    assert f"the first is {page.name}" in done.output


def test_a_dry_run_lists_every_file_and_sends_nothing(run, archive, visited):
    done = run("--dry-run")
    assert done.exit_code == 0
    assert "  appears: " in done.output
    assert "    pieces/moth-at-night.html" in done.output
    assert online(visited[0]) == set()
    assert "[upload]" not in (archive / "pieces-of-mine/archive.toml").read_text("utf-8")


def test_nothing_is_sent_before_a_yes(run, visited):
    done = run(answer="n\n")
    assert "Send it?" in done.output
    assert "Nothing was sent." in done.output
    assert online(visited[0]) == set()


def test_what_somebody_wrote_into_the_built_portfolio_is_not_sent(run, archive, visited):
    (archive / "built/portfolio/index.html").write_text("Anna Söderqvist", "utf-8")
    (archive / "built/portfolio/mine.html").write_text("mine", "utf-8")
    assert run("--yes").exit_code == 0
    assert "mine.html" not in online(visited[0])
    assert "Söderqvist" not in (visited[0] / "index.html").read_text("utf-8")


def test_a_portfolio_that_was_kept_back_is_not_sent_but_what_was_withdrawn_goes(run, archive, visited):
    web, _ = visited
    assert run("--yes").exit_code == 0
    before = {path: (web / path).read_bytes() for path in online(web)}
    (archive / "pieces-of-mine/pieces/moth/story.md").write_text("For Anna Söderqvist.", "utf-8")
    withdraw(archive, "owl")
    done = run("--yes")
    assert isinstance(done.exception, WithheldError)
    assert "Only what may not be shown any more was taken away." in str(done.exception)
    assert "pieces/owl-at-night.html" not in online(web)
    changed = {path for path in online(web) if (web / path).read_bytes() != before.get(path)}
    assert {path for path in changed if not path.startswith("img/owl")} <= {"archgen-sent.bin"}
    assert changed & {path for path in before if path.startswith("img/owl")}


def test_a_leak_found_in_what_would_be_sent_stops_it(run, archive, visited, monkeypatch):
    """The search looks at the very folder: here a build is said to have left it, which none does."""
    remember_archive(archive / "built", archive / "pieces-of-mine")
    (archive / "built/portfolio/index.html").write_text("<p>Anna Söderqvist</p>", "utf-8")
    monkeypatch.setattr("archgen.commands.sending.upload._bring_up_to_date", lambda *_: None)
    done = run("--yes")
    assert isinstance(done.exception, WithheldError)
    assert online(visited[0]) == set()


def test_files_of_somebody_else_are_replaced_only_when_that_is_said(run, visited):
    visited[0].mkdir()
    (visited[0] / "index.html").write_text("somebody's")
    done = run("--yes")
    assert isinstance(done.exception, UsageError)
    assert (visited[0] / "index.html").read_text() == "somebody's"
    assert run("--yes", "--replace").exit_code == 0
    assert (visited[0] / "index.html").read_text() != "somebody's"


def test_without_a_place_it_says_what_a_place_looks_like(run):
    done = run(place=False)
    assert isinstance(done.exception, UsageError)
    assert "sftp://me@example.org/web" in str(done.exception)


def test_a_zip_is_checked_by_itself_not_by_the_site(archive, tmp_path):
    where = ["--archive", str(archive / "pieces-of-mine"), "--out", str(archive / "built")]
    done = CliRunner().invoke(archgen, ["upload", str(tmp_path / "site.zip"), "--yes", *where])
    assert done.exit_code == 0, done.output
    assert (tmp_path / "site.zip").is_file()
    assert "files as built" in done.output


def test_a_preview_shows_the_portfolio_on_this_computer(run, visited, monkeypatch):
    said, shown = [], []
    monkeypatch.setattr("click.echo", lambda text="", **_: said.append(str(text)))

    def look():
        shown.append(fetched(re.search(r"Portfolio: (http://127\.0\.0\.1:\S+)", said[-1])[1]))

    monkeypatch.setattr("archgen.commands.sending.upload._wait_to_be_stopped", look)
    done = run("--preview", place=False)
    assert done.exit_code == 0, done.output
    assert b"Moth at night" in shown[0]
    assert online(visited[0]) == set()
