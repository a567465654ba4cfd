"""A client's limbs: where pieces lie as far as their words say it, girths and whose they are, what is left out."""

import pytest

from archgen.errors import UsageError
from archgen.limbs.asked import read_measures
from archgen.limbs.free_skin import Room, free_skin, room_for
from archgen.limbs.profile import From
from archgen.limbs.sleeve import NotDrawn, shares_a_limb
from archgen.outputs.limb_drawing import draw_limb
from archgen.records.model import Side
from archgen.wording.planning.sleeves import free_words, new_piece_words
from tests.unit.limbs.on_a_limb import laid_out, limb_piece, overviews

UPPER, FORE = 325, 255


def only(sleeve):
    (limb,) = sleeve.limbs
    return limb


def middle(tmp_path, region, **more):
    (piece,) = only(laid_out(tmp_path, limb_piece(1, region, **more))).pieces
    return piece


def test_a_piece_may_lie_anywhere_on_its_part_and_is_drawn_in_the_middle(tmp_path):
    piece = middle(tmp_path, "forearm-outer", size=(60, 90))
    assert piece.middles_mm == (UPPER + 45, UPPER + FORE - 45)
    assert piece.at_mm == UPPER + FORE / 2
    assert piece.spot.facing == (180,)
    assert piece.spot.is_loose


@pytest.mark.parametrize(
    ("note", "first", "last"),
    [
        ("upper half", 0, 1 / 2),
        ("lower third", 2 / 3, 1),
        ("in the middle of the forearm", 1 / 3, 2 / 3),
        ("just above the wrist, thorns outwards", 2 / 3, 1),
        ("close to the elbow", 0, 1 / 3),
    ],
)
def test_words_that_say_where_along_the_limb_narrow_it(tmp_path, note, first, last):
    piece = middle(tmp_path, "forearm-outer", size=(30, 30), note=note)
    assert piece.middles_mm == pytest.approx((UPPER + first * FORE + 15, UPPER + last * FORE - 15))
    assert not piece.spot.is_loose


@pytest.mark.parametrize(
    "note", ["tail towards the wrist", "hairline towards the elbow", "upper leaf lies on the vein", "above the ankle"]
)
def test_words_about_something_else_do_not(tmp_path, note):
    assert middle(tmp_path, "forearm-outer", note=note).spot.is_loose


def test_the_place_as_it_was_written_narrows_too(tmp_path):
    upper = middle(tmp_path, "forearm-outer", size=(30, 30), place_as_written="upper outer forearm")
    assert upper.middles_mm == (UPPER + 15, UPPER + FORE / 2 - 15)
    assert middle(tmp_path, "upper-arm-outer", place_as_written="outer upper arm").spot.is_loose


def test_a_side_of_the_calf_is_both_until_it_is_said(tmp_path):
    assert middle(tmp_path, "calf-side").spot.facing == (270, 90)
    assert middle(tmp_path, "calf-side", place_as_written="inner calf").spot.facing == (90,)


@pytest.mark.parametrize(
    ("note", "facing", "is_loose"),
    [
        ("girth at the elbow; ornament centred on the point of the elbow", (180,), True),
        ("centered on the elbow", (180,), False),
        ("centred on the knee", (0,), True),
        ("centred on the rose", (0,), True),
    ],
)
def test_what_goes_all_round_faces_the_way_it_is_centred(tmp_path, note, facing, is_loose):
    piece = middle(tmp_path, "full-sleeve", size=(107, 405), note=note)
    assert (piece.spot.facing, piece.spot.is_loose) == (facing, is_loose)
    assert middle(tmp_path, "forearm-inner", note=note).spot.facing == (0,)


def test_pieces_with_the_same_words_are_drawn_one_below_the_other(tmp_path):
    limb = only(laid_out(tmp_path, *(limb_piece(n, "forearm-outer", size=(60, 100)) for n in (1, 2))))
    first, second = (piece.extent_mm for piece in limb.pieces)
    assert first[1] <= second[0]
    assert [piece.number for piece in limb.pieces] == [1, 2]


