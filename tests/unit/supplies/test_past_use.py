"""What needles and inks were used for before, counted from the records."""

import pytest

from archgen.records import model
from archgen.supplies.past_use import InkKind, ink_kind, past_use
from tests.builders import make_catalogue, make_piece


def piece(number, *needles, inks=()):
    record = model.PieceRecord(
        title=str(number),
        needle=tuple(model.Needle(code=code, use=use) for code, use in needles),
        ink=tuple(model.Ink(name=name, use=use) for name, use in inks),
    )
    return make_piece(f"piece-{number:03}", record)


def test_pieces_are_counted_and_the_usual_word_is_said(tmp_path):
    pieces = [piece(1, ("1009RL", "soft shade")), piece(2, ("#10 9RL", "soft shade")), piece(3, ("1009RL", "whip"))]
    (needle,) = past_use(make_catalogue(tmp_path, *pieces)).needles
    assert (needle.use, needle.pieces, needle.shades) == ("soft shade", 3, True)
    assert needle.width_mm == pytest.approx(1.08, abs=0.01)


@pytest.mark.parametrize(
    ("code", "use", "shades"),
    [
        ("1203RL", "outline", False),
        ("1203RL", "whip shading", True),
        ("1203RL", "everything", False),
        ("1215CM", "petals", True),
        ("1207RS", None, True),
        ("1207RS", "lines", False),
        ("1209RL", "black", True),
    ],
)
def test_a_needle_shades_by_its_use_else_by_its_kind(tmp_path, code, use, shades):
    (needle,) = past_use(make_catalogue(tmp_path, piece(1, (code, use)))).needles
    assert needle.shades is shades


def test_the_widest_that_works_all_areas_is_proposed(tmp_path):
    past = past_use(make_catalogue(tmp_path, piece(1, ("1005RS", "shade"), ("1009RS", "shade"), ("1215CM", "wash"))))
    assert past.needles[-1].width_mm == pytest.approx(8 * 0.35)
    assert past.shading([(1.5, 9.0)]).code == "1009RS"
    assert past.shading([(9.0, 90.0)]).code == "1215CM"
    assert past.shading([(9.0, 90.0), (1.5, 9.0)]).code == "1009RS"
    assert past.shading([(9.0, 24.0)]).code == "1009RS"
    assert past.shading([(0.1, 90.0)]) is None
    assert past_use(make_catalogue(tmp_path)).shading([(2.0, 20.0)]) is None


def test_what_the_piece_itself_records_comes_first(tmp_path):
    other, own = piece(1, ("1203RL", "outline"), ("1005RS", "shade")), piece(2, ("1207RL", "lines"), ("1209RS", "wash"))
    more = piece(3, ("1203RL", "outline"))
    past = past_use(make_catalogue(tmp_path, other, own, more), own)
    assert past.at_hand == "1209RS"
    assert past.lining.code == "1207RL"
    assert past.shading([(9.0, 90.0)]).code == "1209RS"
    assert past.shading([(0.9, 9.0)]).code == "1005RS"
    anyone = past_use(make_catalogue(tmp_path, other, own, more))
    assert anyone.at_hand == "1005RS"
    assert anyone.lining.code == "1203RL"


def test_lines_are_drawn_with_what_the_piece_was_lined_with(tmp_path):
    own = piece(1, ("1003RL", "dots"), ("1209RL", "outline"))
    others = [piece(2, ("1003RL", "dots")), piece(3, ("1207RL", "outline"))]
    assert past_use(make_catalogue(tmp_path, own, *others), own).lining.code == "1209RL"


def test_inks_are_told_apart_by_their_names(tmp_path):
    used = [("Dense Black", "lines"), ("dense  black", "fill"), ("opaque white", None), ("grey wash 2", None)]
    past = past_use(make_catalogue(tmp_path, *(piece(n, inks=[one]) for n, one in enumerate(used))))
    assert [(ink.name, ink.pieces) for ink in past.inks_of(InkKind.BLACK)] == [("dense black", 2)]
    assert [ink.name for ink in past.inks_of(InkKind.WASH)] == ["grey wash 2"]
    assert [ink.name for ink in past.inks_of(InkKind.WHITE)] == ["opaque white"]
    assert ink_kind("rose") is InkKind.OTHER
    assert ink_kind("black wash") is InkKind.WASH
