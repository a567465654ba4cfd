"""What is due after a piece, counted in days."""

import dataclasses
import datetime as dt

import msgspec
import pytest

from archgen.config import Config, Limits
from archgen.pieces.followup import Due, DueKind, DueState, due, follow_up
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
    # A look before it opens, or on a day nobody wrote down, closes nothing.
    for early in (model.Healing(date=ago(19)), model.Healing(note="healing well")):
        assert DueKind.TOUCH_UP in items(tmp_path, age=60, healing=(early,))


def test_a_release_of_a_piece_without_its_day_is_asked_for_today(tmp_path):
    assert items(tmp_path, finished=None, release=model.Release())[DueKind.RELEASE].opens == TODAY


def test_a_look_without_a_note_asked_for_no_photo(tmp_path):
    two = (model.Healing(), model.Healing(date=ago(5)))
    assert DueKind.HEALED_PHOTO in items(tmp_path, photo=(FRESH,), healing=two)
    assert DueKind.HEALED_PHOTO in items(tmp_path, photo=(FRESH,), healing=(model.Healing(date=ago(5)),))


def test_a_promised_touch_up_stays_until_it_is_done(tmp_path):
    wanted = {"healing": (model.Healing(date=ago(300), touch_up=True),), "age": 400}
    item = items(tmp_path, **wanted)[DueKind.TOUCH_UP]
    assert (item.state, item.is_wanted, item.is_now) == (DueState.PAST, True, True)
    assert DueKind.TOUCH_UP in items(tmp_path, **wanted, sitting=(model.Sitting(date=ago(200)),))
    done = model.Sitting(date=ago(200), kind=model.SittingKind.TOUCH_UP)
    assert DueKind.TOUCH_UP not in items(tmp_path, **wanted, sitting=(done,))


def test_a_release_is_asked_for_only_where_the_piece_is_to_be_shown(tmp_path):
    assert DueKind.RELEASE in items(tmp_path, release=model.Release())
    assert DueKind.RELEASE not in items(tmp_path, release=model.Release(), publish=False)
    assert DueKind.RELEASE not in items(tmp_path, release=model.Release(status=model.ReleaseStatus.REFUSED))


def test_a_release_that_was_taken_back_or_is_not_understood_is_not_asked_for(tmp_path):
    taken_back = model.Release(status=model.ReleaseStatus.GRANTED, expires=ago(1), withdrawn=ago(3))
    assert DueKind.RELEASE not in items(tmp_path, release=taken_back)
    piece = make_piece(record=make_record(release=model.Release()))
    written = model.AsWritten(key="release.status", text="yes")
    assert DueKind.RELEASE in {item.kind for item in due_of(paper_catalogue(tmp_path, piece))}
    misread = msgspec.structs.replace(piece, as_written=(written,))
    assert DueKind.RELEASE not in {item.kind for item in due_of(paper_catalogue(tmp_path, misread))}


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


def test_of_two_windows_the_one_somebody_asked_for_comes_first(tmp_path):
    wish = (model.Healing(date=ago(20), touch_up=True),)
    pieces = [
        make_piece(name, make_record(photo=(HEALED,), healing=healing, finished=ago(age), sitting=(), release=ASKED))
        for name, age, healing in (("calendar", 61, ()), ("wanted", 60, wish))
    ]
    assert [item.piece_id for item in due_of(paper_catalogue(tmp_path, *pieces))] == ["wanted", "calendar"]


def test_a_window_of_the_calendar_is_nothing_to_be_done_once_it_is_past():
    item = Due(DueKind.HEALED_PHOTO, "owl", None, ago(200), ago(20), DueState.PAST)
    assert (item.is_now, dataclasses.replace(item, state=DueState.OPEN).is_now) == (False, True)


def test_no_release_is_asked_for_where_the_settings_need_none(tmp_path):
    piece = make_piece(record=make_record(release=model.Release()))
    config = Config(root=tmp_path)
    needs_none = dataclasses.replace(config, portfolio=dataclasses.replace(config.portfolio, require_release=False))
    assert DueKind.RELEASE in {item.kind for item in follow_up(piece, config, TODAY).due}
    assert DueKind.RELEASE not in {item.kind for item in follow_up(piece, needs_none, TODAY).due}


@pytest.mark.parametrize(
    ("note", "days", "asks"),
    [
        ("Asked for a healed photo", 13, False),
        ("asked for a healed photo", 14, True),
        ("No healed photo will come", 400, False),
        ("looks good", 3, True),
    ],
)
def test_a_healed_photo_that_was_asked_for_is_not_asked_for_again_at_once(tmp_path, note, days, asks):
    found = items(tmp_path, age=500, photo=(FRESH,), healing=(look(days, note=note),))
    assert (DueKind.HEALED_PHOTO in found) == asks


