"""Folders are swapped in whole, and only folders of our own are touched."""

import pytest

from archgen.errors import OutputError
from archgen.storage.staging import output_folder, stage, swap_all


def put(out, source, **files):
    with output_folder(out, source):
        folder = stage(out, "archive")
        for name, text in files.items():
            folder.add(f"{name}.html", text.encode())
        return bool(swap_all(out, [folder]))


@pytest.fixture
def places(tmp_path):
    (tmp_path / "content" / "pieces").mkdir(parents=True)
    return tmp_path / "build", tmp_path / "content"


def test_a_second_version_replaces_the_first_and_drops_what_is_gone(places):
    out, source = places
    put(out, source, a="1", b="1")
    put(out, source, a="2")
    assert [p.name for p in (out / "archive").iterdir()] == ["a.html"]
    assert (out / "archive" / "a.html").read_text() == "2"


def test_a_second_equal_build_writes_nothing(places):
    out, source = places
    assert put(out, source, a="1")
    before = (out / "archive" / "a.html").stat()
    assert not put(out, source, a="1")
    after = (out / "archive" / "a.html").stat()
    # The times of the last look and of the entry may move when a new second begins meanwhile.
    assert (after.st_ino, after.st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_a_file_somebody_put_into_the_output_is_noticed(places):
    out, source = places
    put(out, source, a="1")
    (out / "archive" / "stray.html").write_text("x")
    assert put(out, source, a="1")
    assert not (out / "archive" / "stray.html").exists()


def test_a_folder_that_is_not_ours_is_left_alone(places):
    out, source = places
    out.mkdir()
    (out / "holiday.jpg").write_text("mine")
    with pytest.raises(OutputError, match="not made by archgen"):
        put(out, source, a="1")
    assert [p.name for p in out.iterdir()] == ["holiday.jpg"]


@pytest.mark.parametrize("choice", [".", "..", "pieces", "pieces/here"])
def test_the_archive_itself_is_no_place_for_results(places, choice):
    _, source = places
    with pytest.raises(OutputError, match="archive folder"):
        put(source / choice, source, a="1")


def test_a_build_folder_beside_the_pieces_is_fine(places):
    _, source = places
    assert put(source / "build", source, a="1")


def test_a_stop_between_the_two_renames_is_mended(places):
    out, source = places
    put(out, source, a="1")
    (out / "archive").rename(out / ".archive.old")
    with output_folder(out, source):
        assert (out / "archive" / "a.html").read_text() == "1"


def test_a_second_build_at_the_same_time_is_refused(places):
    out, source = places
    with output_folder(out, source), pytest.raises(OutputError, match="another build"):
        put(out, source, a="1")


def test_a_path_out_of_the_folder_is_refused(places):
    out, source = places
    with output_folder(out, source):
        folder = stage(out, "archive")
        for path in ("../x", "/x", ""):
            with pytest.raises(ValueError, match="place"):
                folder.add(path, b"")


def test_an_error_inside_keeps_its_own_kind(places):
    out, source = places
    with pytest.raises(ZeroDivisionError), output_folder(out, source):
        _ = 1 / 0


def test_nothing_half_made_is_left_by_a_stop_in_the_middle(places):
    out, source = places

    def stopped():
        with output_folder(out, source):
            stage(out, "archive").add("index.html", b"half")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        stopped()
    assert not (out / ".staging").exists()
