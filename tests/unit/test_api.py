"""The door for scripts: calls with values, silent, and refused with an error of our own."""

import datetime as dt
import inspect
import re
from pathlib import Path

import pikepdf
import pytest

from archgen import api
from archgen.cli import COMMANDS, command
from archgen.twins.model import Relation
from tests.cli.archive import make_archive
from tests.cli.test_pack import write_archive as write_shown_archive

ROOT = Path(__file__).resolve().parent.parent.parent
DAY = dt.date(2026, 11, 25)
REGISTERS = {
    "clients.toml": '[[client]]\ncode = "C-0042"\nname = "Private Name"\n',
    "inks.toml": '[[batch]]\nbatch = "GW2-2231"\nname = "grey wash 2"\nopened = 2026-01-10\n',
}
USED = 'client = "C-0042"\n[[ink]]\nbatch = "GW2-2231"\n[[needle]]\ncode = "9RL"\nbatch = "N-88213"\n'


@pytest.fixture(scope="module")
def root(tmp_path_factory):
    root = make_archive(tmp_path_factory.mktemp("door") / "content")
    for name, text in REGISTERS.items():
        (root / name).write_text(text, encoding="utf-8")
    bare = root / "pieces" / "2024-01-01-bare" / "piece.toml"
    bare.write_text(f'title = "Bare"\n{USED}', encoding="utf-8")
    return root


@pytest.fixture
def archive(root, tmp_path):
    return api.open_archive(root, tmp_path / "built", workers=1, built_on=DAY)


@pytest.fixture(autouse=True)
def nothing_is_printed(capfd):
    yield
    assert capfd.readouterr() == ("", "")


def test_records_are_there_at_once(archive):
    assert [piece.id for piece in archive.pieces if piece.record is None] == ["2022-01-01-without"]
    assert archive.clients["C-0042"].name == "Private Name"
    assert archive.batches["GW2-2231"].opened == dt.date(2026, 1, 10)
    assert archive.settings.printer.dpi == 600
    assert not archive.out.exists()


def test_findings_are_those_of_the_audit_and_nothing_is_written(archive):
    codes = {finding.code for finding in archive.findings}
    assert {"record.no-record", "rights.missing"} <= codes
    assert not archive.out.exists()


def test_twins_are_the_pairs_of_the_archive(archive):
    pairs = archive.twins().pairs
    assert all(isinstance(pair.relation, Relation) for pair in pairs)
    assert {pair.a.rpartition("/")[2] for pair in pairs}


def test_a_build_says_what_it_did(archive):
    summary = archive.build()
    assert {"archive", "portfolio", "reprints", "sheets"} == set(summary.changed)
    assert summary.withheld == ()
    assert summary.catalogue.built_on == DAY
    assert (archive.out / "archive" / "index.html").is_file()
    assert archive.build().changed == ()


