"""Files that leave the archive: whole or not at all, back again, and after thirty days for good."""

import contextlib
import datetime as dt
import errno
import os
import random
import shutil
import time

import pytest

from archgen.errors import InputError, OutputError
from archgen.writing import journal
from archgen.writing.change import Change, edited_file, gone_file
from archgen.writing.changes import (
    REMOVED_DAYS,
    carry_out,
    finish_interrupted,
    outlived,
    past_changes,
    take_back,
    throw_away,
)
from archgen.writing.journal import Reached, read_journal
from archgen.writing.record_text import RemoveKey, SetKey
from tests.unit.writing.test_changes import KilledError, stop_at, whole
from tests.unit.writing.test_killed import in_a_process

RECORD = 'title = "Owl"  # mine\nclient = "C-1"\n'
GONE = ("pieces/owl/photos/1.jpg", "pieces/owl/photos/2.jpg", "pieces/owl/notes.md")


@pytest.fixture
def root(tmp_path):
    photos = tmp_path / "archive/pieces/owl/photos"
    photos.mkdir(parents=True)
    (photos.parent / "piece.toml").write_text(RECORD)
    (photos.parent / "notes.md").write_text("about her\n")
    for number in (1, 2, 3):
        (photos / f"{number}.jpg").write_bytes(b"picture" * number * 1000)
    return tmp_path / "archive"


@pytest.fixture
def kept(tmp_path):
    return tmp_path / "build" / "kept"


def removal(root):
    edited = edited_file(root, "pieces/owl/piece.toml", [RemoveKey(("client",))])
    return Change("A removal", edited=(edited,), gone=tuple(gone_file(root, path) for path in GONE))


def afterwards(before):
    left = {path: content for path, content in before.items() if path not in GONE}
    return left | {"pieces/owl/piece.toml": b'title = "Owl"  # mine\n'}


def test_what_goes_is_gone_and_kept(root, kept):
    before = whole(root)
    past = carry_out(root, kept, removal(root))
    assert whole(root) == afterwards(before)
    assert past.is_removal
    assert set(whole(past.folder).values()) >= {before[path] for path in GONE}


def test_it_can_be_taken_back_with_days_and_permissions(root, kept):
    photo = root / GONE[0]
    photo.chmod(0o640)
    os.utime(photo, (1, 1_600_000_000))
    before = whole(root)
    carry_out(root, kept, removal(root))
    take_back(root, kept)
    assert whole(root) == before
    assert photo.stat().st_mode & 0o777 == 0o640
    assert photo.stat().st_mtime == 1_600_000_000


def test_it_can_be_taken_back_where_the_folder_was_cleared_away(root, kept):
    before = whole(root)
    carry_out(root, kept, removal(root))
    (root / "pieces/owl/photos/3.jpg").rename(root / "3.jpg")
    (root / "pieces/owl/photos").rmdir()
    take_back(root, kept)
    (root / "3.jpg").rename(root / "pieces/owl/photos/3.jpg")
    assert whole(root) == before


def test_on_another_disk_it_is_copied(root, kept, monkeypatch):
    before = whole(root)

    def other_disk(*_given, **_how):
        raise OSError(errno.EXDEV, "other disk")

    monkeypatch.setattr(journal.os, "link", other_disk)
    carry_out(root, kept, removal(root))
    assert whole(root) == afterwards(before)
    take_back(root, kept)
    assert whole(root) == before


def test_what_lies_there_again_is_not_written_over(root, kept):
    carry_out(root, kept, removal(root))
    (root / GONE[0]).write_bytes(b"another")
    with pytest.raises(OutputError, match=r"1\.jpg is there again"):
        take_back(root, kept)
    assert (root / GONE[0]).read_bytes() == b"another"


