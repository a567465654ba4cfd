"""A whole build on a small archive, as the artist runs it."""

import html
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from archgen.picture_facts import gauge_stage, laid_stage
from archgen.storage import tree_state
from tests.cli.archive import make_archive
from tests.cli.full_archive import PRIVATE, draw, draw_stencil, fingerprint, run, tree, write, write_archive
from tests.conftest import ROOT

OWL_PAGE = "archive/pieces/2026-03-14-barn-owl.html"


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """The archive, built once: (archive folder, build folder, what its folder was before, exit code)."""
    folder = tmp_path_factory.mktemp("built")
    root = write_archive(folder / "content")
    before = fingerprint(root)
    with pytest.MonkeyPatch.context() as monkeypatch:
        code = run(monkeypatch, "build", "--archive", root, "--out", folder / "out")
    return root, folder / "out", before, code


def words_of(page: Path) -> str:
    return html.unescape(page.read_text(encoding="utf-8"))


def private_texts(root: Path) -> set[str]:
    texts = "".join(path.read_text() for pattern in ("*.toml", "*.md") for path in root.rglob(pattern))
    return {word.lower() for word in re.findall(rf"{PRIVATE}[\w@.-]*\w", texts)}


def test_the_exit_code_says_that_a_record_could_not_be_used(built):
    assert built[3] == 1


def test_the_archive_folder_is_untouched(built):
    root, _, before, _ = built
    assert fingerprint(root) == before


def test_the_broken_piece_is_shown_with_its_problem_and_the_others_are_built(built):
    _, out, _, _ = built
    page = words_of(out / "archive/pieces/2026-06-01-koi.html")
    assert "62 mn" in page
    assert "koi.jpg" in page
    assert (out / "sheets/2026-05-05-moth.pdf").is_file()
    assert (out / "sheets/2026-03-14-barn-owl.pdf").is_file()


def test_every_text_of_a_record_is_on_its_page_or_the_pages_it_links_to(built):
    root, out, _, _ = built
    pages = [out / OWL_PAGE, *(out / "archive/batches").glob("*.html"), *(out / "archive/clients").glob("*.html")]
    seen = "".join(map(words_of, pages)).lower()
    assert {word for word in private_texts(root) if word not in seen} == set()


@pytest.mark.parametrize(
    "shown",
    [
        "62 × 88 mm", "268 mm", "3 h 30 min", "14 Mar 2026", "20 Apr 2026", "31 May 2028", "1 Jan 2031", "1 Aug 2027",
        "hairline", "nightbird", "release.pdf", "CC BY 4.0", "In the portfolio", "Not in the portfolio: Its stage",
    ],
)  # fmt: skip
def test_measures_days_and_papers_of_a_record_are_on_its_page(built, shown):
    assert shown in words_of(built[1] / OWL_PAGE)


def test_the_search_knows_every_text_but_a_clients_contact(built):
    root, out, _, _ = built
    known = "".join(path.read_text() for path in (out / "archive/data").glob("*.js")).lower()
    parts = {part for text in private_texts(root) for part in re.findall(r"\w+", text)} - {"example", "org"}
    assert {part for part in parts if part not in known} == set()


def test_nothing_private_is_public_in_any_byte_or_name(built):
    _, out, _, _ = built
    public = [path for path in (out / "portfolio").rglob("*") if path.is_file()]
    assert any(path.suffix in {".jpg", ".webp"} for path in public)
    for path in public:
        assert PRIVATE not in str(path.relative_to(out)).lower()
        assert PRIVATE.encode() not in path.read_bytes().lower()


def test_a_second_build_changes_nothing(built, monkeypatch, capsys):
    root, out, _, _ = built
    before = fingerprint(out)
    run(monkeypatch, "build", "--archive", root, "--out", out)
    kept = {
        path: mark for path, mark in fingerprint(out).items() if path.startswith(("archive", "portfolio", "sheets"))
    }
    assert kept == {path: mark for path, mark in before.items() if path in kept}
    assert "Nothing changed" in capsys.readouterr().out


def _rename_a_piece(root):
    (root / "pieces/2026-05-05-moth").rename(root / "pieces/2026-05-06-moth")


def _replace_a_photo(root):
    draw(root, "pieces/2026-03-14-barn-owl/photos/owl fresh.jpg", 151)


def _withdraw(root):
    record = root / "pieces/2026-03-14-barn-owl/piece.toml"
    record.write_text(record.read_text().replace('"granted"', '"withdrawn"'))


def _mend_and_publish(root):
    write(
        root,
        "pieces/2026-06-01-koi/piece.toml",
        'title = "Barn owl"\npublish = true\n[release]\nstatus = "granted"\nscope = ["portfolio"]\n'
        '[[photo]]\nfile = "photos/koi.jpg"\nstage = "healed"\n',
    )


