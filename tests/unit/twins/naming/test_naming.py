"""How a pair is named from where the pictures lie, when they were taken and what was measured."""

from types import SimpleNamespace

import numpy as np
import pytest

from archgen.twins.description.prepared import View
from archgen.twins.description.signature import PictureKind
from archgen.twins.description.turns import IDENTITY, box_transform, turn_transform
from archgen.twins.model import ComparedPicture, PictureBox, Relation
from archgen.twins.naming import relation
from archgen.twins.naming.alignment import Alignment
from archgen.twins.naming.edges import EdgePlace, Frame
from archgen.twins.naming.relation import Match, full_transform, is_other_day, name_pair, same_pair
from archgen.twins.naming.weight import Weight
from tests.unit.twins.pictures import kept

GRAY = np.tile(np.arange(0, 240, 4, dtype=np.uint8), (45, 1))
PICTURE = kept(GRAY)


def compared(key="a", prepared=PICTURE, taken=None):
    return ComparedPicture(key, prepared, taken=taken)


def test_a_match_is_not_bent_unless_it_says_so():
    assert not Match(IDENTITY, PictureKind.PHOTO, 1.0).is_bent


def test_two_pictures_of_which_the_same_was_kept_are_identical():
    pair = same_pair(compared("a"), compared("b"))
    assert (pair.a, pair.b, pair.relation, pair.mirrored, pair.turned) == ("a", "b", Relation.IDENTICAL, False, 0)
    assert (pair.transform, pair.score) == ((1, 0, 0, 0, 1, 0), 1)


@pytest.mark.parametrize(
    ("a", "b", "score", "other"),
    [
        (9000.0, 12601.0, 0.94, True),
        (12601.0, 9000.0, 0.94, True),
        (9000.0, 12600.0, 0.94, False),
        (0.0, 3601.0, 0.95, False),
        (None, 3601.0, 0.5, False),
        (0.0, None, 0.5, False),
    ],
)
def test_an_hour_apart_is_another_day_unless_the_likeness_is_certain(a, b, score, other):
    assert is_other_day(compared(taken=a), compared(taken=b), score) is other


def test_a_transform_between_contents_is_one_between_whole_pictures():
    part, whole = (0.5, 0.0, 1.0, 0.5), (0.25, 0.25, 0.75, 0.75)
    found = full_transform(part, whole, box_transform(0.5, 0.5, 1, 1))
    # The content of the part is the lower right quarter of the content of the whole.
    assert found @ [0.5, 0, 1] == pytest.approx((0.5, 0.5))
    assert found @ [1, 0.5, 1] == pytest.approx((0.75, 0.75))


# Which name goes before which.

OTHER, SAME = Weight(1.5, 0.01, True), Weight(1.1, 0.0, False)


def named(place, *, turn=0, weight=None, a=None, b=None):
    alignment = Alignment(turn, IDENTITY, is_plain=True)
    return relation._relation(compared(taken=a), compared(taken=b), alignment, place, weight)


