"""Whose pictures a name says they are, what a day makes of a photo, and which lines may be spoken of."""

import datetime as dt
from types import SimpleNamespace

import pytest

from archgen.intake.comparing.filed_lines import LEAST_MARKS
from archgen.intake.comparing.proposals import SOME_GAIN, SURE_MARKS, clients_named, lie_on_each_other, stage_at
from archgen.intake.plan import What
from archgen.records.model import Client

CLIENTS = {
    code: Client(code=code, name=name) for code, name in (("C-0042", "Anna Holt"), ("C-004", None), ("C-1", "Bo"))
}
DONE = dt.date(2026, 9, 5)


@pytest.mark.parametrize(
    ("names", "code"),
    [
        (["C-0042", "a.jpg"], "C-0042"),
        (["c-0042_left arm", "a.jpg"], "C-0042"),
        (["C-00421", "a.jpg"], None),
        (["Anna Holt", "a.jpg"], "C-0042"),
        (["anna_holt moth.jpg"], "C-0042"),
        (["Anna", "a.jpg"], None),
        (["Bo", "a.jpg"], None),
        (["C-0042", "C-004.jpg"], None),
        (["a.jpg"], None),
    ],
)
def test_a_client_is_known_by_code_or_whole_name(names, code):
    assert clients_named(names, CLIENTS) == code


@pytest.mark.parametrize(
    ("days", "what"),
    [(-1, What.IN_PROGRESS), (0, What.FRESH), (7, What.FRESH), (8, What.HEALED), (82, What.HEALED)],
)
def test_the_day_says_the_stage(days, what):
    assert stage_at(DONE, DONE + dt.timedelta(days=days), 28) is what


def test_without_a_day_a_photo_of_a_filed_piece_is_a_healed_one():
    assert stage_at(None, DONE, 28) is What.HEALED
    assert stage_at(DONE, None, 28) is What.HEALED


@pytest.mark.parametrize(
    ("marks", "gain", "said"),
    [
        (SURE_MARKS, 0.0, True),
        (SURE_MARKS - 1, SOME_GAIN, True),
        (SURE_MARKS - 1, SOME_GAIN - 0.01, False),
        (LEAST_MARKS, SOME_GAIN, True),
        (LEAST_MARKS - 1, 0.9, False),
    ],
)
def test_lines_are_spoken_of_by_many_marks_or_by_fewer_with_lines_under_them(marks, gain, said):
    assert lie_on_each_other(SimpleNamespace(agreeing=marks, score=SimpleNamespace(gain=gain))) is said
