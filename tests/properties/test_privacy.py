"""No private text occurs in any public byte: every text field of the records is planted with words of its own."""

import dataclasses

import msgspec
import pytest

from archgen.config import ArchiveSettings, Config, PortfolioSettings
from archgen.leaks.find import find_leaks
from archgen.leaks.leak import LeakKind
from archgen.leaks.values.private_values import private_values
from archgen.plain_text import words_of
from archgen.privacy import Private, Sought
from archgen.publication.decision import decide_all
from archgen.records import model
from archgen.render.html import PROGRAM_THEMES
from tests.builders import make_catalogue, make_design, make_piece, make_record
from tests.planter import Planter, text_fields
from tests.portfolio_pages import write_portfolio

PIECE = "2026-03-14-zqfolder"
# Classes of registers and settings, which belong to no piece alone.
IN_NO_PIECE = {"Client", "InkBatch", "Supply", "Box", "Told", "Decision", "ArchiveSettings", "PortfolioSettings"}
REGISTERS = {
    "clients": model.Client(code=""),
    "inks": model.InkBatch(batch=""),
    "supplies": model.Supply(name=""),
    "boxes": model.Box(code=""),
    "told": model.Told(batch="", client=""),
}


def _planted_record(planter):
    """Every table once, so that every private text is there; the piece may be shown all the same."""
    credited = model.Reference(
        source="https://example.org/owl", creator="A. Sample", license="CC-BY-4.0", ai_system="Sample 2",
        allows=(model.Use.SHOW_TATTOO,),
    )  # fmt: skip
    own = model.Reference(license="own-work")
    landmark = model.Landmark(stencil=(1.0, 2.0), on="", at=(1.0, 2.0))
    record = planter.record(
        make_record(
            reference=(credited, own),
            rights_override=model.RightsOverride(reason="x"),
            stencil=(model.Stencil(file="", landmark=(landmark,)),),
        )
    )
    # A picture edited from another one that the record describes too.
    edited, source = record.reference
    for text in (source.file, *source.made_from):
        del planter.markers[text]
    source = msgspec.structs.replace(source, file=edited.made_from[0], made_from=())
    return msgspec.structs.replace(record, reference=(edited, source))


def _talkative_theme(root, name):
    """A theme whose pages print all that a template gets, too."""
    (root / name).mkdir()
    (root / name / "theme.toml").write_text('base = "plate"\n')
    (root / name / "text.html").write_text(
        "{% extends 'base.html' %}{% block main %}{{ view }}{{ asset }}{% endblock %}"
    )
    parts = (PROGRAM_THEMES / "portfolio" / "parts.html").read_text(encoding="utf-8")
    (root / name / "parts.html").write_text(parts.replace("</cite>", "</cite>{{ card }}", 1))
    return name


@pytest.fixture(scope="module")
def planted(tmp_path_factory):
    planter = Planter()
    record = _planted_record(planter)
    planter.markers[PIECE] = "Piece.id"
    folder = planter.marker("Piece.folder_name", Sought.FOLDER)
    piece = make_piece(PIECE, record, folder_name=folder, notes=planter.marker("Piece.notes"))
    piece = msgspec.structs.replace(piece, as_written=(planter.record(model.AsWritten(key="size", text="x")),))
    piece = msgspec.structs.replace(piece, place_as_written=planter.marker("Piece.place_as_written"))
    names = {"record_name": planter.marker("Piece.record_name"), "missing": (planter.marker("Piece.missing"),)}
    piece = msgspec.structs.replace(piece, **names)
    for name in ("photos", "stencils", "references", "papers"):
        path = f"{piece.folder}/{name}/{planter.marker(f'Piece.{name}', Sought.FILE)}"
        piece = msgspec.structs.replace(piece, **{name: (*getattr(piece, name), path)})
    registers = {name: planter.record(given) for name, given in REGISTERS.items()}
    design = planter.record(make_design().record)
    design = make_design(picture=design.picture, holder=design.holder, note=design.note)
    decision = planter.record(model.Decision(images=()))
    root = tmp_path_factory.mktemp("archive")
    settings = PortfolioSettings(title="Harbour Lane", artist="Sample Artist", url="https://example.org",
                                 order=(planter.marker("PortfolioSettings.order", Sought.FOLDER),),
                                 mark=planter.marker("PortfolioSettings.mark"),
                                 theme=_talkative_theme(root, planter.marker("PortfolioSettings.theme")))  # fmt: skip
    private_title = ArchiveSettings(
        title=planter.marker("ArchiveSettings.title"), inbox=planter.marker("ArchiveSettings.inbox")
    )
    catalogue = make_catalogue(
        root,
        piece,
        config=Config(root, private_title, settings),
        clients={registers["clients"].code: registers["clients"]},
        inks={registers["inks"].batch: registers["inks"]},
        supplies=(registers["supplies"],),
        boxes=(registers["boxes"],),
        told=(registers["told"],),
        decisions=model.DecisionRegister(same=(decision,)),
        designs=(design,),
    )
    return catalogue, planter.markers


