"""Changes of the archive: all or nothing, and back again."""

import contextlib
import errno
import os
import shutil
import threading

import pytest
from filelock import FileLock

from archgen.errors import OutputError, UsageError
from archgen.storage import files
from archgen.writing import changes, placing
from archgen.writing.change import Change, edited_file, new_copy, new_text
from archgen.writing.changes import carry_out, change_to_take_back, finish_interrupted, past_changes, take_back
from archgen.writing.journal import Reached
from archgen.writing.record_text import SetKey

RECORD = 'title = "Owl"  # mine\n'


@pytest.fixture
def root(tmp_path):
    (tmp_path / "archive" / "pieces" / "owl").mkdir(parents=True)
    (tmp_path / "archive" / "pieces" / "owl" / "piece.toml").write_text(RECORD)
    (tmp_path / "phone").mkdir()
    (tmp_path / "phone" / "1.jpg").write_bytes(b"picture" * 1000)
    return tmp_path / "archive"


@pytest.fixture
def kept(tmp_path):
    return tmp_path / "build" / "kept"


def whole(folder):
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def moth(root):
    """A new piece with a client who is new in the register."""
    copy = new_copy("pieces/moth/photos/1.jpg", root.parent / "phone" / "1.jpg")
    register = edited_file(root, "clients.toml", [SetKey(("note",), "x")])
    return Change(
        "Moth filed", (copy, new_text("pieces/moth/piece.toml", "title = 'Moth'\n")), (register,), "pieces/moth"
    )


def healed(root):
    copy = new_copy("pieces/owl/photos/healed.jpg", root.parent / "phone" / "1.jpg")
    edited = edited_file(root, "pieces/owl/piece.toml", [SetKey(("client",), "C-1")])
    return Change("A healed photo for Owl", (copy,), (edited,))


CHANGES = pytest.mark.parametrize("change_of", [moth, healed])


@CHANGES
def test_a_change_is_there_whole_and_its_sources_stay(root, kept, change_of):
    before = whole(root.parent / "phone")
    change = change_of(root)
    past = carry_out(root, kept, change)
    assert past.number == 1
    for one in change.new:
        assert (root / one.path).read_bytes() == (one.content or (root.parent / "phone" / "1.jpg").read_bytes())
    for one in change.edited:
        assert (root / one.path).read_bytes() == one.after
    assert whole(root.parent / "phone") == before
    assert list(root.rglob(".*")) == []


@CHANGES
def test_what_was_taken_back_reads_as_before_and_is_kept(root, kept, change_of):
    before, folders = whole(root), sorted(root.rglob("*"))
    change = change_of(root)
    carry_out(root, kept, change)
    shutil.rmtree(root.parent / "phone")
    taken = take_back(root, kept)
    assert whole(root) == before
    assert sorted(root.rglob("*")) == folders
    assert taken.reached is Reached.TAKEN_BACK
    left = whole(taken.folder)
    assert all(f"taken/{one.path}" in left for one in change.new)
    with pytest.raises(UsageError):
        take_back(root, kept)
    with pytest.raises(UsageError, match="already"):
        take_back(root, kept, 1)
    with pytest.raises(UsageError, match="no change 7"):
        take_back(root, kept, 7)


def test_changes_are_taken_back_from_the_last_to_the_first(root, kept):
    before = whole(root)
    carry_out(root, kept, healed(root))
    second = edited_file(root, "pieces/owl/piece.toml", [SetKey(("client",), "C-2")])
    carry_out(root, kept, Change("Another client", edited=(second,)))
    with pytest.raises(OutputError, match=r"piece\.toml was changed since"):
        take_back(root, kept, 1)
    assert take_back(root, kept).number == 2
    assert take_back(root, kept).number == 1
    assert whole(root) == before
    assert [one.reached for one in past_changes(kept)] == [Reached.TAKEN_BACK, Reached.TAKEN_BACK]


