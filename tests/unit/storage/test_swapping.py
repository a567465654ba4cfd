"""A swap that was stopped anywhere goes on at the next start, also by the rules of Windows."""

import os
from contextlib import suppress
from pathlib import Path

import pytest

from archgen.errors import OutputError
from archgen.storage import staging
from archgen.storage.plain_files import sealed
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


# Of a folder in which little changed only that is put.

STANDS = {f"pieces/{letter}.html": letter for letter in "abcdefgh"}


def put_all(out, source, files, name="archive"):
    with output_folder(out, source):
        folder = stage(out, name)
        for path, text in files.items():
            folder.add(path, text.encode())
        return folder, swap_all(out, [folder])


def stands(out):
    top = out / "archive"
    return {path.relative_to(top).as_posix(): path.read_text() for path in top.rglob("*") if path.is_file()}


CHANGES = {
    "one other": {"pieces/a.html": "new"},
    "one more": {"pieces/i.html": "new"},
    "in a new folder": {"sleeves/de/a.html": "new"},
    "one less": {"pieces/a.html": None},
    "a file in the place of a folder": {"pieces/a.html": None, "pieces/a.html/x": "new"},
    "a folder in the place of a file": {"c/x/a": None, "c/x": "new"},
}


@pytest.mark.parametrize("change", CHANGES)
def test_what_did_not_change_is_not_touched_and_all_is_as_if_made_whole(places, change):
    out, source = places
    before = STANDS | {"c/x/a": "x", "c/y": "y", "alone/z": "z"}
    put_all(out, source, before)
    kept = [(out / "archive" / path).stat().st_ctime_ns for path in ("pieces/b.html", "c/y")]
    wanted = {path: text for path, text in (before | CHANGES[change]).items() if text is not None}
    assert put_all(out, source, wanted)[1] == ["archive"]
    assert stands(out) == wanted
    # One folder has to be made whole: what is new in it would be in the way of what was there.
    if change != "a file in the place of a folder":
        assert [(out / "archive" / path).stat().st_ctime_ns for path in ("pieces/b.html", "c/y")] == kept
    assert not (out / ".staging").exists()


def test_a_folder_in_which_nothing_is_left_goes_too(places):
    out, source = places
    put_all(out, source, STANDS | {"sleeves/de/a.html": "a"})
    put_all(out, source, STANDS)
    assert [path.name for path in (out / "archive").iterdir()] == ["pieces"]


def test_where_much_changed_the_folder_is_made_whole(places):
    out, source = places
    put_all(out, source, STANDS)
    folder, _ = put_all(out, source, {path: text if text < "d" else "new" for path, text in STANDS.items()})
    assert (folder.kept, len(folder.new)) == ([], 8)


def test_an_empty_folder_somebody_put_in_the_place_of_a_file_is_put_right(places):
    out, source = places
    put_all(out, source, STANDS)
    (out / "archive/pieces/a.html").unlink()
    (out / "archive/pieces/a.html").mkdir()
    put_all(out, source, STANDS)
    assert stands(out) == STANDS


def test_what_was_staged_beside_the_journal_of_the_version_before_is_swapped(places):
    out, source = places
    build(out, source, "old")
    (out / ".staging/archive").mkdir(parents=True)
    (out / ".staging/archive/index.html").write_text("new")
    (out / ".swap").write_bytes(sealed(b'["archive"]', ".swap"))
    finish_swap(out)
    assert (out / "archive/index.html").read_text() == "new"


def little(out, source, text):
    """Change two files of one folder and take one away, and change another folder wholly."""
    files = STANDS | {"pieces/a.html": text, "pieces/b.html": text, f"{text}/gone.html": text}
    with output_folder(out, source):
        staged = [stage(out, "archive"), stage(out, "portfolio")]
        for path, content in files.items():
            staged[0].add(path, content.encode())
        staged[1].add("index.html", text.encode())
        return swap_all(out, staged, {".published.json": text.encode()})


def all_texts(out):
    here = stands(out)
    gone = {name for name in ("old", "new") if (out / "archive" / name).exists()}
    beside = {(out / name).read_text() for name in ("portfolio/index.html", ".published.json")}
    return {here["pieces/a.html"], here["pieces/b.html"]} | gone | beside


@pytest.mark.parametrize(
    ("make", "texts", "folders", "steps"),
    [(build, states, NAMES, 16), (little, all_texts, ("archive", "portfolio"), 12)],
    ids=["whole folders", "single files"],
)
@pytest.mark.parametrize("number", range(20))
def test_stopped_after_any_step_all_is_of_one_state_at_the_next_start(  # noqa: PLR0917  one for each thing told apart
    places, monkeypatch, number, make, texts, folders, steps
):
    out, source = places
    make(out, source, "old")
    with monkeypatch.context() as stopped:
        stopping_after(number, stopped)
        with suppress(StoppedError):
            make(out, source, "new")
            assert number > steps
    finish_stopped_swap(out)
    assert len(texts(out)) == 1
    with output_folder(out, source):
        assert len(texts(out)) == 1
        assert {path.name for path in out.iterdir()} == {*folders, ".published.json", ".archgen", ".lock"}