@pytest.fixture(scope="module", params=["plate", "wall", "drawer", "own"])
def public_folder(request, planted, tmp_path_factory):
    catalogue, _ = planted
    theme = catalogue.config.portfolio.theme if request.param == "own" else request.param
    portfolio = dataclasses.replace(catalogue.config.portfolio, theme=theme, creator="Sample Artist")
    config = dataclasses.replace(catalogue.config, portfolio=portfolio)
    return write_portfolio(dataclasses.replace(catalogue, config=config), tmp_path_factory.mktemp(request.param))


def _model_below(kind):
    return [kind, *(deeper for child in kind.__subclasses__() for deeper in _model_below(child))]


def private_text_fields():
    kinds = [*_model_below(model.Record), model.Piece, ArchiveSettings, PortfolioSettings]
    return {
        f"{kind.__name__}.{name}": mark
        for kind in kinds
        if kind.__module__.startswith("archgen.")
        for name, mark in text_fields(kind)
        if isinstance(mark, Private)
    }


def test_the_talkative_theme_prints_the_values_it_gets(public_folder):
    if public_folder.name.startswith("own"):
        assert "PortfolioCard(" in (public_folder / "index.html").read_text(encoding="utf-8")


def test_the_planted_piece_is_published(public_folder):
    assert (public_folder / "pieces/barn-owl.html").is_file()


def test_the_planted_design_is_published(public_folder):
    assert "Two ferns" in (public_folder / "designs.html").read_text(encoding="utf-8")


def test_every_private_text_field_of_the_model_is_planted(planted):
    _, markers = planted
    assert set(markers.values()) == set(private_text_fields())


def test_planted_texts_share_no_word_with_each_other(planted):
    _, markers = planted
    words = [word for text in markers for word in set(words_of(text).split()) if word.startswith("zq")]
    assert len(words) == len(set(words))
    assert all("zq" in text.lower() for text in markers)


def test_no_private_value_is_in_any_public_byte_or_name(planted, public_folder):
    _, markers = planted
    everything = b"\n".join(
        path.relative_to(public_folder).as_posix().encode() + b"\n" + path.read_bytes()
        for path in sorted(public_folder.rglob("*"))
        if path.is_file()
    ).lower()
    for text, field in markers.items():
        for word in words_of(text).split():
            assert not word.startswith("zq") or word.encode() not in everything, field


def test_the_search_for_leaks_finds_none_either(planted, public_folder):
    assert find_leaks(public_folder, private_values(planted[0], decide_all(planted[0]))) == []


def test_the_search_for_leaks_knows_every_private_value(planted, tmp_path):
    """Each private text is planted in a page of its own: it is found there, as what it is, and nothing else is."""
    catalogue, markers = planted
    marks = private_text_fields()
    sought = {text: field for text, field in markers.items() if marks[field].sought is not Sought.NEVER}
    for number, text in enumerate(sought):
        (tmp_path / f"{number}.html").write_text(f"<p>{text}</p>", encoding="utf-8")
    found = {}
    for leak in find_leaks(tmp_path, private_values(catalogue, decide_all(catalogue))):
        assert leak.kind is LeakKind.TEXT
        found.setdefault(int(leak.file.removesuffix(".html")), []).append(leak)
    for number, (text, field) in enumerate(sought.items()):
        leaks = [leak for leak in found.get(number, []) if leak.sure]
        assert leaks, field
        for leak in leaks:
            assert leak.what == marks[field].what
            assert set(words_of(leak.value).split()) <= set(words_of(text).split())
            kind = field.split(".")[0]
        whose = "designs/two-ferns" if kind.startswith("Design") else PIECE
        assert leak.piece == (None if kind in IN_NO_PIECE else whose)
