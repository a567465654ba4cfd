"""archgen start, and which archive a command works on when nobody names one."""

import pytest

from archgen.config import read_config
from archgen.records import which_archive
from archgen.storage.remembered import remembered_archive
from tests.cli.archive import Terminal, draw_f


@pytest.fixture
def shell(tmp_path, monkeypatch, capsys):
    """Give a terminal in an empty folder."""
    (tmp_path / "elsewhere").mkdir()
    monkeypatch.chdir(tmp_path / "elsewhere")
    return Terminal(tmp_path / "studio", monkeypatch, capsys)


def archive_at(folder):
    (folder / "pieces").mkdir(parents=True)
    return folder


def test_start_makes_an_archive_that_can_be_built_and_is_used_from_anywhere(shell, tmp_path):
    assert shell.run("start", shell.root, "--yes").code == 0
    assert remembered_archive() == shell.root
    ran = shell.run("build")
    assert ran.code == 0, ran.err
    assert f"Archive: {shell.root} (remembered" in ran.err
    assert (tmp_path / "studio-built" / "archive" / "index.html").is_file()


def test_answers_are_written_and_skipped_ones_stay_remarks(shell, monkeypatch):
    said = iter(["Working drawings", "Ida Fenn", "letter", "therm", "", "gbp"])
    monkeypatch.setattr("click.prompt", lambda *_args, **_more: next(said))
    assert shell.run("start", shell.root).code == 0
    config = read_config(shell.root)
    assert (config.archive.title, config.archive.units) == ("Working drawings", "mm")
    assert (config.portfolio.artist, config.portfolio.currency) == ("Ida Fenn", "GBP")
    assert (config.printer.paper, config.printer.method) == ("Letter", "thermal")
    assert '# units = "mm"' in (shell.root / "archive.toml").read_text()


def test_a_wrong_answer_is_asked_again(shell, monkeypatch):
    said = iter(["", "", "napkin", "A5", "laser", "ink", "feet", "in", "pounds", ""])
    monkeypatch.setattr("click.prompt", lambda *_args, **_more: next(said))
    assert shell.run("start", shell.root).code == 0
    config = read_config(shell.root)
    assert (config.printer.paper, config.printer.method, config.archive.units) == ("A5", "ink-jet", "in")
    assert config.archive.title == "Studio"
    assert config.portfolio.currency is None


def test_quotes_and_backslashes_in_a_name_are_kept(shell, monkeypatch):
    said = iter(["", 'Ida "Ink" \\ Fenn', "", "", "", ""])
    monkeypatch.setattr("click.prompt", lambda *_args, **_more: next(said))
    shell.run("start", shell.root)
    assert read_config(shell.root).portfolio.artist == 'Ida "Ink" \\ Fenn'


def test_an_archive_that_is_there_is_remembered_and_left_alone(shell):
    archive_at(shell.root)
    (shell.root / "archive.toml").write_text("# mine\n")
    assert shell.run("start", shell.root, "--yes").code == 0
    assert (shell.root / "archive.toml").read_text() == "# mine\n"
    assert remembered_archive() == shell.root


def test_pieces_that_are_there_stay(shell):
    archive_at(shell.root)
    (shell.root / "pieces" / "owl").mkdir()
    shell.run("start", shell.root, "--yes")
    assert (shell.root / "pieces" / "owl").is_dir()


def test_a_file_is_not_made_into_an_archive(shell):
    shell.root.write_text("a letter")
    assert "is a file" in shell.refused(2, "start", shell.root, "--yes")
    assert shell.root.read_text() == "a letter"


def test_where_nothing_can_be_remembered_the_archive_is_made_all_the_same(shell, monkeypatch):
    def full(_root):
        raise OSError

    monkeypatch.setattr("archgen.storage.remembered.remember_archive", full)
    ran = shell.run("start", shell.root, "--yes")
    assert ran.code == 0
    assert "--archive" in ran.err


def test_the_order_of_choice(tmp_path, monkeypatch, shell):
    def root():
        return which_archive.choose_archive(None).root

    shell.run("start", shell.root, "--yes")
    assert root() == shell.root
    (demo := archive_at(tmp_path / "elsewhere" / "content")).joinpath(".demo").touch()
    assert root() == shell.root, "the demo comes after the one remembered"
    demo.joinpath(".demo").unlink()
    assert root() == which_archive.Path("content")
    archive_at(tmp_path / "elsewhere" / "here")
    monkeypatch.chdir(tmp_path / "elsewhere" / "here")
    assert root() == which_archive.Path()
    monkeypatch.setenv("ARCHGEN_ARCHIVE", str(tmp_path / "by-variable"))
    assert root() == tmp_path / "by-variable"
    assert which_archive.choose_archive(tmp_path / "named").root == tmp_path / "named"


def test_the_demo_is_called_the_demo(terminal):
    assert "the demo" not in terminal.run("audit").err
    (terminal.root / ".demo").touch()
    assert "Archive: the demo, content" in terminal.run("audit").err


def test_results_of_an_archive_lie_beside_it_and_those_of_content_in_build(tmp_path):
    assert which_archive.results_folder(tmp_path / "studio") == tmp_path / "studio-built"
    assert which_archive.results_folder(which_archive.Path("content")) == which_archive.Path("build")


def test_a_picture_of_ones_own_is_not_printed_with_the_demos_calibration(terminal, tmp_path):
    own = draw_f(tmp_path / "own.png")
    corrected = terminal.run("reprint", "--image", own, "--width", "50mm", "--plan").out
    (terminal.root / ".demo").touch()
    plain = terminal.run("reprint", "--image", own, "--width", "50mm", "--plan").out
    assert "not calibrated" in plain
    assert "corrected by" in corrected
