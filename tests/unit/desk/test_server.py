"""The desk as it is run: one at a time, closed when nobody is there, ended by Ctrl-C without a trace."""

import os
import re
import signal
import stat
import subprocess
import sys
import threading
import time
import urllib.request
from contextlib import contextmanager

import pytest
from filelock import FileLock

from archgen.desk import server
from archgen.desk.answering import INCOMING
from archgen.desk.server import OpenDeskError, run_desk, the_only_desk

ROOT = server.Path(server.__file__).resolve().parents[2]


def test_a_second_desk_is_told_where_the_first_one_is(tmp_path):
    with the_only_desk(tmp_path) as remember:
        remember("http://127.0.0.1:1/key/")
        with pytest.raises(OpenDeskError) as caught, the_only_desk(tmp_path):
            pass
        assert caught.value.address == "http://127.0.0.1:1/key/"
    with the_only_desk(tmp_path):
        pass  # the first one is closed


def test_a_second_desk_says_so_through_everything_that_is_open_by_then(state):
    with the_only_desk(state.out) as remember:
        remember("http://127.0.0.1:1/key/")
        with pytest.raises(OpenDeskError) as caught:
            run_desk(state, print, opens_browser=False)
    assert caught.value.address == "http://127.0.0.1:1/key/"


def test_a_first_desk_that_has_not_said_where_it_is_yet_is_named_all_the_same(tmp_path):
    with FileLock(tmp_path / ".desk.lock"), pytest.raises(OpenDeskError) as caught, the_only_desk(tmp_path):
        pass
    assert caught.value.address is None


def test_the_address_with_its_key_is_readable_by_its_user_alone_and_goes_when_the_desk_closes(tmp_path):
    with the_only_desk(tmp_path) as remember:
        remember("http://127.0.0.1:1/key/")
        place = tmp_path / ".desk-address"
        if os.name == "posix":
            assert stat.S_IMODE(place.stat().st_mode) == 0o600
    assert not place.exists()


def test_left_alone_it_closes_and_says_so(state, monkeypatch):
    said = []
    opened = []
    monkeypatch.setattr(server.webbrowser, "open", opened.append)
    begun = time.monotonic()
    run_desk(state, said.append, idle_after=1.0)
    assert 0.9 < time.monotonic() - begun < 20
    assert any("Nobody has touched the desk" in words for words in said)
    assert said[-1] == "The desk is closed. Everything that was saved is on the disk."
    assert opened == [re.search(r"http://\S+", said[0])[0]]
    assert not (state.out / ".desk-address").exists()


def test_somebody_who_asks_keeps_it_open(state):
    said = []
    thread = threading.Thread(
        target=run_desk, args=(state, said.append), kwargs={"opens_browser": False, "idle_after": 2.0}
    )
    thread.start()
    while not said:
        time.sleep(0.02)
    address = re.search(r"http://\S+", said[0])[0]
    for _ in range(6):
        with urllib.request.urlopen(f"{address}alive") as answer:  # noqa: S310 - our own
            assert answer.status == 204
        time.sleep(0.5)
    assert thread.is_alive()
    thread.join(timeout=20)
    assert not thread.is_alive()


@pytest.mark.slow
def test_the_command_prints_the_address_answers_there_and_ends_with_ctrl_c(state):
    command = [
        sys.executable,
        "-m",
        "archgen",
        "desk",
        "--archive",
        str(state.root),
        "--out",
        str(state.out),
        "--no-browser",
    ]
    with started(command) as process:
        lines = []
        while not lines or "http://" not in lines[-1]:
            lines.append(process.stderr.readline())
            assert lines[-1], f"it ended before it said where it is: {lines}"
        address = re.search(r"http://\S+", lines[-1])[0]
        second = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False, timeout=120)
        assert f"open already: {address}" in second.stderr
        assert second.returncode == 0
        assert page_with(address, "Barn owl")
        process.send_signal(signal.SIGINT)
        rest = process.stderr.read()
        assert process.wait(timeout=60) == 0
    assert "The desk is closed." in rest
    assert "Traceback" not in rest


@contextmanager
def started(command):
    """Start a command that is ended whatever a test finds, so that no failure waits for it for ever."""
    with subprocess.Popen(command, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT) as process:
        try:
            yield process
        finally:
            process.kill()


def page_with(address, words):
    """Ask until the first page holds some words, for a minute at most."""
    begun = time.monotonic()
    while time.monotonic() - begun < 60:
        with urllib.request.urlopen(address, timeout=60) as answer:  # noqa: S310 - our own
            if words in answer.read().decode():
                return True
        time.sleep(0.2)
    return False


def test_what_a_killed_desk_had_half_received_is_cleared_away_by_the_next(tmp_path):
    half = tmp_path / INCOMING / "a1" / "letter.pdf"
    half.parent.mkdir(parents=True)
    half.write_bytes(b"%PDF")
    with the_only_desk(tmp_path):
        assert not (tmp_path / INCOMING).exists()
