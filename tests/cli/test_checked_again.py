"""What a check found is said again while nothing changed, and never when anything did."""

import datetime as dt
import shutil

import pytest

from archgen.errors import ExitCode
from archgen.storage import tree_state
from archgen.storage.build_folder import MARKER
from tests.cli.full_archive import draw, run, write, write_archive

OWL = "pieces/2026-03-14-barn-owl"
QUESTIONS = (("audit",), ("audit", "--format", "json"), ("twins",), ("twins", "--format", "jsonl"))
EXPIRES = dt.date(2026, 12, 9)


@pytest.fixture
def studio(tmp_path, monkeypatch, capsys):
    """Give an archive with a build folder, and what asks about it."""
    monkeypatch.setattr(tree_state, "GRAIN_NS", 0)  # all was written just now
    monkeypatch.setenv("SOURCE_DATE_EPOCH", str(int(dt.datetime(2026, 11, 30, 12, tzinfo=dt.UTC).timestamp())))
    root, out = write_archive(tmp_path / "content"), tmp_path / "out"
    record = (root / f"{OWL}/piece.toml").read_text()
    write(root, f"{OWL}/piece.toml", record.replace("2031-01-01", EXPIRES.isoformat()))
    for name in ("fern", "leaf"):
        write(root, f"pieces/{name}/piece.toml", f'title = "{name.capitalize()}"\n')
        draw(root, f"pieces/{name}/photos/a.jpg", 220)
    write(out, MARKER, "")

    def ask(*words, place=out):
        code = run(monkeypatch, *words, "--archive", root, "--out", place)
        return code, capsys.readouterr().out

    return root, out, ask


@pytest.mark.parametrize("question", QUESTIONS, ids=" ".join)
def test_nothing_is_checked_again_while_nothing_changed(studio, monkeypatch, question):
    _, out, ask = studio
    first = ask(*question)
    assert "fern" in first[1].lower()
    monkeypatch.setattr("archgen.build.audit_archive", None)
    assert ask(*question) == first
    assert ask(*question, place=out.with_name("other"))[0] == ExitCode.BUG


def change_a_record(root):
    write(root, f"{OWL}/piece.toml", (root / f"{OWL}/piece.toml").read_text().replace("CC-BY-4.0", "CC-BY-ND-4.0"))


@pytest.mark.parametrize(
    "change",
    [
        change_a_record,
        lambda root: write(root, "pieces/new/piece.toml", 'title = "New"\npublish = true\n'),
        lambda root: shutil.rmtree(root / "pieces/fern"),
        lambda root: draw(root, "pieces/fern/photos/a.jpg", 30),
        lambda root: write(root, "clients.toml", '[[client]]\ncode = "C-2"\n'),
        lambda root: write(root, "archive.toml", "[limits]\nstroke = 5\n"),
    ],
)
def test_whatever_changes_is_seen(studio, tmp_path, change):
    root, _, ask = studio
    before = [ask(*question) for question in QUESTIONS]
    change(root)
    after = [ask(*question) for question in QUESTIONS]
    assert after != before
    assert after == [ask(*question, place=tmp_path / "none") for question in QUESTIONS]


@pytest.mark.parametrize(("days", "is_same"), [(-1, True), (0, True), (1, False)])
def test_the_day_counts_as_soon_as_it_changes_something(studio, tmp_path, monkeypatch, days, is_same):
    _, _, ask = studio
    before = ask("audit")
    day = EXPIRES + dt.timedelta(days)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", str(int(dt.datetime.combine(day, dt.time(12), dt.UTC).timestamp())))
    assert (ask("audit") == before) == is_same
    assert ask("audit") == ask("audit", place=tmp_path / "none")


@pytest.mark.parametrize("content", [b"", b"{}", None])
def test_a_damaged_memory_is_none(studio, content):
    _, out, ask = studio
    first = ask("audit")
    kept = out / "cache/checked.json"
    kept.write_bytes(kept.read_bytes().replace(b"Add ", b"Say ") if content is None else content)
    assert ask("audit") == first


def test_what_may_go_right_by_itself_is_looked_at_again(studio, monkeypatch):
    root, out, ask = studio
    (root / "pieces/fern/photos/a.jpg").unlink()
    write(root, "pieces/fern/piece.toml", 'title = "Fern"\n[[photo]]\nfile = "photos/a.jpg"\n')
    (root / "pieces/fern/photos/a.jpg").mkdir()
    ask("audit")
    assert (out / "cache/checked.json").is_file()
    (out / "cache/checked.json").unlink()
    monkeypatch.setattr("archgen.reading.checked.may_go_right", lambda finding: finding.piece == "fern")
    ask("audit")
    assert not (out / "cache/checked.json").exists()