@pytest.mark.parametrize(
    ("found", "name"),
    [
        ({"place": EdgePlace.A_IN_B, "turn": 4, "weight": OTHER}, Relation.VERSION),
        ({"place": EdgePlace.A_IN_B, "turn": 4, "weight": SAME}, Relation.CROPPED),
        ({"place": EdgePlace.B_IN_A, "turn": 1}, Relation.CROPPED),
        ({"place": EdgePlace.SAME, "turn": 3}, Relation.TURNED),
        ({"place": EdgePlace.SAME, "turn": 4}, Relation.MIRRORED),
        ({"place": EdgePlace.SAME, "turn": 1, "a": 0, "b": 2}, Relation.TURNED),
        ({"place": EdgePlace.SAME, "a": 0, "b": 2}, Relation.BURST),
        ({"place": EdgePlace.SAME, "a": 0, "b": 0}, Relation.IDENTICAL),
        ({"place": EdgePlace.SAME, "a": 100, "b": 120}, Relation.BURST),
        ({"place": EdgePlace.SAME, "a": 0, "b": 20.1}, Relation.IDENTICAL),
        ({"place": EdgePlace.MOVED, "a": 20.1, "b": 0}, Relation.EDITED),
        ({"place": EdgePlace.MOVED, "a": 20, "b": 0}, Relation.BURST),
        ({"place": EdgePlace.MOVED}, Relation.BURST),
        ({"place": EdgePlace.MOVED, "a": 0}, Relation.BURST),
        ({"place": EdgePlace.MOVED, "b": 0}, Relation.BURST),
        ({"place": EdgePlace.SAME, "a": 0}, Relation.IDENTICAL),
        ({"place": EdgePlace.SAME}, Relation.IDENTICAL),
        ({"place": EdgePlace.FRAMED}, Relation.EDITED),
        ({"place": EdgePlace.TILTED, "weight": SAME}, Relation.EDITED),
    ],
)
def test_the_name_that_tells_most_is_given(found, name):
    assert named(**found) is name


def test_what_moved_and_changed_its_light_is_no_burst():
    alignment = Alignment(0, IDENTITY, is_plain=True)
    bright = kept((GRAY * 0.8).astype(np.uint8))
    assert relation._relation(compared(), compared("b", bright), alignment, EdgePlace.MOVED, None) is Relation.EDITED
    assert relation._relation(compared(), compared("b", bright), alignment, EdgePlace.SAME, None) is Relation.EDITED


@pytest.mark.parametrize(
    ("size", "weight", "name"),
    [
        ((400, 300), Weight(1.0, 0.00017, False), Relation.VERSION),
        ((400, 300), Weight(1.0, 0.0, False), Relation.IDENTICAL),
        ((400, 300), None, Relation.IDENTICAL),
        ((800, 600), Weight(1.0, 0.00017, False), Relation.IDENTICAL),
    ],
)
def test_a_copy_cut_to_black_and_white_is_a_version_at_its_own_size_only(size, weight, name):
    paper = np.full((45, 60), 255)
    paper[10:20] = 0
    soft, cut = kept(paper, (400, 300), halftones=0.04), kept(paper, size)
    alignment = Alignment(0, IDENTITY, is_plain=True)
    assert relation._edit(soft, cut, alignment, EdgePlace.SAME, weight) is name


# What is asked, and what is told.

VIEW = View(PictureKind.LINE, (0, 0, 1, 1), np.zeros((1, 1), np.float32), np.zeros(1, np.float32))
PHOTO = View(PictureKind.PHOTO, (0, 0, 1, 1), np.zeros((1, 1), np.float32), np.zeros(1, np.float32))


@pytest.fixture
def judged(monkeypatch):
    """Name a pair of which this was found; what was asked of the weight stands in `asked`."""

    def judge(place, *, views=((VIEW,), (VIEW,)), kind=PictureKind.PHOTO, turn=0, plain=True, bent=False, weight=None):
        asked.clear()
        frame = Frame(PictureBox(0.1, 0, 1, 1), PictureBox(0, 0, 0.9, 1), 0, 0, 0, 0, 0)
        alignment = Alignment(turn, box_transform(0.1, 0.2, 0.7654321, 1), plain)
        monkeypatch.setattr(relation, "settle", lambda *_: alignment)
        monkeypatch.setattr(relation, "place_of", lambda _a, _b, _found, kind: asked.append(kind) or (place, frame))
        monkeypatch.setattr(relation, "weigh", lambda *_, is_sure: asked.append(is_sure) or weight)
        monkeypatch.setattr(relation, "_edit", lambda *_: Relation.EDITED)
        a, b = (
            SimpleNamespace(key=key, prepared=SimpleNamespace(views=own), taken=0.0)
            for key, own in zip("ab", views, strict=True)
        )
        return name_pair(a, b, Match(IDENTITY, kind, 0.87654, bent))

    asked = []
    judge.asked = asked
    return judge