def test_a_file_that_was_changed_meanwhile_stays(root, kept):
    change = removal(root)
    (root / GONE[1]).write_bytes(b"retouched")
    before = whole(root)
    with pytest.raises(OutputError, match="changed by somebody else"):
        carry_out(root, kept, change)
    assert whole(root) == before
    assert past_changes(kept) == ()


@pytest.mark.parametrize("path", ["pieces/owl/none.jpg", "pieces/owl", "link.jpg", "../outside.jpg"])
def test_only_an_ordinary_file_of_the_archive_can_go(root, path):
    (root.parent / "outside.jpg").write_bytes(b"x")
    (root / "link.jpg").symlink_to(root / GONE[0])
    with pytest.raises(InputError, match="by hand"):
        gone_file(root, path)


@pytest.mark.parametrize("step", ["rename", "fsync", "link", "replace", "unlink"])
@pytest.mark.parametrize("number", range(8))
def test_after_a_stop_at_any_step_it_is_gone_whole_or_not_at_all(root, kept, step, number):
    before, change = whole(root), removal(root)
    with pytest.MonkeyPatch.context() as monkeypatch:
        stop_at(monkeypatch, step, number)
        with contextlib.suppress(KilledError):
            carry_out(root, kept, change)
    finish_interrupted(root, kept)
    done = past_changes(kept)
    assert whole(root) == (afterwards(before) if done else before)
    with pytest.MonkeyPatch.context() as monkeypatch:
        stop_at(monkeypatch, step, number)
        with contextlib.suppress(KilledError):
            if done:
                take_back(root, kept)
    finish_interrupted(root, kept)
    is_gone = [one.reached for one in past_changes(kept)] == [Reached.DONE]
    assert whole(root) == (afterwards(before) if is_gone else before)
    assert list(root.rglob(".*")) == []


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a system that can fork")
def test_a_killed_removal_leaves_all_or_nothing(root, kept):
    before, chance = whole(root), random.Random(3)
    started = time.perf_counter()
    carry_out(root, kept, removal(root))
    took_s = time.perf_counter() - started
    take_back(root, kept)
    seen = {"all": 0, "nothing": 0}
    for number in range(60):
        is_gone = whole(root) != before
        work = (lambda: take_back(root, kept)) if is_gone else (lambda: carry_out(root, kept, removal(root)))
        in_a_process(work, chance.uniform(0, chance.choice((1.2, 5)) * took_s))
        finish_interrupted(root, kept)
        now = whole(root)
        assert now in (before, afterwards(before)), f"kill {number}"
        seen["nothing" if now == before else "all"] += 1
    assert min(seen.values()) >= 1, seen


def later(days):
    return dt.datetime.now(dt.UTC) + dt.timedelta(days=days)


def test_after_thirty_days_it_is_thrown_away_with_older_versions_of_the_same_files(root, kept):
    carry_out(root, kept, Change("x", edited=(edited_file(root, "pieces/owl/piece.toml", [SetKey(("a",), 1)]),)))
    carry_out(root, kept, Change("y", edited=(edited_file(root, "clients.toml", [SetKey(("a",), 1)]),)))
    carry_out(root, kept, removal(root))
    assert outlived(kept, later(REMOVED_DAYS - 1)) == ()
    ended = outlived(kept, later(REMOVED_DAYS + 1))
    assert [one.entry.words for one in ended] == ["x", "A removal"]
    before = whole(root)
    throw_away(root, kept, ended)
    assert whole(root) == before
    assert [one.entry.words for one in past_changes(kept)] == ["y"]
    assert not [path for path in kept.rglob("*") if path.is_file() and b"picture" in path.read_bytes()]


def test_one_that_was_taken_back_ends_nothing(root, kept):
    carry_out(root, kept, removal(root))
    take_back(root, kept)
    assert outlived(kept, later(REMOVED_DAYS + 1)) == ()


def test_a_journal_that_was_lost_changes_nothing(root, kept):
    carry_out(root, kept, removal(root))
    shutil.rmtree(kept)
    assert read_journal(kept) == ()
