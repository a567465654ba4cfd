"""A swap that was stopped anywhere goes on at the next start, also by the rules of Windows."""

import os
from contextlib import suppress
from pathlib import Path

import pytest

from archgen.errors import OutputError
from archgen.storage import staging
from archgen.storage.staging import finish_stopped_swap, output_folder, stage, swap_all
from archgen.storage.swapping import finish_swap, is_half_done

NAMES = ("archive", "portfolio", "reprints", "sheets")


@pytest.fixture
def places(tmp_path):
    (tmp_path / "content" / "pieces").mkdir(parents=True)
    return tmp_path / "build", tmp_path / "content"


def build(out, source, text):
    with output_folder(out, source):
        staged = [stage(out, name) for name in NAMES]
        for folder in staged:
            folder.add("index.html", text.encode())
        return swap_all(out, staged, {".published.json": text.encode()})


def states(out):
    return {path.read_text() for path in (*(out / name / "index.html" for name in NAMES), out / ".published.json")}


class StoppedError(BaseException):
    """The computer goes off."""


def stopping_after(number, monkeypatch):
    """Let so many steps on the disk happen, then none any more."""
    left = [number]

    def counted(whole):
        def step(*args, **options):
            if left[0] == 0:
                raise StoppedError
            left[0] -= 1
            return whole(*args, **options)

        return step

    monkeypatch.setattr(Path, "rename", counted(Path.rename))
    monkeypatch.setattr(Path, "replace", counted(Path.replace))
    monkeypatch.setattr(Path, "unlink", counted(Path.unlink))
    monkeypatch.setattr("shutil.rmtree", counted(__import__("shutil").rmtree))
    monkeypatch.setattr(staging, "repair", lambda _: None)


@pytest.mark.parametrize("number", range(20))
def test_stopped_after_any_step_all_are_of_one_state_at_the_next_start(places, monkeypatch, number):
    out, source = places
    build(out, source, "old")
    with monkeypatch.context() as stopped:
        stopping_after(number, stopped)
        with suppress(StoppedError):
            build(out, source, "new")
            assert number > 16
    finish_stopped_swap(out)
    assert len(states(out)) == 1
    with output_folder(out, source):
        assert len(states(out)) == 1
        assert {path.name for path in out.iterdir()} == {*NAMES, ".published.json", ".archgen", ".lock"}


def test_what_did_not_change_is_not_swapped(places):
    out, source = places
    assert set(build(out, source, "one")) == set(NAMES)
    assert build(out, source, "one") == []
    assert not is_half_done(out)


def test_a_folder_that_is_open_elsewhere_is_swapped_at_the_next_start(places, monkeypatch):
    """Windows refuses to move a folder in which a file is open."""
    out, source = places
    build(out, source, "old")
    whole = Path.rename

    def refused(path, target):
        if path.name == "reprints" and path.parent == out:
            raise PermissionError(13, "in use", str(path))
        return whole(path, target)

    with monkeypatch.context() as opened:
        opened.setattr(Path, "rename", refused)
        with pytest.raises(OutputError):
            build(out, source, "new")
    with output_folder(out, source):
        assert states(out) == {"new"}


def test_nothing_is_renamed_onto_what_is_there(places, monkeypatch):
    """Windows refuses that, too."""
    whole = Path.rename

    def strict(path, target):
        assert not os.path.lexists(target)
        return whole(path, target)

    monkeypatch.setattr(Path, "rename", strict)
    out, source = places
    for text in ("one", "two"):
        build(out, source, text)
    assert states(out) == {"two"}


def test_a_journal_that_is_not_whole_began_nothing(places):
    out, source = places
    build(out, source, "old")
    (out / ".swap").write_bytes(b"[")
    finish_swap(out)
    assert states(out) == {"old"}
    with output_folder(out, source):
        assert not (out / ".swap").exists()
