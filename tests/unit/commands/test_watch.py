"""Watching builds again after a change has settled, not for its own output, and outlives a failed build."""

import threading
import time
from contextlib import suppress
from pathlib import Path

import pytest

from archgen.commands.building import watch
from archgen.errors import InputError


@pytest.fixture
def watching(tmp_path, monkeypatch):
    """Give the archive folder, the build folder and a list that grows with every build."""
    monkeypatch.setattr(watch, "SETTLE_SECONDS", 0.1)
    root, out = tmp_path / "content", tmp_path / "content" / "build"
    out.mkdir(parents=True)
    builds: list[float] = []
    stop = threading.Event()
    thread = threading.Thread(target=watch.watch, args=(root, out, lambda _: builds.append(time.monotonic()), stop))
    thread.start()
    time.sleep(0.5)  # the observer starts in a thread of its own
    yield root, out, builds
    stop.set()
    thread.join(timeout=10)
    assert not thread.is_alive()


def wait_for(builds, count):
    for _ in range(100):
        if len(builds) >= count:
            return
        time.sleep(0.1)


def test_a_change_is_built_once(watching):
    root, _, builds = watching
    for number in range(5):
        (root / "piece.toml").write_text(f'title = "{number}"')
    wait_for(builds, 1)
    time.sleep(0.6)
    assert len(builds) == 1


def test_the_results_themselves_start_no_build(watching):
    root, out, builds = watching
    (out / "index.html").write_text("made")
    (root / ".piece.toml.swp").write_text("an editor's own file")
    time.sleep(0.8)
    assert builds == []


def test_a_folder_that_is_not_there_is_not_watched(tmp_path):
    def fail(_):
        raise InputError("no folder")

    with pytest.raises(InputError, match="no folder"):
        watch.keep_building(tmp_path / "nope", tmp_path / "out", fail)


def test_a_failed_build_is_said_and_waited_out(monkeypatch, capsys, tmp_path):
    monkeypatch.setattr(watch, "watch", lambda _root, _out, again, _stop: again(lambda: None))

    def fail(_):
        raise InputError("no archive folder")

    watch.keep_building(tmp_path, tmp_path / "out", fail)
    assert capsys.readouterr().err.count("no archive folder") == 2


def test_a_disk_of_another_computer_is_looked_at_again_and_again(tmp_path, monkeypatch):
    mounts = tmp_path / "mounts"
    here = str(tmp_path / "with space").replace(" ", "\\040")
    (tmp_path / "with space/inner").mkdir(parents=True)
    mounts.write_text(f"/dev/sda / ext4 rw 0 0\nserver:/share {here} nfs4 rw 0 0\n")
    assert watch.is_on_network(tmp_path / "with space/inner", mounts)
    assert not watch.is_on_network(tmp_path, mounts)
    monkeypatch.setattr(watch, "_LOOK_SECONDS", 0.02)
    stop = threading.Event()
    with watch._looking(tmp_path, stop) as changes:
        assert not changes.seen.wait(0.1)
        (tmp_path / "piece.toml").write_text("title")
        assert changes.seen.wait(5)
        assert not changes.forget()  # it may have been anything


def settling(changes):
    began = time.monotonic()
    return watch._settling(changes, threading.Event()), time.monotonic() - began


def test_a_record_alone_is_built_before_it_has_settled_and_shown_after(monkeypatch):
    monkeypatch.setattr(watch, "SETTLE_SECONDS", 0.5)
    changes = watch.Changes()
    changes.note(Path("pieces/owl/piece.toml"))
    began = time.monotonic()
    settled, waited = settling(changes)
    assert waited < 0.3
    settled()
    assert 0.5 <= time.monotonic() - began < 0.9


@pytest.mark.parametrize("name", ["fresh.jpg", "4913", "piece.toml~"])
def test_what_is_more_than_a_record_settles_first(monkeypatch, name):
    monkeypatch.setattr(watch, "SETTLE_SECONDS", 0.3)
    changes = watch.Changes()
    changes.note(Path("pieces/owl/piece.toml"))
    changes.note(Path(name))
    settled, waited = settling(changes)
    assert waited >= 0.3
    changes.note(Path("pieces/owl/piece.toml"))  # the next change, which gets a build of its own
    settled()


def test_a_build_is_given_up_for_what_comes_while_it_settles(monkeypatch):
    monkeypatch.setattr(watch, "SETTLE_SECONDS", 0.3)
    changes = watch.Changes()
    changes.note(Path("pieces/owl/piece.toml"))
    settled, _ = settling(changes)
    changes.note(Path("pieces/owl/piece.toml"))
    with pytest.raises(watch.StartOver):
        settled()


def test_what_is_half_written_is_no_trouble(monkeypatch, capsys, tmp_path):
    def more_comes():
        raise watch.StartOver

    def watch_once(_root, _out, again, _stop):
        with suppress(watch.StartOver):
            again(more_comes)

    monkeypatch.setattr(watch, "watch", watch_once)
    turns = iter(["nothing is wrong", "half a record"])

    def fail(_):
        raise InputError(next(turns))

    watch.keep_building(tmp_path, tmp_path / "out", fail)
    assert "half a record" not in capsys.readouterr().err
