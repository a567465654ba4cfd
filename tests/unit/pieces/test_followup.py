"""What is due after a piece, counted in days."""

import dataclasses
import datetime as dt

import pytest

from archgen.config import Config, Limits
from archgen.pieces.followup import DueKind, DueState, due, follow_up
from archgen.records import model
from tests.builders import TODAY, make_piece, make_record, paper_catalogue

FRESH = model.Photo(file="photos/a.jpg", stage=model.Stage.FRESH)
HEALED = model.Photo(file="photos/b.jpg", stage=model.Stage.HEALED)
ASKED = model.Release(status=model.ReleaseStatus.GRANTED, scope=("portfolio",))


def ago(days):
    return TODAY - dt.timedelta(days=days)


def due_of(catalogue):
    return due(follow_up(piece, catalogue.config, catalogue.built_on) for piece in catalogue.pieces)


def items(tmp_path, *, age=60, limits=None, **changes):
    given = {"photo": (HEALED,), "healing": (), "release": ASKED, "finished": ago(age), "sitting": (), **changes}
    catalogue = paper_catalogue(tmp_path, make_piece(record=make_record(**given)))
    if limits:
        catalogue = dataclasses.replace(catalogue, config=Config(root=tmp_path, limits=limits))
    return {item.kind: item for item in due_of(catalogue)}


@pytest.mark.parametrize(
    ("age", "state"),
    [(-1, DueState.LATER), (0, DueState.SOON), (27, DueState.SOON), (28, DueState.OPEN), (151, DueState.OPEN),
     (152, DueState.CLOSING), (180, DueState.CLOSING), (181, DueState.PAST)],
)  # fmt: skip
def test_the_healed_photo_is_due_from_the_day_set_to_the_end_of_the_touch_up_window(tmp_path, age, state):
    assert items(tmp_path, age=age, photo=(FRESH,))[DueKind.HEALED_PHOTO].state is state


def test_days_are_settings(tmp_path):
    item = items(tmp_path, age=28, photo=(FRESH,), limits=Limits(healed_after_days=42))[DueKind.HEALED_PHOTO]
    assert (item.state, item.opens) == (DueState.SOON, ago(-14))


def test_a_healed_photo_is_enough(tmp_path):
    assert DueKind.HEALED_PHOTO not in items(tmp_path)


@pytest.mark.parametrize(("age", "state"), [(41, DueState.SOON), (42, DueState.OPEN), (160, DueState.CLOSING)])
def test_the_touch_up_window_opens_and_closes(tmp_path, age, state):
    item = items(tmp_path, age=age)[DueKind.TOUCH_UP]
    assert (item.state, item.is_wanted) == (state, False)


def test_a_window_nobody_asked_for_is_forgotten_once_closed_or_looked_at(tmp_path):
    assert DueKind.TOUCH_UP not in items(tmp_path, age=181)
    assert DueKind.TOUCH_UP not in items(tmp_path, age=60, healing=(model.Healing(date=ago(10)),))


def test_a_promised_touch_up_stays_until_it_is_done(tmp_path):
    wanted = {"healing": (model.Healing(date=ago(300), touch_up=True),), "age": 400}
    item = items(tmp_path, **wanted)[DueKind.TOUCH_UP]
    assert (item.state, item.is_wanted, item.is_now) == (DueState.PAST, True, True)
    done = model.Sitting(date=ago(200), kind=model.SittingKind.TOUCH_UP)
    assert DueKind.TOUCH_UP not in items(tmp_path, **wanted, sitting=(done,))


def test_a_release_is_asked_for_only_where_the_piece_is_to_be_shown(tmp_path):
    assert DueKind.RELEASE in items(tmp_path, release=model.Release())
    assert DueKind.RELEASE not in items(tmp_path, release=model.Release(), publish=False)
    assert DueKind.RELEASE not in items(tmp_path, release=model.Release(status=model.ReleaseStatus.REFUSED))


def test_a_release_is_asked_for_again_before_it_ends(tmp_path):
    def ending(day):
        return items(tmp_path, release=model.Release(status=model.ReleaseStatus.GRANTED, expires=day))

    assert ending(ago(-20))[DueKind.RELEASE].state is DueState.OPEN
    assert ending(ago(1))[DueKind.RELEASE].is_now
    assert DueKind.RELEASE not in ending(ago(-100))


def test_the_most_urgent_comes_first_and_what_is_past_last(tmp_path):
    ages = {"open": 60, "closing": 170, "past": 200, "soon": 20, "long-past": 900}
    pieces = [
        make_piece(name, make_record(photo=(), healing=(), finished=ago(age), sitting=(), publish=False))
        for name, age in ages.items()
    ]
    healed = [i.piece_id for i in due_of(paper_catalogue(tmp_path, *pieces)) if i.kind is DueKind.HEALED_PHOTO]
    assert healed == ["closing", "open", "soon", "past", "long-past"]


def test_a_piece_without_a_day_and_a_broken_one_are_left_alone(tmp_path):
    assert items(tmp_path, finished=None, photo=()) == {}
    assert due_of(paper_catalogue(tmp_path, model.Piece(id="broken", record=None))) == ()