def _add_and_remove(root):
    draw_stencil(root, "pieces/2026-06-01-koi/stencils/koi.png", 30)
    shutil.rmtree(root / "pieces/2026-05-06-moth")
    (root / "about.md").unlink()
    write(root, "care.md", "# Care\n")


def _change_a_letter_and_set_the_clock_back(root):
    record = root / "pieces/2026-03-14-barn-owl/piece.toml"
    stamp = record.stat()
    record.write_text(record.read_text().replace('title = "Barn owl', 'title = "Born owl'))
    os.utime(record, ns=(stamp.st_atime_ns, stamp.st_mtime_ns))
    assert (record.stat().st_size, record.stat().st_mtime_ns) == (stamp.st_size, stamp.st_mtime_ns)


def _change_settings_and_looks(root):
    settings = root / "archive.toml"
    settings.write_text('[archive]\nlanguage = "de"\n' + settings.read_text())
    write(root, "theme/theme.toml", 'base = "wall"\n')


def _add_a_client(root):
    with (root / "clients.toml").open("a") as register:
        register.write('\n[[client]]\ncode = "C-9999"\n')


EDITS = (
    _rename_a_piece, _replace_a_photo, _change_a_letter_and_set_the_clock_back, _mend_and_publish, _add_a_client,
    _withdraw, _change_settings_and_looks, _add_and_remove,
)  # fmt: skip


def test_builds_after_every_edit_equal_a_clean_build(tmp_path, monkeypatch):
    monkeypatch.setattr(tree_state, "GRAIN_NS", 0)  # edits follow one another at once here
    root = write_archive(tmp_path / "content")
    for edit in (lambda _: None, *EDITS):
        before = tree(tmp_path / "chain")
        edit(root)
        run(monkeypatch, "build", "--archive", root, "--out", tmp_path / "chain")
        assert tree(tmp_path / "chain") != before
    run(monkeypatch, "build", "--archive", root, "--out", tmp_path / "clean", "--jobs", "1")
    assert tree(tmp_path / "chain") == tree(tmp_path / "clean")
    shutil.rmtree(tmp_path / "chain/cache")
    run(monkeypatch, "build", "--archive", root, "--out", tmp_path / "chain")
    assert tree(tmp_path / "chain") == tree(tmp_path / "clean")


def test_equal_input_gives_equal_bytes_in_every_process(tmp_path):
    root, made = write_archive(tmp_path / "content"), []
    for number in range(9):
        write(root, f"pieces/2026-07-0{number + 1}-fern/piece.toml", f'title = "Fern"\nclient = "C-{number}"\n')
    for seed in ("1", "2"):
        # The order of what is in a set is another in each process.
        subprocess.run(
            [sys.executable, "-m", "archgen", "build", "--archive", root, "--out", tmp_path / "out", "--jobs", "1"],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=False,
        )
        made.append(tree(tmp_path / "out"))
        shutil.rmtree(tmp_path / "out")
    assert "archive/index.html" in made[0]
    assert made[0] == made[1]


@pytest.mark.parametrize(
    ("prepare", "code"),
    [
        (lambda folder: (folder / "content").mkdir(), 4),
        (lambda folder: (folder / "content").write_text(""), 4),
        (lambda folder: write(folder, "content/archive.toml", "[archive\n"), 3),
        (lambda folder: write(folder, "content/archive.toml", '[archive]\nunits = "ell"\n'), 3),
        (lambda folder: (folder / "content/pieces").mkdir(parents=True), 0),
        (lambda folder: write(folder, "content/pieces/owl/piece.toml", 'title = "Owl"'), 0),
        (lambda folder: write(folder, "content/pieces/Owl/piece.toml", 'title = "Owl"'), 0),
        (lambda folder: (write(folder, "content/pieces/owl/piece.toml", ""), write(folder, "out/mine.txt", "")), 4),
        (lambda folder: (write(folder, "content/pieces/owl/piece.toml", ""), write(folder, "out", "")), 4),
        (lambda folder: (write(folder, "content/pieces/owl/piece.toml", ""), (folder / "out").symlink_to("out")), 4),
    ],
    ids=[
        "empty", "a file", "broken settings", "wrong setting", "no pieces", "one line", "odd folder", "not ours",
        "out is a file", "out in a circle",
    ],
)  # fmt: skip
def test_the_exit_code_tells_what_went_wrong(tmp_path, monkeypatch, prepare, code):
    prepare(tmp_path)
    before = fingerprint(tmp_path / "content")
    assert run(monkeypatch, "build", "--archive", tmp_path / "content", "--out", tmp_path / "out") == code
    assert fingerprint(tmp_path / "content") == before


