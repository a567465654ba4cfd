"""Whatever a build is made of or wrote is noticed when it changes; only then is a build done again."""

import os
import shutil

import pytest

from archgen.storage import last_build, program, tree_state

TODAY = "2026-11-30"
DAYS = ("2026-11-28", "2026-12-02")


def write(path, text="text"):
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, "utf-8")


@pytest.fixture
def places(tmp_path, monkeypatch):
    """Give an archive, a build folder and a folder of looks, as a build left them."""
    monkeypatch.setattr(tree_state, "GRAIN_NS", 0)
    monkeypatch.setattr(program, "_PACKAGE", tmp_path / "program/archgen")
    root, out, looks = tmp_path / "content", tmp_path / "content/build", tmp_path / "looks"
    for file in ("pieces/owl/piece.toml", "pieces/owl/photos/a.jpg", "archive.toml"):
        write(root / file)
    for file in (".archgen", "cache/blobs/a.png", "archive/pieces/owl.html", "archive/img/a.png", "sheets/owl.pdf"):
        write(out / file)
    write(out / ".published.json")
    write(looks / "theme.css")
    write(tmp_path / "program/archgen/build.py")
    write(tmp_path / "program/themes/archive/base.html")
    keep(root, out, looks)
    return root, out, looks


def keep(root, out, looks):
    last_build.keep(out, last_build.look_at_sources(root), (TODAY, *DAYS), [str(looks)], {"said": "words"})


def test_what_was_said_is_known_while_nothing_changed(places):
    root, out, _ = places
    assert last_build.recall(out, root, TODAY).told == {"said": "words"}


@pytest.mark.parametrize(
    ("day", "is_known"), [("2026-11-27", False), (DAYS[0], True), (DAYS[1], True), ("2026-12-03", False)]
)
def test_it_is_known_on_the_days_on_which_it_comes_out_the_same(places, day, is_known):
    root, out, _ = places
    assert (last_build.recall(out, root, day) is not None) == is_known


def same_size_and_time(path):
    stamp = path.stat()
    path.write_text("TEXT", "utf-8")
    os.utime(path, ns=(stamp.st_atime_ns, stamp.st_mtime_ns))


def put_in_its_place(path):
    """Replace a file as programs do that save beside it and rename."""
    beside = path.with_name("beside")
    shutil.copy2(path, beside)
    beside.replace(path)


@pytest.mark.parametrize(
    "change",
    [
        lambda root, *_: write(root / "pieces/owl/piece.toml", "other text"),
        lambda root, *_: same_size_and_time(root / "pieces/owl/piece.toml"),
        lambda root, *_: put_in_its_place(root / "pieces/owl/photos/a.jpg"),
        lambda root, *_: os.utime(root / "pieces/owl/photos/a.jpg", (1, 1)),
        lambda root, *_: (root / "pieces/owl/photos/a.jpg").rename(root / "pieces/owl/photos/b.jpg"),
        lambda root, *_: (root / "pieces/owl").rename(root / "pieces/barn-owl"),
        lambda root, *_: (root / "pieces/owl/photos/a.jpg").unlink(),
        lambda root, *_: (root / "pieces/moth").mkdir(),
        lambda root, *_: (root / "archive.toml").write_text("", "utf-8"),
        lambda root, *_: (root / "pieces/owl/piece.toml").chmod(0o400),
        lambda root, *_: (root / "pieces/owl").chmod(0o700),
        lambda root, *_: (root / "pieces/linked").symlink_to(root / "pieces/owl"),
        lambda _root, _out, looks: write(looks / "theme.css", "other"),
        lambda _root, _out, looks: shutil.rmtree(looks),
        lambda _root, out, _: write(out / "archive/pieces/owl.html", "mine"),
        lambda _root, out, _: same_size_and_time(out / "archive/pieces/owl.html"),
        lambda _root, out, _: (out / "archive/img/a.png").unlink(),
        lambda _root, out, _: same_size_and_time(out / "archive/img/a.png"),
        lambda _root, out, _: same_size_and_time(out / "sheets/owl.pdf"),
        lambda _root, out, _: (out / "sheets/owl.pdf").unlink(),
        lambda _root, out, _: shutil.rmtree(out / "archive"),
        lambda _root, out, _: put_in_its_place(out / ".published.json"),
        lambda _root, out, _: (out / "cache/blobs/a.png").unlink(),
        lambda _root, out, _: (out / ".staging").mkdir(),
        lambda _root, out, _: write(out / ".swap", "[]"),
        lambda root, *_: write(root.parent / "program/archgen/build.py", "other"),
        lambda root, *_: write(root.parent / "program/themes/archive/base.html", "other"),
        lambda _root, out, _: write(out / "cache/last-build.json", "{"),
        lambda _root, out, _: write(out / "cache/last-build.json", "[]"),
        lambda _root, out, _: last_build.forget(out),
    ],
)  # fmt: skip
def test_every_change_is_noticed(places, change):
    root, out, looks = places
    change(root, out, looks)
    assert last_build.recall(out, root, TODAY) is None


@pytest.mark.skipif(os.name == "nt", reason="names there are text")
def test_folders_whose_names_are_no_text_are_known_too(places):
    root, _, looks = places
    other = root.parent / os.fsdecode(b"studio \xe9")
    root.rename(other)
    keep(other, other / "build", looks)
    assert last_build.recall(other / "build", other, TODAY).told == {"said": "words"}


def test_what_nobody_reads_is_no_change(places):
    root, out, _ = places
    write(root / "pieces/owl/.DS_Store")
    write(root.parent / "program/archgen/__pycache__/build.pyc")
    write(out / "cache/results")
    write(out / ".lock")
    assert last_build.recall(out, root, TODAY)


def test_another_archive_or_build_folder_is_not_the_one_that_was_built(places):
    root, out, _ = places
    shutil.copytree(root, root.with_name("other"), copy_function=shutil.copy2)
    assert last_build.recall(out, root.with_name("other"), TODAY) is None
    shutil.move(out, root.with_name("moved"))
    assert last_build.recall(root.with_name("moved"), root, TODAY) is None


def test_a_package_that_is_installed_may_change_what_is_built(places, tmp_path, monkeypatch):
    root, out, _ = places
    write(tmp_path / "site/looks-1.0.dist-info/METADATA")
    monkeypatch.syspath_prepend(tmp_path / "site")
    assert last_build.recall(out, root, TODAY) is None


@pytest.mark.parametrize("which", [0, 2])
def test_files_that_changed_just_now_are_not_trusted(places, monkeypatch, which):
    root, out, looks = places
    last_build.forget(out)
    monkeypatch.setattr(tree_state, "GRAIN_NS", 3_600_000_000_000)
    other = places[2 - which]
    monkeypatch.setattr(last_build, "tree_state", lambda top, *given, **named: _old(top, other, given, named))
    keep(root, out, looks)
    assert last_build.recall(out, root, TODAY) is None


def _old(top, settled, given, named):
    state = tree_state.tree_state(top, *given, **named)
    return tree_state.TreeState(state.digest, is_settled=state.is_settled or top == settled)


def test_a_link_to_a_file_counts_as_what_it_leads_to(places):
    root, out, looks = places
    (root / "pieces/owl/notes.md").symlink_to(looks / "theme.css")
    keep(root, out, looks)
    assert last_build.recall(out, root, TODAY)
    (root / "pieces/owl/notes.md").unlink()
    (root / "pieces/owl/notes.md").symlink_to(root.parent / "program/archgen/build.py")
    assert last_build.recall(out, root, TODAY) is None
