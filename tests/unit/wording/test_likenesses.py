"""Groups and their members in an artist's words."""

import pytest

from archgen.twins.model import Pair, PictureBox, Relation
from archgen.wording.likenesses import group_words, member_words, pair_words


def pair(a, b, relation, *, mirrored=False, turned=0, weight=None, part=None):
    box = PictureBox(0.2, 0.2, 0.7, 0.8) if part else None
    return Pair(a, b, relation, mirrored, turned, (1, 0, 0, 0, 1, 0), 0.95, part=part, box=box, weight=weight)


EDITED, COPY = pair("a", "c", Relation.EDITED), pair("a", "d", Relation.IDENTICAL)
HEAVIER = pair("a", "b", Relation.VERSION, weight=1.7)
MIRRORED = pair("a", "e", Relation.MIRRORED, mirrored=True)
PART = pair("a", "f", Relation.CROPPED, part="f")
FRAME = pair("a", "g", Relation.BURST)


@pytest.mark.parametrize(
    ("pairs", "words"),
    [
        ([COPY], "The same picture twice or more"),
        ([EDITED, COPY], "One picture, edited"),
        ([EDITED, HEAVIER], "One drawing, with lines of different weight"),
        ([pair("a", "b", Relation.VERSION, weight=1.01)], "One drawing, drawn with other lines"),
        ([pair("a", "b", Relation.VERSION, mirrored=True)], "One drawing, drawn with other lines, mirrored"),
        ([EDITED, MIRRORED], "One picture, mirrored and edited"),
        ([PART], "One picture and a part of it"),
        ([PART, EDITED], "One picture and a part of it, edited"),
        ([pair("a", "b", Relation.TURNED, turned=90)], "One picture, turned"),
        ([FRAME], "Photos of one moment"),
        ([FRAME, EDITED, PART], "Photos of one moment, some cropped, some edited"),
    ],
)
def test_a_group_is_called_by_what_sets_its_pictures_apart_the_most(pairs, words):
    assert group_words(pairs) == words


def test_every_member_is_described_if_need_be_by_way_of_a_third():
    third = pair("b", "c", Relation.MIRRORED, mirrored=True)
    words = member_words(("a", "c", "b"), [HEAVIER, third], ("1", "2", "3"))
    assert words == ("", "compared with 3: mirrored", "the same drawing with lines 1.7 times as heavy")


def test_a_part_names_the_picture_it_is_a_part_of():
    assert pair_words(PART, "f", "the first") == "a part of the first, 30% of its area"
    assert pair_words(PART, "a") == "shows more; that picture is a part of it, 30% of its area"


def test_a_copy_that_is_turned_as_well_says_so():
    assert pair_words(pair("a", "b", Relation.IDENTICAL, turned=180), "b") == "the same picture, turned by 180°"
