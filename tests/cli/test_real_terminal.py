"""The program on a terminal of its own (a pseudo-terminal): what reaches it, the line of progress, Ctrl+C."""

import os
import re
import select
import signal
import subprocess
import sys
import time

import pytest

from tests.cli.full_archive import draw, write, write_archive

pty = pytest.importorskip("pty", reason="Windows has no pseudo-terminals")

# A colour of its own, the title of the window, a question the terminal answers, a C1 command, the direction of writing.
EVIL = "\x1b[38;5;123m\x1b]0;owned\x07\x1b[6n\x9b2J\u202efur\u2066"
WRITTEN = "".join(f"\\u{ord(one):04x}" if not one.isprintable() else one for one in EVIL)
# What the line of progress is drawn with: colours, the cursor hidden and shown, a line up, a line cleared.
_OURS = re.compile("\x1b\\[(?:[0-9;]*m|\\?25[lh]|\\d*A|2?K)|\r")
_UNSEEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]")


class Session:
    """A process on a terminal, and all that it has written there."""

    def __init__(self, *words, cwd):
        self.child, self._terminal = pty.fork()
        if self.child == 0:
            signal.signal(signal.SIGINT, signal.SIG_DFL)
            os.chdir(cwd)
            environment = os.environ | {"TERM": "xterm-256color", "COLUMNS": "100", "LINES": "40"}
            os.execve(sys.executable, [sys.executable, "-m", "archgen", *words], environment)  # noqa: S606
        self.said, self.code = b"", None

    def wait(self, until=None, seconds=60):
        """Read until something is said, or to the end; False when it ended, or did not come in time."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            if until and until in self.said:
                return True
            if select.select([self._terminal], [], [], 0.05)[0]:
                try:
                    more = os.read(self._terminal, 65536)
                except OSError:
                    more = b""
                if not more:
                    break
                self.said += more
        os.close(self._terminal)
        self.code = os.waitstatus_to_exitcode(os.waitpid(self.child, 0)[1])
        return False

    def press(self, keys):
        """Type."""
        os.write(self._terminal, keys)

    @property
    def text(self):
        return self.said.decode()


@pytest.fixture
def archive(tmp_path):
    root = write_archive(tmp_path / "content")
    write(root, "pieces/2026-07-01-fox/piece.toml", f'title = "Fox {WRITTEN}"\nclient = "{WRITTEN}"\nsoon = 1\n')
    (root / f"pieces/evil{EVIL.replace('/', '')}").mkdir()
    return root


def check_harmless(session):
    assert session.code in (0, 1), session.text
    assert EVIL[:11] not in session.text
    assert _UNSEEN.findall(_OURS.sub("", session.text)) == []


@pytest.mark.parametrize("words", [("audit",), ("trace", f"zqpriv-lot-3{EVIL}"), ("leaks", "content")])
def test_only_our_own_line_of_progress_commands_a_terminal(archive, words):
    session = Session(*words, cwd=archive.parent)
    session.wait()
    check_harmless(session)


def test_progress_is_one_line_on_a_terminal_and_none_elsewhere(archive):
    session = Session("build", cwd=archive.parent)
    session.wait()
    check_harmless(session)
    assert "Reading pictures" in session.text
    assert session.text.rfind("\x1b[?25h") > session.text.rfind("\x1b[?25l") >= 0
    command = [sys.executable, "-m", "archgen", "build", "--out", "other"]
    piped = subprocess.run(command, cwd=archive.parent, capture_output=True, text=True, check=False)
    assert "Reading pictures" not in piped.stdout + piped.stderr
    assert "\x1b" not in piped.stdout + piped.stderr


def test_control_c_ends_at_once_and_leaves_the_terminal_and_the_folders_clean(archive):
    for number in range(30):
        draw(archive, f"pieces/2026-05-05-moth/photos/more-{number}.webp", number * 8)
    first = Session("build", cwd=archive.parent)
    first.wait()
    (archive / "pieces/2026-05-05-moth/piece.toml").write_text('title = "Moth again"\n')
    for number in range(30):
        draw(archive, f"pieces/2026-05-05-moth/photos/again-{number}.webp", number * 8 + 3)
    session = Session("build", cwd=archive.parent)
    assert session.wait(b"Reading pictures")
    session.press(b"\x03")
    began = time.monotonic()
    session.wait()
    assert (session.code, "Traceback" in session.text) == (130, False), session.text
    assert "Nothing half-done is left behind." in session.text
    assert time.monotonic() - began < 20
    assert session.text.rfind("\x1b[?25h") > session.text.rfind("\x1b[?25l")
    built = next(folder for folder in archive.parent.iterdir() if (folder / "archive/index.html").is_file())
    assert "Moth again" not in (built / "archive/index.html").read_text()
    last = Session("build", cwd=archive.parent)
    last.wait()
    assert last.code == first.code
    assert "Moth again" in (built / "archive/index.html").read_text()
