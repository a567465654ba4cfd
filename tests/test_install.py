"""The set-up says how long it takes, what it does, and why it can't go on."""

import io
import os
import subprocess
import sys

import pytest

import install

LINES = """Processing /somewhere/archgen
  Installing build dependencies: started
Collecting click>=8.1
  Downloading click-8.3.0-py3-none-any.whl (107 kB)
Collecting numpy>=2.0
  Using cached numpy-2.3.0-cp311-cp311-manylinux_2_28_x86_64.whl (16.6 MB)
Installing collected packages: click, numpy
Successfully installed click-8.3.0 numpy-2.3.0
"""


class Screen(io.StringIO):
    """A terminal that keeps all it was told."""

    def isatty(self):
        return True


def followed(tmp_path, lines, out):
    steps = install.Steps(out, clock=lambda: 0.0)
    following = install.Fetching(steps, tmp_path)
    for line in lines.splitlines():
        following.take(line)
    following.ended.set()
    return following


def test_every_package_is_named_while_it_is_fetched(tmp_path):
    out = Screen()
    followed(tmp_path, LINES, out)
    said = [" ".join(line.split()) for line in out.getvalue().split("\r")]
    for words in (
        "preparing archgen itself",
        "fetching click, number 1",
        "fetching numpy, number 2",
        "fetching numpy, 16.6 MB, number 2",
    ):
        assert words in said


def test_unpacking_is_counted_while_nothing_is_printed(tmp_path):
    out = Screen()
    (tmp_path / "pip-25.dist-info").mkdir()
    following = followed(tmp_path, LINES, out)
    assert following.all == 2
    (tmp_path / "click-8.dist-info").mkdir()
    waits = iter([False, True])
    following.ended.wait = lambda _seconds: next(waits)
    following.watch()
    assert "unpacking 1 of 2" in out.getvalue()


def test_without_a_terminal_a_sign_of_life_comes_every_ten_seconds(tmp_path):
    times = iter(range(0, 100, 4))
    out = io.StringIO()
    following = install.Fetching(install.Steps(out, clock=lambda: next(times)), tmp_path)
    for number in range(6):
        following.take(f"Collecting package{number}")
    assert out.getvalue().count("fetching") == 2
    assert "\r" not in out.getvalue()


def test_what_went_wrong_is_said_in_the_installers_own_words(tmp_path):
    script = "print('Collecting click'); print('ERROR: No matching distribution found for click'); raise SystemExit(1)"
    (tmp_path / ".venv" / ("Lib" if os.name == "nt" else "lib/python3.11")).mkdir(parents=True)
    why = install.fetch(tmp_path, install.Steps(io.StringIO()), [sys.executable, "-c", script])
    assert why == "Fetching failed. ERROR: No matching distribution found for click"
    assert install.fetch(tmp_path, install.Steps(io.StringIO()), [sys.executable, "-c", "print('fine')"]) is None


@pytest.mark.parametrize(
    ("version", "said"),
    [((3, 10, 4), "needs Python 3.11 or newer; this is 3.10"), ((3, 11, 0), None), ((4, 0, 0), None)],
)
def test_an_older_python_is_told_what_is_needed(version, said):
    why = install.refusal(version, install.FOLDER)
    assert (why is None) if said is None else (said in why)


def test_it_stays_in_its_own_folder(tmp_path):
    assert "isn't archgen's own folder" in install.refusal((3, 12), tmp_path)


@pytest.mark.parametrize(
    ("platform", "name", "program"),
    [
        ("darwin", "Open archgen.command", "'/a b/.venv/bin/archgen' desk"),
        ("linux", "Open archgen.sh", "'/a b/.venv/bin/archgen' desk"),
        ("win32", "Open archgen.bat", 'archgen.exe" desk'),
    ],
)
def test_a_double_click_opens_the_desk(platform, name, program):
    found, text = install.launcher(install.Path("/a b"), platform)
    assert found == name
    assert program in text


@pytest.mark.skipif(os.name == "nt", reason="runs the file of macOS and Linux")
def test_the_file_for_the_double_click_runs(tmp_path):
    folder = tmp_path / "it's here"
    program = folder / ".venv" / "bin" / "archgen"
    program.parent.mkdir(parents=True)
    program.write_text('#!/bin/sh\necho "$1 in $PWD"\n')
    program.chmod(0o755)
    name = install.write_launcher(folder, sys.platform)
    home = {"HOME": str(tmp_path), "PATH": os.environ["PATH"]}
    ran = subprocess.run([str(folder / name)], capture_output=True, text=True, check=True, env=home)
    assert ran.stdout.strip() == f"desk in {tmp_path}"


def test_times_are_written_as_they_are_spoken():
    assert [install.spoken(seconds) for seconds in (0.4, 59, 60, 134)] == ["0 s", "59 s", "1 min 0 s", "2 min 14 s"]
