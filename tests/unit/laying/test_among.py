"""Drawings found among many by what a photo shows of them, on made-up drawings whose true place is known."""

import math
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from archgen.laying.among import KnownDrawing, find_among, know, photo_field
from archgen.laying.evidence import LaidEvidence, speaks_for, weigh
from archgen.laying.line_map import SIDE, find_lines
from archgen.laying.pose import similar
from archgen.laying.surroundings import without_specks
from tests.intake_pictures import skin, stencil

TURN, SHARE, SHIFT = 65, 0.55, (40, -60)


def untold(*_):
    """Take no notice of progress."""


@pytest.fixture(scope="module")
def drawings():
    return [know(find_lines(stencil(number))) for number in range(1, 13)]


@pytest.fixture(scope="module")
def onto():
    """A photo of the fourth drawing, small, turned and moved aside."""
    return photo_field(find_lines(skin(4, red=0.5, turn=TURN, share=SHARE, shift=SHIFT, seed=3)))


@pytest.fixture(scope="module")
def found(drawings, onto):
    return find_among(onto, drawings, untold)


def test_the_drawing_of_a_photo_comes_first_and_is_sure(found):
    assert found[0].number == 3
    other = max(one.evidence.total for one in found if one.number != 3)
    assert found[0].evidence.settles(other)
    assert not replace_total(found[0].evidence, other).settles(found[0].evidence.total)


def replace_total(evidence, total):
    return evidence.__class__(**{**fields(evidence), "drawn": total, "photographed": 0.0})


def fields(evidence):
    return {name: getattr(evidence, name) for name in evidence.__struct_fields__}


def test_it_lies_where_it_was_put(found, drawings):
    """Both pictures have a long side of SIDE in their line maps; a stencil's square is 900, of which it takes 0.95."""
    turn = np.radians(TURN)
    matrix = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    points = drawings[3].lines.points
    off = (points - 450.0) / (0.95 * 900) * SHARE * 768
    true = (off @ matrix.T + np.array([384, 512]) + SHIFT) * SIDE / 1024
    assert np.hypot(*(found[0].pose.places(points) - true).T).max() < 4


def test_what_the_photo_does_not_show_has_nothing_sure(drawings, onto):
    wrong = find_among(onto, drawings[:3] + drawings[4:], untold)
    totals = [one.evidence.total for one in wrong]
    assert not wrong[0].evidence.settles(totals[1])
    assert totals == sorted(totals, reverse=True)


def test_progress_is_told_to_the_end(drawings, onto):
    told = []
    find_among(onto, drawings, lambda *given: told.append(given))
    assert told[len(drawings) - 1][0] == len(drawings)
    assert [done for done, _ in told] == sorted(done for done, _ in told)
    assert len({total for _, total in told}) == 1
    assert told[-1][0] <= told[-1][1]


def test_a_picture_without_lines_shows_nothing(drawings):
    assert find_among(photo_field(find_lines(Image.new("L", (800, 600), 200))), drawings, untold) == []


def test_a_blank_stencil_is_not_enough_to_be_found():
    assert not know(find_lines(Image.new("L", (400, 400), 255))).is_enough
    assert know(find_lines(stencil(2))).is_enough


def test_a_known_drawing_comes_back_from_its_bytes(drawings):
    back = KnownDrawing.from_bytes(drawings[0].to_bytes())
    assert back.length == drawings[0].length
    assert np.abs(back.around.codes - drawings[0].around.codes).max() < 0.01
    assert (back.around.points == drawings[0].around.points).all()
    assert (back.around.reaches == drawings[0].around.reaches).all()


@pytest.mark.parametrize("data", [b"", b"abc", b"\x01" * 40, bytes(8), bytes(12) + b"no"])
def test_damaged_bytes_are_told(data):
    with pytest.raises(ValueError, match="are not the bytes"):
        KnownDrawing.from_bytes(data)


def test_the_right_place_has_more_that_speaks_for_it_than_one_beside_it(found, drawings, onto):
    right = found[0]
    beside = replace(right.pose, shift=right.pose.shift + np.array([25.0, 0.0]))
    wrong = weigh(drawings[3].lines, onto, beside)
    assert right.evidence.drawn > 5 * max(wrong.drawn, 1)
    assert right.evidence.photographed > 5 * max(wrong.photographed, 1)
    assert right.evidence.explained > wrong.explained


def test_more_of_a_drawing_says_more_than_a_piece_of_it(found, drawings, onto):
    """The share that is met is the same; a piece is what a simple drawing is."""
    lines, right = drawings[3].lines, found[0]
    some = lines.points[:, 0] < np.quantile(lines.points[:, 0], 0.3)
    piece = replace(lines, points=lines.points[some], angles=lines.angles[some], strengths=lines.strengths[some])
    evidence = weigh(piece, onto, right.pose)
    assert evidence.met == pytest.approx(right.evidence.met, abs=0.1)
    assert evidence.drawn < 0.6 * right.evidence.drawn


def test_a_likelihood_ratio_is_that_of_neyman_and_pearson():
    """Of n places of which a share s is met where chance is c, the log ratio is n (s ln s/c + (1-s) ln (1-s)/(1-c))."""
    met = np.zeros((1, 200), bool)
    met[0, :120] = True
    said = speaks_for(met, np.full((1, 200), 0.25, np.float32), np.ones((1, 200), bool))[0]
    assert said == pytest.approx(200 * (0.6 * math.log(0.6 / 0.25) + 0.4 * math.log(0.4 / 0.75)), rel=1e-5)


def test_hardly_anything_in_the_photo_is_nothing(drawings, onto):
    away = similar(1.0, 0.0, (0.0, 0.0), (5000.0, 0.0), 1.0)
    assert weigh(drawings[0].lines, onto, away) is None


def test_sure_takes_a_lead_and_enough():
    def evidence(total):
        return LaidEvidence(drawn=total, photographed=0, met=1, chance=0, explained=1, inside=1)

    assert evidence(400).settles(100)
    assert not evidence(400).settles(300)
    assert not evidence(60).settles(0)


def test_specks_are_left_out_and_lines_are_not():
    picture = np.full((900, 900), 230, np.uint8)
    picture[448:452, 100:800] = 30
    for x in range(120, 800, 40):
        picture[600:605, x : x + 5] = 30
    lines = find_lines(Image.fromarray(picture))
    clean = without_specks(lines, 14)
    assert (np.abs(lines.points[:, 1] - 602) < 9).sum() > 20
    assert (np.abs(clean.points[:, 1] - 602) < 9).sum() == 0
    assert (np.abs(clean.points[:, 1] - 450) < 3).sum() > 500
