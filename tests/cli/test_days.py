"""On another day an archive in which nothing changed is built again only when something would come out otherwise."""

import datetime as dt
import json

import pytest

from archgen.storage import last_build, tree_state
from tests.cli.full_archive import draw, run, tree, write, write_archive

BUILT = dt.date(2026, 11, 30)
# The registered bottle of black is past its date the day after; before, only lines that name the day differ.
LAST = dt.date(2026, 12, 9)
DATED = {"archive/data/now.css", "archive/follow-up.ics", "archive/removals.txt", "archive/doubles.html"}


def at(day, monkeypatch):
    noon = dt.datetime(day.year, day.month, day.day, 12, tzinfo=dt.UTC)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", str(int(noon.timestamp())))


@pytest.fixture
def root(tmp_path, monkeypatch):
    """Give an archive with something due, something withdrawn and two pictures that look the same."""
    monkeypatch.setattr(tree_state, "GRAIN_NS", 0)
    root = write_archive(tmp_path / "content")
    inks = (root / "inks.toml").read_text().replace("2027-08-01", LAST.isoformat())
    write(root, "inks.toml", inks)
    draw(root, "pieces/2026-11-01-fern/photos/fern.jpg", 220)
    write(root, "pieces/2026-11-01-fern/piece.toml", 'title = "Fern"\nfinished = 2026-11-01\n')
    withdrawn = 'title = "Leaf"\npublish = true\n[release]\nstatus = "withdrawn"\nwithdrawn = 2026-11-02\n'
    write(root, "pieces/2026-11-02-leaf/piece.toml", withdrawn)
    return root


def test_until_something_turns_a_new_day_writes_only_the_lines_that_name_it(root, tmp_path, monkeypatch, capsys):
    def build(day, out="out"):
        at(day, monkeypatch)
        return run(monkeypatch, "build", "--archive", root, "--out", tmp_path / out)

    def built_on():
        return json.loads((tmp_path / "out/cache/last-build.json").read_bytes()[32:])

    code = build(BUILT)
    first, kept = tree(tmp_path / "out"), built_on()
    assert (kept["day"], kept["last_day"]) == (BUILT.isoformat(), LAST.isoformat())
    capsys.readouterr()
    with monkeypatch.context() as patched:
        patched.setattr("archgen.build.build", None)  # nothing is built
        assert build(LAST) == code
        assert build(LAST) == code
        assert "Nothing changed" in capsys.readouterr().out
    later = tree(tmp_path / "out")
    assert {path for path in later if later[path] != first[path]} == DATED
    build(LAST, "clean")
    assert later == tree(tmp_path / "clean")
    build(LAST + dt.timedelta(1))
    assert tree(tmp_path / "out") != later
    assert built_on()["first_day"] == (LAST + dt.timedelta(1)).isoformat()


def test_where_the_day_cannot_be_written_everything_is_built(root, tmp_path, monkeypatch, capsys):
    at(BUILT, monkeypatch)
    run(monkeypatch, "build", "--archive", root, "--out", tmp_path / "out")

    def fail(*_):
        raise OSError

    monkeypatch.setattr("archgen.outputs.dated.put_plain", fail)
    at(LAST, monkeypatch)
    run(monkeypatch, "build", "--archive", root, "--out", tmp_path / "out")
    assert "Nothing changed" not in capsys.readouterr().out
    kept = last_build.recall(tmp_path / "out", root, LAST.isoformat())
    assert kept.day == LAST.isoformat()
    assert LAST.strftime("%Y") in (tmp_path / "out/archive/data/now.css").read_text()
