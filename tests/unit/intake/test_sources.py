"""What an intake looks at and what it leaves out, each with its sentence; zips of all kinds."""

import os
import zipfile

import pytest

from archgen.errors import InputError, UsageError
from archgen.intake import sources, zips
from archgen.intake.sources import gather
from archgen.storage.build_folder import MARKER
from tests.intake_pictures import save, scene
from tests.leak_manners import nameless


@pytest.fixture
def root(tmp_path):
    (tmp_path / "archive" / "pieces").mkdir(parents=True)
    return tmp_path / "archive"


@pytest.fixture
def phone(tmp_path):
    return tmp_path / "phone"


def listed(*named, root):
    with gather(named, root) as found:
        return [one.name for one in found.files], {one.name: one.sentence for one in found.not_taken}


def test_a_folder_is_looked_through_and_the_rest_told(root, phone):
    save(scene(1), phone / "a.png")
    save(scene(2), phone / "deep" / "er" / "b.jpg")
    for name in ("clip.mov", "raw.CR2", "layers.psd", "list.txt", "x.gif", "inner.zip", "a.aae"):
        (phone / name).write_bytes(b"x")
    for name in (".hidden.png", "Thumbs.db", ".DS_Store"):
        (phone / name).write_bytes(b"x")
    (phone / "link.png").symlink_to(phone / "a.png")
    files, left = listed(phone, root=root)
    assert files == ["a.png", "deep/er/b.jpg"]
    assert set(left) == {"clip.mov", "raw.CR2", "layers.psd", "list.txt", "x.gif", "inner.zip", "a.aae", "link.png"}
    assert "video" in left["clip.mov"]
    assert "raw" in left["raw.CR2"]
    assert "link" in left["link.png"]


def test_a_pipe_is_not_opened(root, phone):
    phone.mkdir()
    os.mkfifo(phone / "pipe.jpg")
    files, left = listed(phone, root=root)
    assert files == []
    assert "ordinary file" in left["pipe.jpg"]


def test_linked_folders_and_what_archgen_wrote_are_passed_over(root, phone, tmp_path):
    (tmp_path / "away").mkdir()
    save(scene(1), tmp_path / "away" / "x.png")
    phone.mkdir()
    (phone / "away").symlink_to(tmp_path / "away")
    (phone / "built").mkdir()
    (phone / "built" / MARKER).write_text("x")
    save(scene(1), phone / "built" / "x.png")
    files, left = listed(phone, root=root)
    assert files == []
    assert set(left) == {"away", "built"}


def test_the_archive_is_never_a_source(root, tmp_path):
    for named in (root, root / "pieces"):
        with pytest.raises(UsageError, match="is the archive itself"):
            listed(named, root=root)
    save(scene(1), root / "pieces" / "x" / "photos" / "a.png")
    save(scene(2), tmp_path / "new.png")
    files, left = listed(tmp_path, root=root)
    assert files == ["new.png"]
    assert left == {"archive": "This is the archive itself and was not looked into."}


def test_a_folder_inside_the_archive_may_be_taken_in(root):
    save(scene(1), root / "inbox" / "a.png")
    assert listed(root / "inbox", root=root)[0] == ["a.png"]


def test_what_is_not_there_is_said(root, tmp_path):
    with pytest.raises(InputError, match=r"There is no .*nowhere"):
        listed(tmp_path / "nowhere", root=root)


def test_far_too_many_files_are_refused(root, phone, monkeypatch):
    monkeypatch.setattr(sources, "MOST_FILES", 3)
    for number in range(4):
        save(scene(1, (40, 40)), phone / f"{number}.png")
    with pytest.raises(UsageError, match="more than 3 files"):
        listed(phone, root=root)


def test_names_with_signs_that_move_the_cursor_are_shown_harmlessly(root, phone):
    phone.mkdir()
    (phone / "a\x1b[2Jb.txt").write_bytes(b"x")
    (phone / os.fsdecode(b"\xff\xfe.txt")).write_bytes(b"x")
    left = listed(phone, root=root)[1]
    assert all(name.isprintable() for name in left)


def zipped(path, **members):
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as made:
        for name, content in members.items():
            made.writestr(name.replace("__", "/"), content)
    return path


