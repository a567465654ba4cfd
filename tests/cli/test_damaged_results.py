"""Whatever happens to a build folder, the next build puts it right, and nothing beside it is ever touched.

A hundred kinds of damage, some of them at a time; two that are done together lie in different files.
"""

import datetime as dt
import errno
import os
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from archgen.build import Options, build
from archgen.progress import Silent
from archgen.storage import files, tree_state
from tests.cli.full_archive import fingerprint, write_archive

DAY = dt.date(2026, 11, 25)


def build_once(root, out):
    return build(root, out, Options(1, DAY), Silent())


@dataclass
class Studio:
    root: Path
    out: Path
    clean: dict
    outside: Path

    def results(self):
        """Give all that others look at: every file, no cache."""
        found = {}
        for path in sorted(self.out.rglob("*")):
            name = path.relative_to(self.out).as_posix()
            if name.startswith(("cache/", ".lock")) or name == "cache":
                continue
            found[name] = "link" if path.is_symlink() else "folder" if path.is_dir() else path.read_bytes()
        return found

    def file(self, pattern: str, number: int = 0) -> Path:
        found = sorted(path for path in self.out.glob(pattern) if path.is_file())
        return found[number % len(found)]

    def fresh(self) -> None:
        """Undo whatever was done."""
        shutil.rmtree(self.out)
        shutil.copytree(self.clean["copy"], self.out)


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    top = tmp_path_factory.mktemp("damage")
    root, out, outside = write_archive(top / "content"), top / "built", top / "mine"
    outside.mkdir()
    (outside / "letter.txt").write_text("mine")
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(tree_state, "GRAIN_NS", 0)  # pieces drawn just now are remembered too
        build_once(root, out)
        build_once(root, out)  # now what was new is settled
    studio = Studio(root, out, {}, outside)
    shutil.copytree(out, top / "copy")
    studio.clean = {"copy": top / "copy", "results": studio.results(), "mine": fingerprint(root)}
    return studio


@pytest.fixture
def studio(made):
    made.fresh()
    return made


# ---------------------------------------------------------------- ways to do harm to one file


def truncate(path: Path, _: Studio) -> None:
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def empty(path: Path, _: Studio) -> None:
    path.write_bytes(b"")


def flip(path: Path, _: Studio) -> None:
    """Change one bit in place and put size and time back."""
    before, raw = path.stat(), bytearray(path.read_bytes())
    raw[len(raw) // 2] ^= 1
    path.write_bytes(raw)
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))


def swap(path: Path, _: Studio) -> None:
    """Exchange two files, of a kind where there are two."""
    near = (one for one in sorted(path.parent.parent.rglob("*")) if one.is_file() and one != path)
    other = min(near, key=lambda one: one.suffix != path.suffix)
    other.rename(aside := path.with_name("aside"))
    path.rename(other)
    aside.rename(path)


def remove(path: Path, _: Studio) -> None:
    path.unlink()


def folder(path: Path, _: Studio) -> None:
    path.unlink()
    (path / "inside").mkdir(parents=True)
    (path / "inside" / "file").write_text("x")


def link(path: Path, studio: Studio) -> None:
    path.unlink()
    path.symlink_to(studio.outside / "letter.txt")


def dangling(path: Path, studio: Studio) -> None:
    path.unlink()
    path.symlink_to(studio.outside / "nothing")


def pipe(path: Path, _: Studio) -> None:
    path.unlink()
    os.mkfifo(path)


WAYS: tuple[Callable[[Path, Studio], None], ...] = (
    truncate, empty, flip, swap, remove, folder, link, dangling, pipe,
)  # fmt: skip
# Each way is done to a file of its own of each kind, as far as there are so many.
PLACES = (
    "cache/blobs/*.jpg", "cache/blobs/*.png", "portfolio/img/*", "portfolio/*.html",
    "archive/img/*", "archive/pieces/*.html", "sheets/*.pdf", "reprints/*.pdf",
)  # fmt: skip
STATE = (
    "cache/results", "cache/digests", "cache/records.json", "cache/leaks.json", "cache/built-from", ".published.json",
    "removals.txt", ".archgen",
)  # fmt: skip


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.__name__)
def test_a_damaged_file_of_each_kind_is_made_anew(studio, way):
    done = 0
    for number, place in enumerate(PLACES):
        if way is not swap or len(list(studio.out.glob(place))) > 1:
            way(studio.file(place, number), studio)
            done += 1
    assert done >= 7
    check(studio)