def test_a_measured_girth_stands_where_its_piece_is_drawn_and_in_place_of_an_average(tmp_path):
    limb = only(laid_out(tmp_path, limb_piece(1, "forearm-outer", girth=286, size=(71.5, 90))))
    marks = [(mark.at_mm, mark.girth_mm, mark.source) for mark in limb.profile.marks]
    assert marks == [
        (UPPER / 2, 335, From.AVERAGE),
        (UPPER + FORE / 2, 286, From.MEASURED),
        (UPPER + FORE, 166, From.AVERAGE),
    ]
    assert limb.pieces[0].span_deg == 90


def test_girths_between_marks_lie_on_a_cone(tmp_path):
    limb = only(laid_out(tmp_path, limb_piece(1, "forearm-outer", girth=286)))
    assert limb.profile.girth(UPPER + FORE * 3 / 4) == (286 + 166) / 2
    assert limb.profile.girth(0) == 335
    assert limb.profile.area(UPPER + FORE / 2, UPPER + FORE) == (286 + 166) / 2 * FORE / 2


@pytest.mark.parametrize("girth", [3, 100, 540, 2700])
def test_a_girth_no_limb_has_is_left_out_and_named(tmp_path, girth):
    limb = only(laid_out(tmp_path, limb_piece(1, "forearm-outer", girth=girth)))
    assert limb.odd_girths == (("Piece 1", girth),)
    assert all(mark.source is From.AVERAGE for mark in limb.profile.marks)


def test_both_arms_and_legs_are_limbs_of_their_own_and_the_rest_is_said(tmp_path):
    sleeve = laid_out(
        tmp_path,
        limb_piece(1, "forearm-outer"),
        limb_piece(2, "forearm-outer", side="left"),
        limb_piece(3, "calf"),
        limb_piece(4, "ribs"),
        limb_piece(5, "calf", side=None),
        limb_piece(6, "calf", size=None),
        limb_piece(7, None),
        limb_piece(8, "calf", side="centre"),
    )
    drawn = [(limb.kind.value, limb.side, [piece.number for piece in limb.pieces]) for limb in sleeve.limbs]
    assert drawn == [("arm", Side.LEFT, [2]), ("arm", Side.RIGHT, [1]), ("leg", Side.RIGHT, [3])]
    assert [(one.number, one.reason) for one in sleeve.left_out] == [
        (4, NotDrawn.NO_LIMB),
        (5, NotDrawn.NO_SIDE),
        (6, NotDrawn.NO_SIZE),
        (7, NotDrawn.NO_PLACE),
        (8, NotDrawn.NO_SIDE),
    ]


def test_the_limb_is_cut_open_where_no_piece_is(tmp_path):
    assert only(laid_out(tmp_path, limb_piece(1, "forearm-outer"))).seam == 135
    wide = [limb_piece(1, "forearm-outer", size=(160, 90)), limb_piece(2, "upper-arm-inner", size=(120, 90))]
    assert only(laid_out(tmp_path, *wide)).seam == 315


def test_what_was_measured_and_said_takes_the_place_of_averages(tmp_path):
    asked = read_measures(("wrist=6 1/2 in", "Upper-Arm=310mm"), ("forearm=240mm",))
    limb = only(laid_out(tmp_path, limb_piece(1, "forearm-outer", girth=286), asked=asked))
    assert limb.profile.lengths_mm == (UPPER, 240)
    assert limb.profile.lengths_from == (From.AVERAGE, From.TOLD)
    told = [(mark.at_mm, mark.girth_mm) for mark in limb.profile.marks if mark.source is From.TOLD]
    assert told == [(UPPER / 2, 310), (UPPER + 240, pytest.approx(165.1))]


