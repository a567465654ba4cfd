"""archgen ruler: the page, and what it measured written into archive.toml."""

import tomllib

import pytest

from tests.cli.archive import SETTINGS


def settings(terminal):
    return tomllib.loads((terminal.root / "archive.toml").read_text())["printer"]


def test_the_page_is_written_for_the_default_printer(terminal):
    ran = terminal.run("ruler")
    assert [path.name for path in terminal.written] == ["ruler-default.pdf"]
    assert str(terminal.written[0]) in ran.out


def test_the_page_of_another_printer_on_other_paper(terminal):
    assert terminal.run("ruler", "--printer", "thermal", "--paper", "Letter", "--out", "r.pdf").code == 0


def test_what_was_measured_is_written_with_comments_and_order_kept(terminal):
    ran = terminal.run("ruler", "--measured", "99.1", "100.3", "--yes")
    assert 'measured_x = "99.1 mm"   (was "99.4 mm")' in ran.out
    assert 'measured_y = "100.3 mm"   (new)' in ran.out
    expected = SETTINGS.replace('"99.4 mm"', '"99.1 mm"').replace(
        "dpi        = 600\n", 'dpi        = 600\nmeasured_y = "100.3 mm"\n'
    )
    assert (terminal.root / "archive.toml").read_text() == expected


def test_a_named_printer_gets_its_own_lines(terminal):
    terminal.run("ruler", "--measured", "99,1", "100.3mm", "--printer", "thermal", "--yes")
    assert settings(terminal)["thermal"]["measured_x"] == "99.1 mm"
    assert settings(terminal)["measured_x"] == "99.4 mm"


def test_a_print_is_corrected_by_it(terminal):
    terminal.run("ruler", "--measured", "98", "102", "--yes")
    assert "corrected by +2.0% across and -2.0% along" in terminal.run("reprint", "owl", "--plan").out


def test_without_archive_toml_one_is_made(terminal):
    (terminal.root / "archive.toml").unlink()
    assert terminal.run("ruler", "--measured", "99.1", "100.3", "--yes").code == 0
    assert settings(terminal)["measured_y"] == "100.3 mm"


@pytest.mark.parametrize(("answer", "code", "x"), [("y\n", 0, "99.1 mm"), ("n\n", 130, "99.4 mm")])
def test_it_asks_before_it_writes(terminal, monkeypatch, answer, code, x):
    monkeypatch.setattr("click.termui.visible_prompt_func", lambda _prompt: answer.strip())
    ran = terminal.run("ruler", "--measured", "99.1", "100.3")
    assert ran.code == code
    assert settings(terminal)["measured_x"] == x


@pytest.mark.parametrize(
    ("code", "words", "said"),
    [
        (2, ("--measured", "94", "100"), "actual size"),
        (2, ("--measured", "100", "106"), "along the paper"),
        (2, ("--measured", "3.9", "3.9"), "Measure in millimetres"),
        (2, ("--measured", "x", "100"), "type what the rule measured"),
        (2, ("--measured", "0", "100"), "type what the rule measured"),
        (2, ("--printer", "thermos"), 'Nearest: "thermal"'),
        (2, ("--paper", "A9"), "cannot be used"),
        (3, ("--paper", "A6"), "too small"),
    ],
)
def test_what_cannot_be_is_said_in_one_line_and_nothing_is_written(terminal, code, words, said):
    assert said in terminal.refused(code, "ruler", *words)
    assert terminal.written == []
    assert (terminal.root / "archive.toml").read_text() == SETTINGS
