"""What is asked for often answers at once: a command loads what it uses, and nothing else."""

import json
import shutil
import subprocess
import sys

import pytest
from click.testing import CliRunner

from archgen.cli import archgen
from archgen.outputs.sheets.case_sheet import Press
from archgen.storage import tree_state
from tests.cli.archive import OWL, add_piece, draw_f

# Run as a program of its own: in this process everything is loaded already.
LOADED = """
import json, sys
from archgen.__main__ import main
try:
    main()
finally:
    print(json.dumps(sorted(sys.modules)))
"""
HEAVY = {"cv2", "jinja2", "markdown_it", "pikepdf", "resvg_py", "rich", "tomlkit", "typst", "watchdog", "webbrowser"}


def ran(*typed):
    return subprocess.run([sys.executable, "-c", LOADED, *map(str, typed)], capture_output=True, text=True, check=False)


def loaded(*typed):
    said = ran(*typed).stdout
    return said, set(json.loads(said.splitlines()[-1]))


@pytest.fixture(scope="module")
def archive(tmp_path_factory):
    root = tmp_path_factory.mktemp("archive")
    draw_f(add_piece(root, "2026-03-14-barn-owl", OWL) / "stencils/owl-2.png")
    return root


def test_help_loads_no_library_but_its_own():
    said, modules = loaded("--help")
    assert "reprint" in said
    assert not modules & (HEAVY | {"numpy", "PIL", "msgspec"})


def test_the_plan_of_a_print_loads_nothing_that_compares_publishes_or_sets_pages(archive):
    said, modules = loaded("reprint", "owl", "--plan", "--archive", archive)
    assert "Barn owl, version 2: 50 × 75 mm, mirrored for ink-jet" in said
    assert not modules & HEAVY
    rooms = ("publication", "twins", "rules", "leaks", "tracing", "catalogue", "picture_facts", "build", "api")
    assert not [name for name in modules if name.startswith(tuple(f"archgen.{room}" for room in rooms))]


def test_a_build_in_which_nothing_changed_loads_nothing_to_build_and_says_what_the_last_one_said(archive, monkeypatch):
    where = ("--archive", archive, "--out", archive.with_name("built"))
    monkeypatch.setattr(tree_state, "GRAIN_NS", 0)  # the archive was drawn just now
    built = CliRunner().invoke(archgen, ["build", *map(str, where)], catch_exceptions=False)
    said, modules = loaded("build", *where)
    assert not modules & ((HEAVY - {"rich"}) | {"numpy", "PIL", "msgspec", "filelock"})
    assert "archgen.cli" not in modules
    # The programs' last line is what was loaded.
    first, again = (text.splitlines()[1:] for text in (built.stdout, said.rpartition("\n[")[0]))
    assert [line.replace("Written:", "Nothing changed since the last build:") for line in first] == again


def test_what_could_not_be_made_is_tried_again(archive, monkeypatch):
    out = archive.with_name("unmade")
    monkeypatch.setattr(tree_state, "GRAIN_NS", 0)
    with monkeypatch.context() as trouble:
        trouble.setattr(Press, "make", lambda *_: 1 / 0)
        CliRunner().invoke(archgen, ["build", "--archive", str(archive), "--out", str(out)], catch_exceptions=False)
    assert not list(out.glob("sheets/*.pdf"))
    CliRunner().invoke(archgen, ["build", "--archive", str(archive), "--out", str(out)], catch_exceptions=False)
    assert len(list(out.glob("sheets/*.pdf"))) == 1


def test_what_is_said_again_speaks_the_archive_s_language_in_another_window_too(archive, monkeypatch):
    root = archive.with_name("german")
    shutil.copytree(archive, root)
    (root / "archive.toml").write_text('[archive]\nlanguage = "de"\n', "utf-8")
    where = ("build", "--archive", str(root), "--out", str(root.with_name("german-built")))
    monkeypatch.setattr(tree_state, "GRAIN_NS", 0)
    for name in ("LC_ALL", "LC_MESSAGES", "LANG", "ARCHGEN_LANGUAGE"):
        monkeypatch.delenv(name, raising=False)
    CliRunner().invoke(archgen, list(where), catch_exceptions=False)
    monkeypatch.setenv("COLUMNS", "60")  # so that it is laid out anew
    said, modules = loaded(*where)
    assert "archgen.cli" not in modules
    assert "privates Archiv" in said
    assert "Nothing changed" not in said
    assert ran(*where).stderr.startswith("Archiv: ")
