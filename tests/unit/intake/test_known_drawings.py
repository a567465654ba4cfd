"""Filed stencils are described once; of what a picture may show, one of each piece, and only a lead makes it sure."""

import numpy as np
import pytest

from archgen.intake.comparing import known_drawings as room
from archgen.intake.comparing.filed_lines import FiledPicture
from archgen.intake.comparing.known_drawings import ShownLines, known_drawings, likeliest
from archgen.laying.evidence import LaidEvidence
from archgen.laying.pose import similar
from archgen.progress import Silent
from archgen.storage.cache import Cache
from tests.intake_pictures import save, stencil

POSE = similar(1.0, 0.0, (0.0, 0.0), (0.0, 0.0), 1.0)


@pytest.fixture
def filed(tmp_path):
    save(stencil(2), tmp_path / "1.png")
    return FiledPicture("moth", "stencils/1.png", tmp_path / "1.png", "d1", is_stencil=True)


def test_a_stencil_is_described_once_and_anew_when_the_cache_is_damaged(filed, tmp_path, monkeypatch):
    cache = Cache(tmp_path / "cache")
    first = known_drawings([filed], cache, 1, Silent())
    monkeypatch.setattr(room, "know", lambda _: pytest.fail("described again"))
    again = known_drawings([filed], cache, 1, Silent())
    assert np.abs(again[0][1].lines.points - first[0][1].lines.points).max() < 0.1
    monkeypatch.undo()
    monkeypatch.setattr(cache, "get", lambda _: b"damaged")
    assert known_drawings([filed], cache, 1, Silent())[0][1].length == first[0][1].length


def test_what_cannot_be_read_or_is_blank_is_left_out(filed, tmp_path):
    gone = FiledPicture("gone", "stencils/2.png", tmp_path / "none.png", "d2", is_stencil=True)
    blank = FiledPicture("blank", "stencils/3.png", tmp_path / "3.png", "d3", is_stencil=True)
    save(stencil(2).point(lambda _: 255), tmp_path / "3.png")
    found = known_drawings([gone, blank, filed], Cache(tmp_path / "cache"), 1, Silent())
    assert [one.piece for one, _ in found] == ["moth"]


def shown(piece, total, path="stencils/1.png"):
    evidence = LaidEvidence(drawn=total, photographed=0, met=1, chance=0, explained=1, inside=1)
    return ShownLines(FiledPicture(piece, path, None, piece), POSE, evidence)


def said(*found):
    return [(one.filed.piece, one.evidence.total, one.is_sure) for one in likeliest(found)]


def test_one_of_each_piece_is_told_the_likeliest_first():
    found = shown("owl", 90), shown("moth", 500), shown("moth", 300, "photos/1.jpg"), shown("koi", -4)
    assert said(*found) == [("moth", 500, True), ("owl", 90, False)]


def test_two_pieces_with_one_drawing_leave_it_to_the_eye():
    assert said(shown("owl", 400), shown("moth", 390)) == [("owl", 400, False), ("moth", 390, False)]
    assert said() == []
