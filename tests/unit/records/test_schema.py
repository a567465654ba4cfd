"""Every problem of a record's shape, each with its line and what to do."""

import datetime as dt
import tomllib

import pytest

from archgen.records.model import ReleaseStatus, SittingKind, Stage
from archgen.records.schema import read_piece_record
from archgen.toml.lines import key_lines


def read(text):
    return read_piece_record(tomllib.loads(text), key_lines(text))


def problems(text):
    record, found = read(text)
    assert record is None
    return found


def test_one_line_is_a_record():
    record, found = read('title = "Barn owl"\n')
    assert (record.title, record.publish, found) == ("Barn owl", False, [])


def test_values_arrive_in_their_units():
    record, _ = read(
        'title = "a"\n[size]\nwidth = "6,2 cm"\nheight = "2 1/2 in"\n[[sitting]]\ndate = 2026-03-14\nhours = "3h30"\n'
        '[[sitting]]\ndate = 2026-03-15\nhours = "0:45"\nkind = "touch-up"\n[[photo]]\nfile = "a"\nstage = "fresh"\n'
        '[release]\nstatus = "granted"\n'
    )
    assert (record.size.width, record.size.height) == (62.0, 63.5)
    assert [sitting.hours for sitting in record.sitting] == [3.5, 0.75]
    assert record.sitting[1].kind is SittingKind.TOUCH_UP
    assert (record.photo[0].stage, record.release.status) == (Stage.FRESH, ReleaseStatus.GRANTED)


def test_a_date_in_quotes_counts_when_it_can_mean_one_day_only():
    record, _ = read('title = "a"\nfinished = "2026-03-14"\n')
    assert record.finished == dt.date(2026, 3, 14)


def test_an_empty_text_is_not_recorded():
    record, _ = read('title = "a"\nclient = ""\n[[ink]]\nbatch = " "\nname = "black"\n[size]\nwidth = ""\n')
    assert (record.client, record.ink[0].batch, record.size.width) == (None, None, None)


@pytest.mark.parametrize(
    ("lines", "line", "code", "said"),
    [
        ('titel = "x"', 2, "unknown-key", 'Nearest: "title"'),
        ("publish = 1", 2, "wrong-type", "publish = true"),
        ('publish = "no"', 2, "wrong-type", "publish = false"),
        ("client = 42", 2, "wrong-type", 'client = "42"'),
        ('styles = "black"', 2, "wrong-type", 'styles = ["black"]'),
        ('subjects = ["owl", 3]', 2, "wrong-type", "Value 2 of subjects"),
        ('finished = "14.3.2026"', 2, "bad-date", "finished = 2026-03-14"),
        ('finished = "2026-02-30"', 2, "bad-date", "does not exist"),
        ("finished = 2026-03-14T10:00:00", 2, "bad-date", "finished = 2026-03-14"),
        ("size = 3", 2, "wrong-type", "[size]"),
        ('[size]\nwidth = "62"', 3, "bad-length", "unit"),
        ("[size]\nwidth = 62", 3, "bad-length", 'width = "62 mm"'),
        ('[size]\nclient = "x"', 3, "unknown-key", "above the first line in brackets"),
        ("[[size]]", 2, "wrong-type", "[size]"),
        ("[sitting]\ndate = 2026-03-14", 2, "wrong-type", "[[sitting]]"),
        ("[[stencil]]\nversion = 1", 2, "missing-key", 'file = "stencils/owl-1.png"'),
        ('[[sitting]]\ndate = 2026-03-14\nhours = "long"', 4, "bad-time", "3h30"),
        ("[[sitting]]\ndate = 2026-03-14\nhours = 25", 4, "bad-time", "24"),
        ("[[sitting]]\ndate = 2026-03-14\nhours = nan", 4, "bad-time", "24"),
        ('[[photo]]\nfile = "a"\nstage = "frsh"', 4, "unknown-word", 'Nearest: "fresh". Allowed: in-progress, fresh'),
        ("[[photo]]\nstage = 'fresh'", 2, "missing-key", "file"),
        ('[placement]\nside = "center"', 3, "unknown-word", 'Nearest: "centre"'),
        ('[[stencil]]\nfile = "a"\nversion = "2"', 4, "wrong-type", "version = 2"),
        ('[[stencil]]\nfile = "a"\nversion = 2.5', 4, "wrong-type", "whole number"),
        (
            '[[stencil]]\nfile = "a"\n[[stencil.landmark]]\nstencil = [1]\non = "b"\nat = [1, 2]',
            5,
            "wrong-type",
            "[412, 980]",
        ),
        ('[release]\nstatus = "grantd"', 3, "unknown-word", 'Nearest: "granted"'),
        ('[release]\nstatus = ["granted"]', 3, "unknown-word", "Allowed: granted"),
    ],
)
def test_one_problem_says_line_code_and_what_to_do(lines, line, code, said):
    (found,) = problems(f'title = "a"\n{lines}\n')
    assert (found.code, found.line) == (code, line)
    assert said in f"{found.problem} {found.remedy}"


def test_a_missing_title_is_asked_for():
    (found,) = problems("publish = true\n")
    assert (found.code, found.remedy) == ("missing-key", 'Add title = "Barn owl".')


def test_all_problems_come_in_one_run():
    found = problems('titel = "x"\npublish = 2\n[size]\nwidth = 3\n[[photo]]\nstage = "x"\n')
    assert sorted(problem.code for problem in found) == [
        "bad-length", "missing-key", "unknown-key", "unknown-word", "wrong-type",
    ]  # fmt: skip
