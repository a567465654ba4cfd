"""What a killed program left in the system's temporary folder."""

import os
import tempfile
import time
from pathlib import Path

import pytest

from archgen.storage import scratch

TWO_DAYS_AGO = time.time() - 2 * 86_400


@pytest.fixture(autouse=True)
def temporary(tmp_path, monkeypatch):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    return tmp_path


def left_behind(place: Path, seconds: float) -> Path:
    place.mkdir()
    (place / "photo.jpg").write_bytes(b"private")
    os.utime(place, (seconds, seconds))
    return place


def test_a_folder_is_there_for_a_moment(temporary):
    with scratch.scratch_folder() as folder:
        assert list(temporary.iterdir()) == [Path(folder)]
    assert list(temporary.iterdir()) == []


def test_what_was_left_a_day_ago_is_taken_away_and_nothing_else(temporary):
    name = "archgen-scratch-4194305-abc"  # no program has a number above 4194304 (proc(5), pid_max)
    old = left_behind(temporary / name, TWO_DAYS_AGO)
    young = left_behind(temporary / f"{name}-2", time.time())
    other = left_behind(temporary / "letters", TWO_DAYS_AGO)
    (temporary / f"{name}-link").symlink_to(other)
    scratch.clear_scratch()
    assert not old.exists()
    assert young.exists()
    assert (other / "photo.jpg").exists()
    assert (temporary / f"{name}-link").is_symlink()


def test_a_file_of_that_name_stays():
    with scratch.scratch_folder() as folder:
        pass
    Path(folder).write_text("mine")
    os.utime(folder, (TWO_DAYS_AGO, TWO_DAYS_AGO))
    scratch.clear_scratch()
    assert Path(folder).exists()


def test_what_a_program_that_runs_uses_stays_however_old_its_clock_makes_it(temporary):
    with scratch.scratch_folder() as folder:
        os.utime(folder, (TWO_DAYS_AGO, TWO_DAYS_AGO))
        scratch.clear_scratch()
        assert list(temporary.iterdir()) == [Path(folder)]