@pytest.mark.parametrize("way", [one for one in WAYS if one is not swap], ids=lambda way: way.__name__)
def test_a_damaged_file_about_the_build_counts_as_none(studio, way):
    for place in STATE:
        if way is not remove or place != ".archgen":  # without its mark the folder is taken for somebody's own
            way(studio.out / place, studio)
    check(studio)


def to_link(path: Path, studio: Studio) -> None:
    shutil.rmtree(path)
    path.symlink_to(studio.root / "pieces")


def to_mine(path: Path, studio: Studio) -> None:
    shutil.rmtree(path)
    path.symlink_to(studio.outside)


def to_file(path: Path, _: Studio) -> None:
    shutil.rmtree(path)
    path.write_text("x")


def to_pipe(path: Path, _: Studio) -> None:
    shutil.rmtree(path)
    os.mkfifo(path)


def to_nothing(path: Path, _: Studio) -> None:
    shutil.rmtree(path)


def to_dangling(path: Path, studio: Studio) -> None:
    shutil.rmtree(path)
    path.symlink_to(studio.outside / "nothing")


FOLDER_WAYS = (to_link, to_mine, to_file, to_pipe, to_nothing, to_dangling)
FOLDERS = (
    ("cache", "archive", "reprints"), ("cache/blobs", "portfolio", "sheets"),
    ("archive/img", "portfolio/pieces"),
)  # fmt: skip


@pytest.mark.parametrize("places", FOLDERS, ids=" ".join)
@pytest.mark.parametrize("way", FOLDER_WAYS, ids=lambda way: way.__name__)
def test_a_folder_that_is_none_any_more_is_made_anew_and_nothing_is_written_through_it(studio, places, way):
    for place in places:
        way(studio.out / place, studio)
    check(studio)


def test_a_picture_damaged_where_it_is_linked_is_made_anew_in_all_places(made):
    studio = Studio(made.root, made.out.with_name("linked"), made.clean, made.outside)
    for _ in range(2):
        build_once(studio.root, studio.out)
    picture = next(path for path in studio.out.glob("archive/img/*.jpg") if path.stat().st_nlink > 1)
    flip(picture, studio)
    check(studio)


def test_what_somebody_put_there_goes_and_links_lead_nowhere(studio):
    (studio.out / "archive/pieces/stray.html").write_text("x")
    (studio.out / "portfolio/mine").symlink_to(studio.outside)
    (studio.out / "sheets/letter.txt").symlink_to(studio.outside / "letter.txt")
    (studio.out / ".staging").symlink_to(studio.root)
    (studio.out / ".lock").unlink(missing_ok=True)
    (studio.out / ".lock").symlink_to(studio.outside / "letter.txt")
    os.mkfifo(studio.out / "cache/blobs/pipe.jpg")
    (studio.out / "cache/blobs/folder.jpg").mkdir()
    check(studio)


def check(studio: Studio) -> None:
    """Build again: the results are those of a clean build, and nothing of the artist's was touched."""
    build_once(studio.root, studio.out)
    now, clean = studio.results(), studio.clean["results"]
    assert now.keys() == clean.keys()
    assert [name for name in now if now[name] != clean[name]] == []
    assert fingerprint(studio.root) == studio.clean["mine"]
    assert {path.name: path.read_text() for path in studio.outside.iterdir()} == {"letter.txt": "mine"}


def test_damage_is_put_right_where_files_cannot_be_linked(studio, monkeypatch):
    def no_links(*_):
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(files.os, "link", no_links)
    for number, way in enumerate((truncate, flip, swap, remove)):
        way(studio.file("archive/img/*", number * 2), studio)
    check(studio)