def test_a_stencil_is_planned_and_written_as_the_command_does(archive, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    made = archive.reprint("barn owl", width_mm=44, tones=3)
    assert made.plan.drawings[0].width_mm == 44
    assert made.plan.mirrored
    stencil, beside = made.save()
    assert stencil == tmp_path / "reprints" / "2026-03-14-barn-owl-v2-44mm.pdf"
    assert beside.name == "2026-03-14-barn-owl-v2-44mm-reference.pdf"
    with pikepdf.open(stencil) as pdf:
        assert len(pdf.pages) == len(made.plan.pages)


def test_wishes_and_printer_count(archive, tmp_path):
    made = archive.reprint("barn owl", printer="thermal", paper="Letter", versions=("1", "2"), copies=2)
    assert not made.plan.mirrored
    assert made.plan.sheet.paper.name == "Letter"
    assert [drawing.stencil.label for drawing in made.plan.drawings] == ["Version 1", "Version 2"]
    assert made.save(tmp_path / "two.pdf") == (tmp_path / "two.pdf",)


def test_a_gauge_is_a_value(archive):
    gauge = archive.gauge("barn owl", version="1").gauge
    # The F of the test is 400 px wide and printed 40 mm wide; its thinnest bar is 10 px high.
    assert gauge.width_mm == 40
    assert gauge.stroke_mm.p01 == pytest.approx(1.0, abs=0.1)


def test_a_batch_is_traced_by_number_kind_and_product(archive):
    assert [use.piece.id for use in archive.trace("gw2 2231").matches] == ["2024-01-01-bare"]
    assert archive.trace("GW2-2231", api.BatchKind.NEEDLE).matches == ()
    assert archive.trace("n88213").kinds == (api.BatchKind.NEEDLE,)
    assert len(archive.trace_product("grey wash").matches) == 1


def test_a_folder_is_searched_for_what_is_private(archive, tmp_path):
    site = tmp_path / "site"
    site.mkdir()
    (site / "a.html").write_text("<p>for Private Name, GW2-2231</p>", encoding="utf-8")
    (site / "b.pdf").write_bytes(b"%PDF-1.7 cut off")
    found = archive.leaks(site)
    assert [(one.code, one.place.file.rpartition("/")[2]) for one in found] == [
        ("privacy.leak", "a.html"), ("privacy.leak", "a.html"), ("privacy.unread", "b.pdf")
    ]  # fmt: skip
    assert archive.leaks(str(site / "a.html"))[0].problem == found[0].problem
    archive.build()
    assert archive.leaks() == ()


@pytest.fixture(scope="module")
def shown(tmp_path_factory):
    root = write_shown_archive(tmp_path_factory.mktemp("shown") / "content")
    return api.open_archive(root, root.parent / "built", workers=1, built_on=DAY)


def test_a_pack_is_bytes_of_what_may_be_shown(shown):
    made = shown.pack("owl", stage=api.Stage.HEALED)
    assert (made.titles, made.pictures) == (("Owl at night",), 1)
    assert made.content.startswith(b"<!doctype html>")
    assert shown.pack("owl", "moth", as_zip=True).content.startswith(b"PK")
    with pytest.raises(api.UsageError):
        shown.pack("koi")


def test_a_pack_with_something_private_is_withheld(shown):
    story = shown.folder / "pieces/owl/story.md"
    story.write_text("For Anna Söderqvist.", "utf-8")
    with pytest.raises(api.WithheldError, match="Nothing left the studio"):
        shown.pack("owl")
    story.unlink()


def test_an_upload_is_planned_sent_and_looked_at_again(shown, tmp_path):
    place = tmp_path / "web"
    planned = shown.upload(str(place))
    assert "pieces/owl-at-night.html" in planned.plan.appears
    assert planned.check is None
    assert not place.exists() or not any(place.iterdir())
    sent = shown.upload(str(place), send=True)
    assert sent.plan.appears == planned.plan.appears
    assert sent.check is not None
    assert sent.check.is_fine
    assert (place / "pieces/owl-at-night.html").is_file()
    assert shown.upload(str(place), send=True).plan.is_empty


def test_an_upload_replaces_nothing_of_others_unasked(shown, tmp_path):
    (tmp_path / "index.html").write_text("somebody's")
    with pytest.raises(api.UsageError, match="replace=True"):
        shown.upload(str(tmp_path), send=True)
    assert (tmp_path / "index.html").read_text() == "somebody's"
    shown.upload(str(tmp_path), send=True, replace=True)
    assert (tmp_path / "index.html").read_text() != "somebody's"


def test_an_upload_of_what_was_not_renewed_or_to_nowhere_is_refused(shown, tmp_path, monkeypatch):
    with pytest.raises(api.UsageError):
        shown.upload()
    with pytest.raises(api.UsageError):
        shown.upload(str(shown.folder / "web"))
    monkeypatch.setattr(api.Summary, "is_whole", False)
    with pytest.raises(api.WithheldError):
        shown.upload(str(tmp_path / "web"), send=True)
    assert not (tmp_path / "web").exists()


@pytest.mark.parametrize(
    ("call", "error"),
    [
        (lambda archive: archive.reprint("nowhere"), api.UsageError),
        (lambda archive: archive.reprint("without"), api.InputError),
        (lambda archive: archive.reprint("owl", printer="none"), api.UsageError),
        (lambda archive: archive.reprint("owl", paper="A99"), api.UsageError),
        (lambda archive: archive.reprint("owl", width_mm=-1), api.ArchgenError),
        (lambda archive: archive.gauge("moth"), api.UsageError),
        (lambda archive: archive.reprint("owl").save(archive.folder / "pieces" / "x.pdf"), api.OutputError),
        (lambda archive: api.open_archive(archive.folder, archive.folder).build(), api.OutputError),
        (lambda archive: archive.leaks(), api.UsageError),
        (lambda archive: archive.leaks("nowhere"), api.InputError),
        (lambda archive: api.open_archive(archive.folder / "nowhere"), api.InputError),
        (lambda archive: api.open_archive(archive.folder / "pieces" / "2024-01-01-bare").build(), api.InputError),
    ],
)
def test_what_cannot_be_done_is_an_error_of_our_own(archive, call, error, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(error):
        call(archive)


def test_settings_and_environment_that_cannot_be_used_are_errors_of_our_own(root, tmp_path, monkeypatch):
    (tmp_path / "archive.toml").write_text("[printer]\npaper = 1\n")
    with pytest.raises(api.ConfigError):
        api.open_archive(tmp_path)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "yesterday")
    with pytest.raises(api.UsageError):
        api.open_archive(root)


def test_every_call_says_what_it_gives_and_every_name_is_there():
    assert all(getattr(api, name).__doc__ for name in api.__all__)
    calls = [getattr(api.Archive, name) for name in vars(api.Archive) if not name.startswith("_")]
    assert all(call.__doc__ for call in calls if callable(call) or isinstance(call, property))


def test_no_command_starts_slower_for_the_door():
    sources = [Path(inspect.getfile(command(name).callback)).read_text(encoding="utf-8") for name in COMMANDS]
    assert not any("archgen.api" in source for source in sources)


def test_the_example_of_the_readme_runs(root, tmp_path, monkeypatch, capfd):
    chapter = (ROOT / "README.md").read_text(encoding="utf-8").partition("## For scripts")[2]
    (example,) = re.findall(r"```python\n(.*?)```", chapter.partition("\n## ")[0], re.DOTALL)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my-archive").symlink_to(root)
    exec(compile(example, "README.md", "exec"), {})  # noqa: S102 - our own text
    said = capfd.readouterr().out
    assert "2026-03-14-barn-owl Barn owl" in said
    assert "On the skin of C-0042" in said
    assert (tmp_path / "reprints" / "2026-03-14-barn-owl-v2-44mm.pdf").is_file()
    assert (tmp_path / "my-archive-built" / "archive" / "index.html").is_file()


def test_a_quote_goes_by_the_records_and_reads_the_place_in_any_words(archive):
    found = archive.quote(60, 90, styles=["lines"], place="outer forearm")
    assert found.foretold is None
    assert (found.wish.width_mm, found.wish.styles, found.wish.place) == (60, ("lines",), "forearm-outer")
    with pytest.raises(api.UsageError, match="“arm” is not one place on the body"):
        archive.quote(60, 90, place="arm")


def test_stock_is_taken_from_the_records(archive):
    assert "3 round liner" in [product.name for product in archive.stock()]