def test_a_pair_tells_its_place_score_and_weight(judged):
    pair = judged(EdgePlace.B_IN_A, weight=Weight(1.23456, 0.1, False))
    assert (pair.a, pair.b, pair.relation, pair.score, pair.weight) == ("a", "b", Relation.CROPPED, 0.877, 1.235)
    assert (pair.mirrored, pair.turned, pair.part, pair.box) == (False, 0, "b", PictureBox(0.1, 0, 1, 1))
    assert pair.transform == (0.66543, 0, 0.1, 0, 0.8, 0.2)
    other = judged(EdgePlace.A_IN_B)
    assert (other.part, other.box, other.weight) == ("a", PictureBox(0, 0, 0.9, 1), None)
    whole = judged(EdgePlace.SAME)
    assert (whole.part, whole.box) == (None, None)


@pytest.mark.parametrize(
    ("turn", "mirrored", "degrees"), [(0, False, 0), (1, False, 90), (3, False, 270), (4, True, 0), (6, True, 180)]
)
def test_a_turn_is_told_in_degrees_after_the_mirror(judged, turn, mirrored, degrees):
    pair = judged(EdgePlace.SAME, turn=turn)
    assert (pair.mirrored, pair.turned) == (mirrored, degrees)
    xx, xy, _, yx, yy, _ = pair.transform
    placed = box_transform(0.1, 0.2, 0.7654321, 1)[:, :2] @ turn_transform(turn)[:, :2]
    assert (xx, xy, yx, yy) == pytest.approx(tuple(placed.ravel()), abs=1e-5)


@pytest.mark.parametrize(
    ("views", "kind", "looked_at"),
    [
        (((VIEW,), (PHOTO, VIEW)), PictureKind.PHOTO, PictureKind.LINE),
        (((VIEW,), (PHOTO,)), PictureKind.PHOTO, PictureKind.PHOTO),
        (((PHOTO,), (VIEW,)), PictureKind.LINE, PictureKind.LINE),
    ],
)
def test_what_can_be_looked_at_as_a_drawing_is(judged, views, kind, looked_at):
    judged(EdgePlace.SAME, views=views, kind=kind)
    assert judged.asked[0] is looked_at
    assert len(judged.asked) == (2 if looked_at is PictureKind.LINE else 1)  # lines are weighed


@pytest.mark.parametrize(
    ("place", "plain", "sure"),
    [
        (EdgePlace.SAME, True, True),
        (EdgePlace.A_IN_B, True, True),
        (EdgePlace.B_IN_A, True, True),
        (EdgePlace.SAME, False, False),
        (EdgePlace.MOVED, True, False),
        (EdgePlace.TILTED, True, False),
    ],
)
def test_lines_are_sure_where_nothing_was_photographed_or_moved(judged, place, plain, sure):
    judged(place, plain=plain)
    assert judged.asked == [PictureKind.LINE, sure]


def test_lines_in_a_frame_are_not_weighed(judged):
    judged(EdgePlace.FRAMED)
    assert judged.asked == [PictureKind.LINE]


@pytest.mark.parametrize(
    ("place", "plain", "bent", "part"),
    [
        (EdgePlace.B_IN_A, True, True, "b"),
        (EdgePlace.B_IN_A, False, True, None),
        (EdgePlace.B_IN_A, False, False, "b"),
    ],
)
def test_what_agrees_only_in_perspective_is_tilted_unless_it_lies_plainly(judged, place, plain, bent, part):
    assert judged(place, plain=plain, bent=bent).part == part


@pytest.mark.parametrize(("bent", "sure"), [(True, Relation.EDITED), (False, Relation.BURST)])
def test_what_moved_in_perspective_is_no_burst(judged, monkeypatch, bent, sure):
    monkeypatch.setattr(relation, "_is_burst", lambda *found: found[-1] is EdgePlace.MOVED)
    assert judged(EdgePlace.MOVED, bent=bent).relation is sure
