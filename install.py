"""Set archgen up in the folder this file lies in: ``python3 install.py``, on Windows ``py install.py``.

Says before it begins how long it takes, and at every step what it does. Makes .venv, fetches what archgen needs, and
writes a file to open the desk with by a double click. Run it again after an update: it goes on from what is there.
Needs nothing but Python 3.11, and runs on an older one far enough to say so.
"""

import argparse
import os
import re
import subprocess
import sys
import threading
import time
from pathlib import Path

OLDEST = (3, 11)
FOLDER = Path(__file__).resolve().parent
LAUNCHER = "Open archgen"
_COLLECTING = re.compile(r"^Collecting ([A-Za-z0-9._-]+)")
_SIZE = re.compile(r"^\s*(?:Downloading|Using cached) (\S+?)-[^-]*(?:-.*)? \(([\d.]+ [kMG]?B)\)")
_PREPARING = re.compile(r"^\s*(?:Processing|Installing build|Getting requirements|Preparing metadata|Building wheel)")
_UNPACKING = re.compile(r"^Installing collected packages: (.*)")
# Seconds between two signs of life where the line can't be written over.
_PAUSE = 10.0


class Steps:
    """What stands on the screen: one line a step, with what is being done."""

    def __init__(self, out=sys.stdout, clock=time.monotonic):
        self.out, self.clock = out, clock
        self.began = self.step_began = clock()
        self.last, self.said = "", -_PAUSE
        self.over = out.isatty()

    def begin(self, words):
        """Begin a step."""
        self.step_began, self.last = self.clock(), ""
        self.out.write(f"{words}\n")
        self.out.flush()

    def doing(self, words):
        """Say what is being done right now; on a terminal over the line before, else now and then."""
        now = self.clock()
        if words == self.last or (not self.over and now - self.said < _PAUSE):
            return
        self.last, self.said = words, now
        self.out.write(f"\r   {words:<70}"[:78] if self.over else f"   {words}\n")
        self.out.flush()

    def done(self):
        """End a step with the time it took."""
        words = f"   done in {spoken(self.clock() - self.step_began)}"
        self.out.write(f"\r{words:<78}\n" if self.over else f"{words}\n")
        self.out.flush()


def say(words, out=None):
    """Write a line."""
    (out or sys.stdout).write(f"{words}\n")


def spoken(seconds):
    """Say a time: "8 s", "2 min 5 s"."""
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"


class Fetching:
    """Follows what the installer prints: what is fetched, and how far the unpacking is."""

    def __init__(self, steps, packages_folder):
        self.steps, self.folder = steps, packages_folder
        self.fetched, self.all, self.before = 0, 0, 0
        self.ended = threading.Event()
        self.tail = []

    def take(self, line):
        """Take one line of the installer."""
        self.tail = [*self.tail[-20:], line.rstrip()]
        if match := _COLLECTING.match(line):
            self.fetched += 1
            self.steps.doing(f"fetching {match[1]}, number {self.fetched}")
        elif match := _SIZE.match(line):
            self.steps.doing(f"fetching {match[1].replace('_', '-')}, {match[2]}, number {self.fetched}")
        elif match := _UNPACKING.match(line):
            self.all, self.before = len(match[1].split(",")), self.unpacked()
            threading.Thread(target=self.watch, daemon=True).start()
        elif _PREPARING.match(line) and not self.all:
            self.steps.doing("preparing archgen itself")

    def unpacked(self):
        """Count what is unpacked."""
        return sum(1 for _ in self.folder.glob("*.dist-info")) if self.folder.is_dir() else 0

    def watch(self):
        """Say how many are unpacked while nothing is printed."""
        while not self.ended.wait(1.0):
            done = min(max(self.unpacked() - self.before, 0), self.all)
            self.steps.doing(f"unpacking {done} of {self.all}")

    def why(self):
        """Give the installer's own last word on what went wrong."""
        errors = [line for line in self.tail if line.startswith("ERROR:")]
        return (errors or self.tail or ["no reason was given"])[-1]