def test_the_one_before_the_last_can_be_taken_back_alone_where_they_touch_nothing_in_common(root, kept):
    carry_out(root, kept, moth(root))
    carry_out(root, kept, healed(root))
    assert change_to_take_back(kept).number == 2
    take_back(root, kept, 1)
    assert not (root / "pieces" / "moth").exists()
    assert (root / "pieces" / "owl" / "photos" / "healed.jpg").exists()


def test_a_version_before_is_kept(root, kept):
    past = carry_out(root, kept, healed(root))
    assert RECORD.encode() in whole(past.folder).values()


@pytest.mark.parametrize("what", ["edited", "removed", "came", "picture"])
def test_what_was_changed_since_is_not_taken_back(root, kept, what):
    carry_out(root, kept, moth(root))
    folder = root / "pieces" / "moth"
    if what == "edited":
        (folder / "piece.toml").write_text("title = 'Moth, by hand'\n")
    elif what == "removed":
        (folder / "piece.toml").unlink()
    elif what == "picture":
        (folder / "photos" / "1.jpg").write_bytes(b"retouched")
    else:
        (folder / "notes.md").write_text("mine")
    before = whole(root)
    with pytest.raises(OutputError, match="Nothing was changed"):
        take_back(root, kept)
    assert whole(root) == before


def test_a_file_changed_by_somebody_else_in_between_is_left_alone(root, kept):
    change = healed(root)
    (root / "pieces" / "owl" / "piece.toml").write_text("title = 'Mine now'\n")
    before = whole(root)
    with pytest.raises(OutputError, match="changed by somebody else"):
        carry_out(root, kept, change)
    assert whole(root) == before
    assert past_changes(kept) == ()


def test_a_file_changed_in_the_very_last_moment_is_left_alone(root, kept, monkeypatch):
    def late(*given):
        (root / "pieces" / "owl" / "piece.toml").write_text("title = 'Mine now'\n")
        return placing.put_in_place(*given)

    monkeypatch.setattr(changes, "put_in_place", late)
    with pytest.raises(OutputError, match="changed by somebody else"):
        carry_out(root, kept, healed(root))
    assert whole(root) == {"pieces/owl/piece.toml": b"title = 'Mine now'\n"}


def test_a_place_that_is_taken_is_not_written_over(root, kept):
    change = moth(root)
    (root / "pieces" / "moth").mkdir()
    with pytest.raises(OutputError, match="there already"):
        carry_out(root, kept, change)
    photo = root / "pieces" / "owl" / "photos" / "healed.jpg"
    change = healed(root)
    photo.parent.mkdir()
    photo.write_bytes(b"another")
    with pytest.raises(OutputError, match="there already"):
        carry_out(root, kept, change)
    assert photo.read_bytes() == b"another"


def test_a_source_that_changes_while_it_is_copied_stops_everything(root, kept):
    change = moth(root)
    before = whole(root)
    (root.parent / "phone" / "1.jpg").write_bytes(b"another picture")
    with pytest.raises(OutputError, match="changed while it was copied"):
        carry_out(root, kept, change)
    assert whole(root) == before
    assert list(root.rglob(".*")) == []


@pytest.mark.parametrize("path", ["../outside.toml", "/etc/x.toml", "pieces/../../x", "linked/x.toml"])
def test_nothing_is_written_outside_the_archive(root, kept, path):
    (root.parent / "elsewhere").mkdir()
    (root / "linked").symlink_to(root.parent / "elsewhere")
    with pytest.raises(OutputError, match="outside"):
        carry_out(root, kept, Change("x", (new_text(path, "x"),)))
    assert list((root.parent / "elsewhere").iterdir()) == []


@CHANGES
@pytest.mark.parametrize("fails_at", range(4))
def test_a_full_disk_leaves_nothing_half_done(root, kept, change_of, fails_at, monkeypatch):
    change = change_of(root)
    before, count = whole(root), iter(range(100))

    def full(real):
        def write(*given):
            target = next(one for one in reversed(given) if not isinstance(one, bytes))
            if root in target.parents and next(count) == fails_at:
                raise OSError(errno.ENOSPC, "No space left on device", str(target))
            return real(*given)

        return write

    monkeypatch.setattr(placing, "write_durably", full(files.write_durably))
    monkeypatch.setattr(placing, "copy_durably", full(files.copy_durably))
    steps = len(change.new) + len(change.edited)
    if fails_at >= steps:
        carry_out(root, kept, change)
        return
    with pytest.raises(OutputError, match="disk is full"):
        carry_out(root, kept, change)
    assert whole(root) == before
    assert past_changes(kept) == ()
    assert list(root.rglob(".*")) == []


