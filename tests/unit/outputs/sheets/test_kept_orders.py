"""The order of work beside the case sheets: only where a plan is kept, made anew when what it is made of changes."""

import dataclasses

import msgspec
import pypdfium2
import pytest

from archgen.outputs.archive.body import Figure
from archgen.outputs.archive.context import Context
from archgen.outputs.archive.piece.page import made_of_piece, piece_view
from archgen.outputs.sheets.kept_orders import KeptOrders
from archgen.pieces.survey import survey
from archgen.records import model
from archgen.render.html import load_theme
from tests.builders import make_catalogue, make_piece, paper_facts
from tests.unit.shading import a_vase

POINTS = ((120, 640), (440, 30), (310, 180))
KEPT = model.Values(reference="references/vase.png", zones=4, cuts=(30.75, 52.5, 77.0), needle="1009RL")
ID = "2026-05-01-vase"


def vase(tmp_path, values=KEPT, **changes):
    folder = tmp_path / f"pieces/{ID}"
    for name, picture in (("stencils", a_vase.stencil()), ("references", a_vase.reference())):
        (folder / name).mkdir(parents=True, exist_ok=True)
        picture.save(folder / name / "vase.png")
    marks = tuple(model.Landmark(stencil=p, on="references/vase.png", at=p) for p in POINTS)
    record = model.PieceRecord(
        title="Vase",
        stencil=(
            model.Stencil(
                file="stencils/vase.png",
                version=1,
                width=model.Length(50),
                applied=True,
                landmark=marks,
                from_=("references/vase.png",),
            ),
        ),
        reference=(model.Reference(file="references/vase.png"),),
        values=values,
        **changes,
    )
    names = {"stencils": (f"pieces/{ID}/stencils/vase.png",), "references": (f"pieces/{ID}/references/vase.png",)}
    return make_piece(ID, record, photos=(), notes=None, **names)


def orders(tmp_path, *pieces, **changes):
    catalogue = survey(make_catalogue(tmp_path, *pieces, facts_of=paper_facts, **changes))
    return catalogue, list(KeptOrders(catalogue).artifacts())


def test_only_a_kept_plan_has_a_page(tmp_path):
    assert orders(tmp_path, vase(tmp_path, model.Values(note="whites last")))[1] == []
    (artifact,) = orders(tmp_path, vase(tmp_path))[1]
    assert (artifact.path, artifact.piece) == (f"{ID}-order-of-work.pdf", ID)


def test_the_page_is_that_of_the_kept_plan(tmp_path):
    (artifact,) = orders(tmp_path, vase(tmp_path))[1]
    with pypdfium2.PdfDocument(artifact.make()) as document:
        said = " ".join(document[0].get_textpage().get_text_bounded().split())
        assert len(document) == 1
    assert "Vase" in said
    assert "disc of 1.08 mm" in said
    assert "laid by its points and the lines" in said


@pytest.mark.parametrize(
    "change",
    [
        {"values": msgspec.structs.replace(KEPT, cuts=(30.0, 52.5, 77.0))},
        {"needle": (model.Needle(code="1203RL", use="outline"),)},
        {"placement": model.Placement(region="calf")},
    ],
)
def test_what_it_is_made_of_is_in_its_key(tmp_path, change):
    other = make_piece("2026-01-01-fern", model.PieceRecord(
        title="Fern", placement=model.Placement(region="calf"), sitting=(model.Sitting(note="skin slow"),)
    ))  # fmt: skip
    keys = [orders(tmp_path, vase(tmp_path, **more), other)[1][0].key for more in ({}, {}, change)]
    assert keys[0] == keys[1] != keys[2]


@pytest.mark.parametrize("values", [KEPT, msgspec.structs.replace(KEPT, reference=None)])
def test_another_picture_in_the_place_of_the_reference_makes_another_key(tmp_path, values):
    def other(path):
        facts = paper_facts(path)
        return msgspec.structs.replace(facts, digest="f" * 64) if "references" in path else facts

    keys = {
        next(KeptOrders(survey(make_catalogue(tmp_path, vase(tmp_path, values), facts_of=facts))).artifacts()).key
        for facts in (paper_facts, other)
    }
    assert len(keys) == 2


def test_a_plan_that_cannot_be_made_is_told_where_it_would_be_made(tmp_path):
    gone = msgspec.structs.replace(KEPT, needle="the thick one")
    (artifact,) = orders(tmp_path, vase(tmp_path, gone))[1]
    with pytest.raises(Exception, match="doesn't say how many needles"):
        artifact.make()


def test_the_piece_s_page_leads_to_it_unless_it_could_not_be_made(tmp_path):
    figure = Figure(load_theme("archive").files["figure.svg"])
    for values, not_made, href in (
        (KEPT, frozenset(), f"../../sheets/{ID}-order-of-work.pdf"),
        (KEPT, frozenset({f"sheets/{ID}-order-of-work.pdf"}), ""),
        (model.Values(), frozenset(), ""),
    ):
        catalogue = dataclasses.replace(orders(tmp_path, vase(tmp_path, values))[0], not_made=not_made)
        context = Context(catalogue, "originals")
        overview = catalogue.overviews[ID]
        assert piece_view(context, overview, figure).order == href
        assert href in made_of_piece(context, overview)