def test_in_a_wrong_folder_nothing_is_written_and_an_archive_is_described(tmp_path, monkeypatch, capsys):
    write(tmp_path, "pictures/summer.txt", "")
    assert run(monkeypatch, "build", "--archive", tmp_path / "pictures", "--out", tmp_path / "out") == 4
    assert "one folder for each piece in it and a piece.toml in each" in capsys.readouterr().err
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["pictures", "summer.txt"]


@pytest.mark.parametrize("setting", ['[portfolio]\ntheme = "nope"', '[printer]\npaper = "A9"'])
def test_with_a_wrong_setting_nothing_is_written(tmp_path, monkeypatch, setting):
    write(tmp_path, "content/archive.toml", setting)
    assert run(monkeypatch, "build", "--archive", tmp_path / "content", "--out", tmp_path / "out") == 3
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("inside", ["", "pieces", "pieces/2026-05-05-moth"])
def test_the_archive_itself_is_never_the_build_folder(built, monkeypatch, inside):
    root = built[0]
    assert run(monkeypatch, "build", "--archive", root, "--out", root / inside) == 4


@pytest.mark.parametrize(("epoch", "code"), [("soon", 2), ("9" * 30, 2), ("1800000000", 0)])
def test_the_day_can_be_given_from_outside(tmp_path, monkeypatch, epoch, code):
    write(tmp_path, "content/pieces/owl/piece.toml", 'title = "Owl"')
    monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)
    assert run(monkeypatch, "build", "--archive", tmp_path / "content", "--out", tmp_path / "out") == code
    if code == 0:
        assert "15 Jan 2027" in (tmp_path / "out/archive/data/now.css").read_text()


@pytest.mark.skipif(sys.platform == "win32", reason="signals are sent the POSIX way")
def test_ctrl_c_leaves_no_half_result(tmp_path):
    root = write_archive(tmp_path / "content")
    command = [sys.executable, "-m", "archgen", "build", "--archive", str(root), "--out", str(tmp_path / "out")]
    with subprocess.Popen(
        command, cwd=ROOT, env={**os.environ}, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as build:
        while not (tmp_path / "out/cache").exists() and build.poll() is None:
            time.sleep(0.02)
        build.send_signal(signal.SIGINT)
        _, said = build.communicate(timeout=60)
    assert build.returncode in {1, 130}  # 1: it had just finished
    if build.returncode == 130:
        assert b"Stopped" in said
    assert not (tmp_path / "out/.staging").exists()


def test_the_paths_of_the_results_are_told_whole_in_a_narrow_window(built, monkeypatch, capsys):
    root, out, _, _ = built
    monkeypatch.setenv("COLUMNS", "40")
    run(monkeypatch, "build", "--archive", root, "--out", out)
    said = capsys.readouterr().out
    assert str(out / "archive/index.html") in said
    assert str(out / "portfolio/index.html") in said


def test_a_portfolio_kept_back_at_the_first_build_is_not_said_to_be_there(tmp_path, monkeypatch, capsys):
    root = write_archive(tmp_path / "content")
    write(root, "about.md", f"{PRIVATE}-lot-3\n")
    assert run(monkeypatch, "build", "--archive", root, "--out", tmp_path / "out") == 1
    said = capsys.readouterr().out
    assert not (tmp_path / "out/portfolio").exists()
    assert "kept back" in said
    assert "still there" not in said
    assert "portfolio/index.html" not in said.partition("Written:")[2]


def test_what_was_laid_or_compared_is_not_worked_out_again(tmp_path, monkeypatch):
    root, koi = make_archive(tmp_path / "content"), "pieces/2026-05-01-koi"
    photos = (f'[[photo]]\nfile = "photos/{stage}.jpg"\nstage = "{stage}"\n' for stage in ("fresh", "healed"))
    write(root, f"{koi}/piece.toml", 'title = "Koi"\n' + "".join(photos))
    draw(root, f"{koi}/photos/fresh.jpg", 90)
    draw(root, f"{koi}/photos/healed.jpg", 115)
    made = {}

    def watched(module, name):
        real = getattr(module, name)
        monkeypatch.setattr(module, name, lambda *given: made.setdefault(name, real(*given)))

    watched(gauge_stage, "_compared")
    watched(laid_stage, "_look")
    build = ("build", "--archive", root, "--out", tmp_path / "out", "--jobs", "1")
    run(monkeypatch, *build)
    assert made["_compared"].picture
    assert made["_look"].blobs
    made.clear()
    write(root, "about.md", "# Another word\n")
    run(monkeypatch, *build)
    assert made == {}