def test_a_folder_that_may_not_be_written_is_told_in_one_sentence(root, kept, monkeypatch):
    change, before = healed(root), whole(root)

    def refused(*_given):
        raise PermissionError(errno.EACCES, "Permission denied", str(root / "pieces"))

    monkeypatch.setattr(placing, "copy_durably", refused)
    with pytest.raises(OutputError, match=r"not allowed to write here\. Nothing was written"):
        carry_out(root, kept, change)
    assert whole(root) == before


def test_two_writers_wait_for_each_other(root, kept, monkeypatch):
    """Ten windows write ten lines into one file: each sees what the one before wrote, or is told."""
    monkeypatch.setattr(changes, "_PATIENCE_S", 300.0)  # on a slow disk the last of them waits for nine
    told, written = [], []

    def write(number):
        edited = edited_file(root, "pieces/owl/piece.toml", [SetKey((f"key{number}",), number)])
        try:
            carry_out(root, kept, Change(f"{number}", edited=(edited,)))
            written.append(number)
        except OutputError as error:
            told.append(str(error))

    threads = [threading.Thread(target=write, args=(number,)) for number in range(10)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    text = (root / "pieces" / "owl" / "piece.toml").read_text()
    assert sorted(written) == sorted(number for number in range(10) if f"key{number} = {number}" in text)
    assert len(written) + len(told) == 10
    assert all("changed by somebody else" in one for one in told), told


def test_a_writer_that_waits_too_long_is_told(root, kept, monkeypatch):
    monkeypatch.setattr(changes, "_PATIENCE_S", 0.05)
    kept.mkdir(parents=True)
    (kept.parent / ".archgen").write_text("")
    with FileLock(kept / ".lock"), pytest.raises(OutputError, match="Another window"):
        carry_out(root, kept, healed(root))


def test_nothing_is_kept_in_a_folder_of_somebody_else(root, tmp_path):
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "picture.jpg").write_bytes(b"x")
    with pytest.raises(OutputError, match="was not made by archgen"):
        carry_out(root, mine / "kept", healed(root))
    assert whole(mine) == {"picture.jpg": b"x"}


def test_a_link_inside_the_archive_stays_a_link_and_the_permissions_stay(root, kept):
    real = root / "kept-elsewhere.toml"
    real.write_text("# mine\n")
    real.chmod(0o640)
    (root / "told.toml").symlink_to(real)
    carry_out(root, kept, Change("x", edited=(edited_file(root, "told.toml", [SetKey(("a",), 1)]),)))
    assert (root / "told.toml").is_symlink()
    assert real.read_text() == "# mine\na = 1\n"
    assert real.stat().st_mode & 0o777 == 0o640
    take_back(root, kept)
    assert real.read_text() == "# mine\n"
    assert real.stat().st_mode & 0o777 == 0o640


def stop_at(monkeypatch, step, number):
    """Stop as a kill does, at the number-th call of a step: nothing is cleaned up."""
    count = iter(range(1000))
    real = getattr(os, step)

    def stopped(*given, **how):
        if next(count) == number:
            raise KilledError
        return real(*given, **how)

    monkeypatch.setattr(os, step, stopped)
    monkeypatch.setattr(changes, "_give_up", lambda *_given: None)


class KilledError(BaseException):
    """What a kill looks like from inside."""