@pytest.mark.parametrize(
    ("girths", "lengths", "said"),
    [
        (("tail=30mm",), (), "forearm"),
        (("wrist",), (), "how much"),
        (("wrist=round",), (), "round"),
        (("wrist=30mm",), (), "142 to 191 mm"),
        (("wrist=900mm",), (), "142 to 191 mm"),
        (("thigh=150mm",), (), "Measure round the limb once more"),
        ((), ("forearm=20mm",), "joint"),
    ],
)
def test_measures_that_cannot_be_are_told(girths, lengths, said):
    with pytest.raises(UsageError, match=said):
        read_measures(girths, lengths)


@pytest.mark.parametrize(
    ("second", "several"),
    [
        (limb_piece(2, "upper-arm-front"), True),
        (limb_piece(2, "upper-arm-front", side="left"), False),
        (limb_piece(2, "calf"), False),
        (limb_piece(2, "forearm-outer", size=None), False),
        (limb_piece(2, "ribs"), False),
    ],
)
def test_a_page_is_made_for_who_has_several_pieces_on_one_limb(tmp_path, second, several):
    pieces = overviews(tmp_path, limb_piece(1, "forearm-outer"), second)
    assert shares_a_limb(pieces) is several
    assert shares_a_limb(pieces[:1]) is False


def test_a_name_is_left_out_where_a_piece_would_lie_under_it(tmp_path):
    limb = draw_limb(only(laid_out(tmp_path, limb_piece(1, "forearm-outer", size=(60, 250)))), "mm")
    assert [one.words for one in limb.facings] == ["front", "inner", "back", "outer", "inner", "little finger", "thumb"]


def test_a_girth_is_written_at_the_end_where_no_piece_lies(tmp_path):
    def at_the_right(size):
        sleeve = laid_out(tmp_path, limb_piece(1, "thigh-outer", "left", size, girth=510))
        return next(one.x > 0 for one in draw_limb(only(sleeve), "mm").girths if one.words.startswith("510"))

    assert at_the_right((20, 99))
    assert not at_the_right((80, 99))


def test_what_a_piece_may_cover_wholly_or_not_at_all_is_said_to_be_unknown(tmp_path):
    limb = only(laid_out(tmp_path, limb_piece(1, "full-sleeve", size=(107, 405))))
    upper, _ = free_words(limb, free_skin(limb), "mm")
    assert {area for _, area in upper.quarters} == {"unknown"}
    assert upper.by_quarter == "front, inner, back, outer: can’t be said, a piece lies somewhere here"
    narrow = only(laid_out(tmp_path, limb_piece(1, "forearm-outer", size=(40, 60))))
    assert "can’t" not in "".join(words.by_quarter for words in free_words(narrow, free_skin(narrow), "mm"))


def test_a_piece_that_goes_round_is_said_to(tmp_path):
    limb = only(laid_out(tmp_path, limb_piece(1, "upper-arm-outer", size=(40, 60))))

    def said(width):
        return list(new_piece_words(limb, room_for(limb, width, 90)))

    assert not any("go round" in line for line in said(50))
    assert "wraps 84 to 152°: it would go round where the limb is thin, and no side shows all of it." in said(70)[1]
    upper, fore = said(140)
    assert "wraps 150 to 168°: it would go round, and no side shows all of it. With its middle on " in upper
    assert "it would go round, and" in fore


def test_of_two_ways_a_piece_may_face_neither_is_taken_for_sure(tmp_path):
    size = (90, 410)
    either = only(laid_out(tmp_path, limb_piece(1, "calf-side", size=size)))
    inner = only(laid_out(tmp_path, limb_piece(1, "calf-side", size=size, place_as_written="inner calf")))
    assert dict(room_for(either, 60, 90)[1].rooms)[90] is Room.MAYBE
    assert dict(room_for(inner, 60, 90)[1].rooms)[90] is Room.NONE