def place(folder, name, is_windows):
    """Give a program in .venv."""
    return folder / ".venv" / ("Scripts" if is_windows else "bin") / (f"{name}.exe" if is_windows else name)


def launcher(folder, platform):
    """Give the name and the text of the file that opens the desk by a double click."""
    program = place(folder, "archgen", platform == "win32")
    if platform == "win32":
        return f"{LAUNCHER}.bat", f'@echo off\r\ncd /d "%USERPROFILE%"\r\n"{program}" desk\r\nif errorlevel 1 pause\r\n'
    quoted = "'" + str(program).replace("'", "'\\''") + "'"
    return (
        f"{LAUNCHER}{'.command' if platform == 'darwin' else '.sh'}",
        f'#!/bin/sh\ncd "$HOME" && exec {quoted} desk\n',
    )


def write_launcher(folder, platform):
    """Write that file and give its name."""
    name, text = launcher(folder, platform)
    path = folder / name
    path.write_bytes(text.encode())
    if platform != "win32":
        path.chmod(0o755)
    return name


def refusal(version, folder):
    """Say why it can't begin; None when it can."""
    if tuple(version[:2]) < OLDEST:
        return f"archgen needs Python 3.11 or newer; this is {version[0]}.{version[1]}. Get a newer one and try again."
    if not (folder / "pyproject.toml").is_file():
        return f"{folder} isn't archgen's own folder. Leave install.py beside pyproject.toml."
    return None


def make_room(folder):
    """Make .venv; give why not, when it can't be made."""
    made = subprocess.run(  # noqa: S603 - our own words
        [sys.executable, "-m", "venv", str(folder / ".venv")], capture_output=True, text=True, check=False
    )
    if made.returncode == 0:
        return None
    told = (made.stdout + made.stderr).strip()
    if "ensurepip" in told:
        return "Python came without its installer. On Debian and Ubuntu: sudo apt install python3-venv, then try again."
    return f".venv can't be made: {told.splitlines()[-1] if told else 'no reason was given'}"


def fetch(folder, steps, command=None):
    """Fetch and unpack; give why not, when it fails."""
    is_windows = os.name == "nt"
    python = place(folder, "python", is_windows)
    library = folder / ".venv" / "Lib" if is_windows else next((folder / ".venv" / "lib").glob("python3*"))
    following = Fetching(steps, library / "site-packages")
    command = command or [
        str(python), "-m", "pip", "install", "--disable-pip-version-check", "--progress-bar", "off", str(folder),
    ]  # fmt: skip
    try:
        with subprocess.Popen(  # noqa: S603 - our own words
            command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, encoding="utf-8", errors="replace"
        ) as running:
            for line in running.stdout:
                following.take(line)
    finally:
        following.ended.set()
    return f"Fetching failed. {following.why()}" if running.returncode else None


def main(arguments=None):
    """Set everything up; give the exit code."""
    options = argparse.ArgumentParser(description="Set archgen up in this folder.")
    options.parse_args(arguments)
    why = refusal(sys.version_info, FOLDER)
    if why:
        say(why, sys.stderr)
        return 2
    steps = Steps()
    say("Setting archgen up in this folder. It takes two to five minutes and fetches about 150 MB.")
    for words, step in (
        ("1 of 2  Making room for it in .venv", lambda: make_room(FOLDER)),
        ("2 of 2  Fetching and unpacking what it needs", lambda: fetch(FOLDER, steps)),
    ):
        steps.begin(words)
        why = step()
        if why:
            say(f"\n{why}", sys.stderr)
            return 1
        steps.done()
    name = write_launcher(FOLDER, sys.platform)
    program = place(Path(), "archgen", os.name == "nt")
    say(f'\nReady after {spoken(steps.clock() - steps.began)}. A double click on "{name}" opens your archive, or type:')
    say(f"  {program} desk --archive {'%USERPROFILE%' if os.name == 'nt' else '~'}{os.sep}tattoo-archive")
    say(f"  {program} build      builds the demo, to look around")
    return 0


if __name__ == "__main__":
    sys.exit(main())
