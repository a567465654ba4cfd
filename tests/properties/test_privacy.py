"""No private field value occurs in any public byte: every text field of the records is planted with its own marker."""

import dataclasses

import msgspec
import pytest

from archgen.leaks.private_values import private_values
from archgen.leaks.search import find_leaks
from archgen.records import model
from tests.builders import make_catalogue, make_piece, make_record
from tests.planter import Planter
from tests.portfolio_pages import write_portfolio


@pytest.fixture(scope="module")
def planted(tmp_path_factory):
    planter = Planter()
    credited = model.Reference(
        source="https://example.org/owl", creator="A. Sample", license="CC-BY-4.0", ai_system="Sample 2",
        allows=(model.Use.SHOW_TATTOO,),
    )  # fmt: skip
    given = make_record(
        reference=(credited,),
        rights_override=model.RightsOverride(reason="x"),
        stencil=(model.Stencil(file="s.png", landmark=(model.Landmark(stencil=(1.0, 2.0), on="p", at=(1.0, 2.0)),)),),
    )
    piece = make_piece("2026-03-14-zqfolder-marker", planter.record(model.PieceRecord, given=given))
    piece = msgspec.structs.replace(
        piece, notes=planter.marker("notes.md"), references=("pieces/x/references/zqpicture.jpg",)
    )
    client = planter.record(model.Client, "clients.toml", model.Client(code="C"))
    batch = planter.record(model.InkBatch, "inks.toml", model.InkBatch(batch="B"))
    catalogue = make_catalogue(
        tmp_path_factory.mktemp("archive"), piece, clients={client.code: client}, inks={batch.batch: batch}
    )
    return catalogue, planter.markers


@pytest.fixture(scope="module", params=["plate", "wall"])
def public_folder(request, planted, tmp_path_factory):
    catalogue, _ = planted
    portfolio = dataclasses.replace(catalogue.config.portfolio, theme=request.param, creator="Sample Artist")
    config = dataclasses.replace(catalogue.config, portfolio=portfolio)
    return write_portfolio(dataclasses.replace(catalogue, config=config), tmp_path_factory.mktemp("out"))


def test_the_planted_piece_is_published(public_folder):
    assert (public_folder / "pieces/barn-owl.html").is_file()


def test_markers_were_planted_in_every_private_table(planted):
    _, markers = planted
    tables = {path.partition(".")[0] for path in markers.values()}
    assert {
        "client",
        "sitting",
        "healing",
        "needle",
        "ink",
        "reference",
        "release",
        "rights_override",
        "notes",
    } <= tables
    assert len(markers) > 35


def test_no_private_value_is_in_any_public_byte_or_name(planted, public_folder):
    _, markers = planted
    everything = b"\n".join(
        path.relative_to(public_folder).as_posix().encode() + b"\n" + path.read_bytes()
        for path in sorted(public_folder.rglob("*"))
        if path.is_file()
    ).lower()
    for text, field in markers.items():
        first_word, last_word = text.split()[0].lower(), text.split()[-1].lower()
        assert first_word.encode() not in everything, field
        assert last_word.encode() not in everything, field
    assert b"zqfolder" not in everything
    assert b"zqpicture" not in everything


def test_the_search_for_leaks_finds_none_either(planted, public_folder):
    assert find_leaks(public_folder, private_values(planted[0])) == []


def test_the_search_for_leaks_knows_every_private_value(planted, tmp_path):
    """What the contract calls private is found when it is planted, field by field."""
    catalogue, markers = planted
    private = ("client", "notes", "sitting.note", "healing.note", "needle.batch", "needle.sterilisation", "ink.batch",
               "ink.name", "ink.maker", "release.file", "release.note", "reference.file", "reference.permission",
               "reference.note", "rights_override.reason", "clients.toml", "inks.toml")  # fmt: skip
    values = private_values(catalogue)
    for number, (text, field) in enumerate(markers.items()):
        if field == "ink.use" or not field.startswith(private):
            continue
        page = tmp_path / str(number) / "index.html"
        page.parent.mkdir()
        page.write_text(text, encoding="utf-8")
        assert find_leaks(page.parent, values), field