def test_a_zip_is_unpacked_under_numbers(root, tmp_path):
    picture = save(scene(1), tmp_path / "a.png").read_bytes()
    path = tmp_path / "phone.zip"
    with zipfile.ZipFile(path, "w") as made:
        for name in ("DCIM/a.png", "../out.png", "/abs.png", "C:/x.png", "__MACOSX/._a.png", "note.txt", "in.zip"):
            made.writestr(name, picture)
    with gather([path], root) as found:
        assert [one.name for one in found.files] == ["DCIM/a.png"]
        assert found.files[0].path.read_bytes() == picture
        left = {one.name: one.sentence for one in found.not_taken}
        unpacked = found.files[0].path
    assert set(left) == {"../out.png", "/abs.png", "C:/x.png", "note.txt", "in.zip"}
    assert all("leads out of the zip" in left[name] for name in ("../out.png", "/abs.png", "C:/x.png"))
    assert not unpacked.exists()
    assert not (tmp_path.parent / "out.png").exists()


def test_names_of_a_zip_that_lead_out_of_it_are_told_with_slashes_of_either_kind(root, tmp_path):
    with zipfile.ZipFile(tmp_path / "a.zip", "w") as opened:
        for name in ("../up.jpg", "..\\up.jpg", "C:\\up.jpg", "a/../../up.jpg"):
            opened.writestr(name, b"x")
    with gather([tmp_path / "a.zip"], root) as found:
        assert found.files == []
        assert len(found.not_taken) == 4
        assert all("leads out of the zip" in one.sentence for one in found.not_taken)


def test_a_zip_made_to_fill_the_disk_is_not_unpacked(root, tmp_path):
    path = zipped(tmp_path / "bomb.zip", **{"a.png": bytes(60_000_000)})
    files, left = listed(path, root=root)
    assert files == []
    assert "far larger" in left["a.png"]


def test_a_zip_that_lies_about_its_sizes_is_stopped(root, tmp_path):
    path = zipped(tmp_path / "lies.zip", **{"a.png": bytes(5_000_000)})
    raw = bytearray(path.read_bytes())
    for mark, at in ((b"PK\x01\x02", 24), (b"PK\x03\x04", 22)):
        place = raw.index(mark) + at
        raw[place : place + 4] = (1000).to_bytes(4, "little")
    path.write_bytes(raw)
    files, left = listed(path, root=root)
    assert files == []
    assert set(left) == {"a.png"}


def test_what_has_no_name_in_a_zip_is_passed_over(root, tmp_path):
    (tmp_path / "odd.zip").write_bytes(nameless(b"x"))
    assert listed(tmp_path / "odd.zip", root=root) == ([], {})


def test_what_all_of_a_zip_may_take_is_limited(root, tmp_path, monkeypatch):
    monkeypatch.setattr(zips, "LARGEST_TOTAL", 1500)
    path = zipped(tmp_path / "two.zip", **{"a.png": os.urandom(1000), "b.png": os.urandom(1000)})
    files, left = listed(path, root=root)
    assert files == ["a.png"]
    assert "far larger" in left["b.png"]


def test_a_locked_file_is_told(root, tmp_path):
    path = zipped(tmp_path / "locked.zip", **{"a.png": b"x" * 100})
    raw = bytearray(path.read_bytes())
    for mark, at in ((b"PK\x01\x02", 8), (b"PK\x03\x04", 6)):
        raw[raw.index(mark) + at] |= 1
    path.write_bytes(raw)
    assert "password" in listed(path, root=root)[1]["a.png"]


def test_a_damaged_zip_is_told_and_a_damaged_file_in_it_too(root, tmp_path):
    bad = tmp_path / "bad.zip"
    bad.write_bytes(b"PK no zip at all")
    with pytest.raises(InputError, match=r"bad\.zip is damaged"):
        listed(bad, root=root)
    path = zipped(tmp_path / "half.zip", **{"a.png": os.urandom(4000), "b.png": os.urandom(4000)})
    raw = bytearray(path.read_bytes())
    raw[300:600] = bytes(300)
    path.write_bytes(raw)
    files, left = listed(path, root=root)
    assert files == ["b.png"]
    assert "damaged inside the zip" in left["a.png"]
