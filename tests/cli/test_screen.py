"""Nothing that a record, a file or a name says reaches the terminal as a command; tried with every command."""

import json
import sys
from io import StringIO

import pytest
from rich.text import Text

from archgen import cli
from archgen.commands.texts import screen
from archgen.commands.texts.screen import VisibleStream, new_console, visible
from tests.cli.archive import Terminal, add_piece, draw_f

# Colours, the title of the window, a C1 command, a return that writes over the line, the direction of writing.
EVIL = "\x1b[31m\x1b]0;owned\x07\x9b2J\r\u202efur\u2066[bold red]:skull:"
WRITTEN = "".join(f"\\u{ord(one):04x}" if not one.isprintable() else one for one in EVIL)
COMMANDING = set("\x1b\x07\x9b\r\u202e\u2066")
RECORD = f"""title = "Owl {WRITTEN}"
publish = true
client = "C-1{WRITTEN}"
styles = ["{WRITTEN}"]
[placement]
region = "{WRITTEN}"
[[sitting]]
date = 2026-01-01
note = "{WRITTEN}"
[[needle]]
code = "{WRITTEN}"
batch = "N-1{WRITTEN}"
[[reference]]
file = "references/field.png"
creator = "{WRITTEN}"
license = "{WRITTEN}"
[[stencil]]
file = "stencils/owl.png"
version = 1
width = "40 mm"
note = "{WRITTEN}"
applied = true
[{json.dumps(EVIL[:5])}]
"""


@pytest.fixture(scope="module")
def hostile(tmp_path_factory):
    root = tmp_path_factory.mktemp("hostile") / "content"
    owl = add_piece(root, "2026-01-01-owl", RECORD, "owl.png")
    draw_f(owl / "references/field.png")
    draw_f(owl / f"photos/a{EVIL[:9].replace('/', '')}.png")
    (root / f"pieces/b{EVIL[4:9].replace('/', '')}").mkdir()
    (root / "archive.toml").write_text(f'[archive]\ntitle = "{WRITTEN}"\n[printer."{WRITTEN}"]\nmethod = "thermal"\n')
    (root / "inks.toml").write_text(f'[[batch]]\nbatch = "N-1{WRITTEN}"\nname = "{WRITTEN}"\nrecalled = 2026-02-02\n')
    (root / "table.csv").write_text(f"piece,{EVIL[:5]},title\n{EVIL[:5]},x,y\n")
    return root


@pytest.mark.parametrize("words", [
    ["audit"], ["audit", "--format", "json"], ["build", "--out", "out"], ["build", "--out", "out", "--jobs", "1"],
    ["trace", f"N-1{EVIL}"], ["trace", "--recalled"], ["gauge", "owl"], ["reprint", "owl", "--plan"],
    ["reprint", EVIL], ["reprint", "owl", "--width", EVIL], ["reprint", "--image", EVIL, "--width", "5mm"],
    ["reprint", "owl", "--printer", EVIL], ["ruler", "--printer", EVIL], ["twins"], ["twins", "--images", "content"],
    ["twins", "--images", "content", "--format", "jsonl"], ["leaks", "content"], ["undo"], ["undo", "--list"],
    ["intake", "content/pieces"], ["intake", "--table", "content/table.csv"], ["start", "content"], ["desk", EVIL],
    [EVIL], ["audit", f"--{EVIL}"], ["audit", "--archive", EVIL],
])  # fmt: skip
def test_no_command_lets_anything_through(hostile, monkeypatch, capsys, words):
    monkeypatch.chdir(hostile.parent)
    ran = Terminal(hostile, monkeypatch, capsys).run(*words)
    assert ran.code != 70, ran.err
    assert COMMANDING.isdisjoint(ran.out + ran.err), repr(ran.out + ran.err)


def test_colours_of_our_own_reach_the_terminal_and_those_of_a_record_do_not(monkeypatch):
    monkeypatch.setenv("FORCE_COLOR", "1")
    stream = StringIO()
    monkeypatch.setattr(sys, "stdout", VisibleStream(stream))
    new_console().print(Text("bold\x1b[31m", "bold"))
    assert stream.getvalue() == "\x1b[1mbold\\u001b[31m\x1b[0m\n"


def test_nothing_is_markup():
    with (console := new_console()).capture() as said:
        console.print("[bold]owl[/bold] :skull:")
    assert said.get() == "[bold]owl[/bold] :skull:\n"


def test_json_stays_the_same_text():
    text = "\x1b\x9b\u202e\ud83d"
    assert json.loads(visible(json.dumps(text, ensure_ascii=False))) == text


def test_lines_and_tables_stay_as_they_are():
    assert visible("a\tb\r\nc\nd é 猫") == "a\tb\r\nc\nd é 猫"


def test_the_streams_are_put_back(monkeypatch):
    before = sys.stdout, sys.stderr
    monkeypatch.setattr(cli, "_run", lambda: None)
    cli.main()
    assert (sys.stdout, sys.stderr) == before
    with screen.printing_visibly():
        assert sys.stdout.own is before[0]