def test_a_piece_without_a_day_and_a_broken_one_are_left_alone(tmp_path):
    assert items(tmp_path, finished=None, photo=()) == {}
    assert due_of(paper_catalogue(tmp_path, model.Piece(id="broken", record=None))) == ()


def follow_up_of(tmp_path, **changes):
    piece = make_piece(record=make_record(**{"photo": (HEALED,), "release": ASKED, "finished": ago(100), **changes}))
    catalogue = paper_catalogue(tmp_path, piece)
    return follow_up(piece, catalogue.config, TODAY)


def look(days, **changes):
    return model.Healing(date=ago(days), **changes)


def touch_up(days):
    return model.Sitting(date=ago(days), kind=model.SittingKind.TOUCH_UP)


@pytest.mark.parametrize(
    ("looks", "sittings", "wanted", "done"),
    [
        ((), (), None, None),
        ((look(60),), (), None, None),
        ((look(60, touch_up=True),), (), 60, None),
        ((look(60, touch_up=True),), (touch_up(61),), 60, None),
        ((look(60, touch_up=True),), (touch_up(60),), None, 60),
        ((look(60, touch_up=True), look(20)), (touch_up(30),), None, 30),
        ((look(60, touch_up=True), look(20, touch_up=True)), (touch_up(30),), 20, None),
        ((look(20, touch_up=True), look(60, touch_up=True)), (), 20, None),
        ((), (touch_up(50), touch_up(40)), None, 40),
        # One whose day nobody wrote down; a wish of no day counts from the end of the work, 100 days ago.
        ((look(60, touch_up=True),), (model.Sitting(kind=model.SittingKind.TOUCH_UP), touch_up(50)), None, 50),
        ((model.Healing(touch_up=True),), (), 100, None),
        ((model.Healing(touch_up=True), look(60)), (touch_up(99),), None, 99),
    ],
)
def test_a_touch_up_that_was_done_is_remembered_until_another_is_wanted(tmp_path, looks, sittings, wanted, done):
    made = follow_up_of(tmp_path, healing=looks, sitting=sittings).touch_up
    assert made.wanted_since == (None if wanted is None else ago(wanted))
    assert made.done_on == (None if done is None else ago(done))


def test_nothing_is_due_of_a_touch_up_that_was_done(tmp_path):
    kinds = [item.kind for item in follow_up_of(tmp_path, healing=(), sitting=(touch_up(40),)).due]
    assert DueKind.TOUCH_UP not in kinds


def test_the_window_stands_beside_what_was_done(tmp_path):
    made = follow_up_of(tmp_path, healing=(), sitting=(touch_up(40),)).touch_up
    assert (made.opens, made.closes, made.state) == (ago(58), ago(-80), DueState.OPEN)
    undated = follow_up_of(tmp_path, healing=(), sitting=(), finished=None).touch_up
    assert (undated.opens, undated.closes, undated.state) == (None, None, None)


def test_each_look_knows_its_day_and_the_touch_up_that_answered_it(tmp_path):
    looks = (look(20), look(60, touch_up=True), look(101), look(10, touch_up=True))
    made = follow_up_of(tmp_path, healing=looks, sitting=(touch_up(61), touch_up(50), touch_up(30))).looks
    assert [(one.seen, one.days_after, one.answered_on) for one in made] == [
        (looks[2], None, None),
        (looks[1], 40, ago(50)),
        (looks[0], 80, None),
        (looks[3], 90, None),
    ]


def test_a_wish_counts_though_the_end_of_the_work_is_not_known(tmp_path):
    (item,) = follow_up_of(tmp_path, healing=(look(60, touch_up=True),), finished=None, sitting=()).due
    assert (item.kind, item.opens, item.closes, item.state) == (DueKind.TOUCH_UP, ago(60), None, DueState.OPEN)
    assert (item.since, item.is_wanted) == (ago(60), True)


def test_a_healed_photo_can_be_taken_to_the_end_of_the_touch_up_window_or_later(tmp_path):
    late = Limits(healed_after_days=200, touch_up_until_days=180)
    assert items(tmp_path, photo=(FRESH,), limits=late)[DueKind.HEALED_PHOTO].closes == ago(60 - 200)
    assert items(tmp_path, photo=(FRESH,))[DueKind.HEALED_PHOTO].closes == ago(60 - 180)


def test_what_is_due_names_the_piece_and_its_client(tmp_path):
    found = items(tmp_path, photo=(), release=model.Release(), client="C-7")
    assert {(item.piece_id, item.client) for item in found.values()} == {("2026-03-14-barn-owl", "C-7")}
    assert len(found) == 3
    assert found[DueKind.RELEASE].opens == ago(60)
    assert found[DueKind.RELEASE].is_wanted


def test_nothing_comes_after_a_broken_piece(tmp_path):
    broken = model.Piece(id="broken", record=None)
    made = follow_up(broken, paper_catalogue(tmp_path, broken).config, TODAY)
    assert (made.looks, made.touch_up, made.due) == ((), None, ())
