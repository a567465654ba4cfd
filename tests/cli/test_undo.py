"""archgen undo, as typed: every command that writes can be taken back."""

import datetime as dt
import shutil
from pathlib import Path

import pytest

from archgen.writing.change import Change, new_copy, new_text
from archgen.writing.changes import KEPT, carry_out
from tests.cli.archive import SETTINGS

PIECE = "pieces/2026-05-01-moth"


@pytest.fixture
def out():
    return Path("build") / KEPT  # below the folder one stands in


def whole(root):
    return {path: path.read_bytes() for path in root.rglob("*") if path.is_file()}


def file_a_piece(root, out):
    picture = new_copy(f"{PIECE}/stencils/owl.png", root / "pieces/2026-03-14-barn-owl/stencils/owl-1.png")
    carry_out(
        root, out, Change("Moth filed", (picture, new_text(f"{PIECE}/piece.toml", "title = 'Moth'\n")), (), PIECE)
    )


def test_what_will_go_is_shown_and_asked_about_first(terminal, out, monkeypatch):
    before = whole(terminal.root)
    file_a_piece(terminal.root, out)
    after = whole(terminal.root)
    monkeypatch.setattr("click.termui.visible_prompt_func", lambda _prompt: "n")
    ran = terminal.run("undo")
    assert "Moth filed" in ran.out
    assert f"  {PIECE}/piece.toml" in ran.out
    assert "Nothing was changed." in ran.out
    assert whole(terminal.root) == after
    monkeypatch.setattr("click.termui.visible_prompt_func", lambda _prompt: "y")
    assert "Taken back." in terminal.run("undo").out
    assert whole(terminal.root) == before


@pytest.mark.parametrize(
    "command",
    [
        ("ruler", "--measured", "99.1", "100.3", "--yes"),
        (
            "twins",
            "--same",
            "pieces/2026-03-14-barn-owl/stencils/owl-1.png",
            "pieces/2026-03-14-barn-owl/stencils/owl-2.png",
        ),
    ],
    ids=lambda command: command[0],
)
def test_what_a_command_wrote_is_taken_back(terminal, command):
    before = whole(terminal.root)
    assert terminal.run(*command).code == 0
    assert whole(terminal.root) != before
    ran = terminal.run("undo", "--yes")
    assert ran.code == 0, ran.err
    assert whole(terminal.root) == before


def test_the_lines_that_change_are_shown(terminal):
    terminal.run("ruler", "--measured", "99.1", "100.3", "--yes")
    shown = terminal.run("undo", "--yes").out.splitlines()
    assert '  - measured_x = "99.1 mm"' in shown
    assert '  + measured_x = "99.4 mm"' in shown
    assert '  - measured_y = "100.3 mm"' in shown
    assert (terminal.root / "archive.toml").read_text() == SETTINGS


def test_past_changes_are_listed_the_last_first_and_one_is_chosen_by_its_number(terminal, out):
    assert "Nothing was changed yet" in terminal.run("undo", "--list").out
    file_a_piece(terminal.root, out)
    terminal.run("ruler", "--measured", "99.1", "100.3", "--yes")
    assert terminal.run("undo", "1", "--yes").code == 0
    *lines, kept = terminal.run("undo", "--list").out.splitlines()
    assert kept.startswith("2 changes kept in ")
    assert [line.split()[0] for line in lines] == ["2", "1"]
    assert "Moth filed  (taken back)" in lines[1]
    assert "taken back" not in lines[0]


def test_what_cannot_be_taken_back_is_said_in_one_line(terminal, out):
    assert "nothing to take back" in terminal.refused(2, "undo")
    file_a_piece(terminal.root, out)
    assert "no change 4" in terminal.refused(2, "undo", "4")
    (terminal.root / PIECE / "piece.toml").write_text("title = 'By hand'\n")
    assert "was changed since" in terminal.run("undo", "--yes").err
    shutil.rmtree(terminal.root / PIECE)
    assert "is gone" in terminal.run("undo", "--yes").err


def test_what_was_interrupted_is_put_right_and_told(terminal, out, monkeypatch):
    monkeypatch.setattr("archgen.writing.changes.put_in_place", lambda *_given: 1 / 0)
    monkeypatch.setattr("archgen.writing.changes._give_up", lambda *_given: None)
    before = whole(terminal.root)
    with pytest.raises(ZeroDivisionError):
        file_a_piece(terminal.root, out)
    ran = terminal.run("undo", "--list")
    assert "“Moth filed” was interrupted and taken back" in ran.err
    assert whole(terminal.root) == before


def test_only_what_is_old_and_not_among_the_last_is_thrown_away_and_only_on_demand(terminal, out, monkeypatch):
    monkeypatch.setattr("archgen.writing.changes.KEPT_LEAST", 1)
    monkeypatch.setattr("archgen.commands.undo.dt", _Later)
    file_a_piece(terminal.root, out)
    terminal.run("undo", "--yes")
    before = whole(terminal.root)
    assert "Nothing to tidy" in terminal.run("undo", "--tidy", "--yes").out
    file_a_piece(terminal.root, out)
    assert "2 changes kept in" in terminal.run("undo", "--list").out
    monkeypatch.setattr("click.termui.visible_prompt_func", lambda _prompt: "n")
    assert "Nothing was changed." in terminal.run("undo", "--tidy").out
    assert len(changes(out)) == 2
    assert "1 change kept in" in terminal.run("undo", "--tidy", "--yes").out
    assert changes(out) == ["000002"]
    assert whole(terminal.root).keys() > before.keys()
    assert "Taken back." in terminal.run("undo", "--yes").out
    assert whole(terminal.root) == before


def changes(out):
    return sorted(path.name for path in (out / "changes").iterdir())


class _Later:
    """The clock half a year later."""

    UTC = dt.UTC

    class datetime:  # noqa: N801 - stands in for the class of that name
        @staticmethod
        def now(zone):
            return dt.datetime.now(zone) + dt.timedelta(days=180)