@CHANGES
@pytest.mark.parametrize("step", ["rename", "fsync", "link", "replace", "unlink"])
@pytest.mark.parametrize("number", range(6))
def test_after_a_stop_at_any_step_the_change_is_there_whole_or_not_at_all(root, kept, change_of, step, number):
    before, change = whole(root), change_of(root)
    with pytest.MonkeyPatch.context() as monkeypatch:
        stop_at(monkeypatch, step, number)
        with contextlib.suppress(KilledError):
            carry_out(root, kept, change)
    finish_interrupted(root, kept)
    after = before | {one.path: one.after for one in change.edited}
    after |= {one.path: one.content or (root.parent / "phone" / "1.jpg").read_bytes() for one in change.new}
    done = past_changes(kept)
    assert whole(root) == (after if done else before)
    assert finish_interrupted(root, kept) == ()
    with pytest.MonkeyPatch.context() as monkeypatch:
        stop_at(monkeypatch, step, number)
        with contextlib.suppress(KilledError):
            if done:
                take_back(root, kept)
    finish_interrupted(root, kept)
    is_there = [one.reached for one in past_changes(kept)] == [Reached.DONE]
    assert whole(root) == (after if is_there else before)
    assert list(root.rglob(".*")) == []


def test_what_stood_in_its_place_when_it_was_stopped_is_complete(root, kept, monkeypatch):
    stop_at(monkeypatch, "rename", 2)  # the journal, the new folder; the mark that all is done would follow
    change = moth(root)
    with pytest.raises(KilledError):
        carry_out(root, kept, change)
    monkeypatch.undo()
    assert finish_interrupted(root, kept) == ("“Moth filed” was interrupted and is complete.",)
    assert (root / "pieces" / "moth" / "piece.toml").exists()
    assert take_back(root, kept).entry.words == "Moth filed"


def test_nothing_is_made_where_nothing_was_interrupted(root, kept):
    assert finish_interrupted(root, kept) == ()
    assert not kept.parent.exists()


def test_a_piece_changed_by_hand_after_a_stop_keeps_what_the_hand_wrote(root, kept, monkeypatch):
    stop_at(monkeypatch, "link", 0)  # the new folder stands in its place, the register does not
    change = moth(root)
    with pytest.raises(KilledError):
        carry_out(root, kept, change)
    monkeypatch.undo()
    (root / "pieces" / "moth" / "notes.md").write_text("by hand")
    said = finish_interrupted(root, kept)
    assert (root / "pieces" / "moth" / "notes.md").read_text() == "by hand"
    assert any("stays as it is" in one for one in said)


@CHANGES
@pytest.mark.parametrize("stopped_at", ["make_ready", "put_in_place"])
def test_pictures_filed_by_hand_after_a_stop_are_not_taken_for_ours(root, kept, change_of, stopped_at, monkeypatch):
    """They may be all there is of them: somebody moved them there when archgen had not come so far."""
    change = change_of(root)
    monkeypatch.setattr(changes, stopped_at, lambda *_: os._exit(0))
    if (child := os.fork()) == 0:
        carry_out(root, kept, change)
    os.waitpid(child, 0)
    monkeypatch.undo()
    picture = change.new[0]
    (root / picture.path).parent.mkdir(parents=True, exist_ok=True)
    shutil.move(root.parent / "phone/1.jpg", root / picture.path)
    said = finish_interrupted(root, kept)
    assert any("was made by somebody else and stays as it is." in one for one in said)
    assert (root / picture.path).read_bytes() == b"picture" * 1000
    assert [path for path in root.rglob(".*") if path.name.endswith(".part")] == []
    carry_out(root, kept, Change("Another", (new_text("pieces/owl/story.md", "Later."),)))


@CHANGES
def test_on_a_disk_without_links_what_was_named_is_taken_back_too(root, kept, change_of, monkeypatch):
    def unlinked(*_):
        raise OSError(errno.EPERM, "no links here")

    before, change = whole(root), change_of(root)
    monkeypatch.setattr(os, "link", unlinked)
    replace = placing._name

    def stopped(ready, path, file):
        if file.before is not None or path.name == "clients.toml":
            raise OSError(errno.ENOSPC, "full")
        replace(ready, path, file)

    monkeypatch.setattr(placing, "_name", stopped)
    with pytest.raises(OutputError):
        carry_out(root, kept, change)
    assert whole(root) == before
