"""Inks and needles at hand: pace, how long they last, what to do."""

import datetime as dt

import pytest

from archgen.records import model
from archgen.supplies.stock import Need, take_stock
from archgen.tracing.book import BatchBook, BatchKind
from tests.builders import make_catalogue, make_piece

TODAY = dt.date(2026, 11, 30)
YEAR_AGO = dt.date(2025, 10, 1)


def used(number, day, batch=None, *, use="lines", needle=None):
    """A piece with one ink or needle on one day."""
    inks = () if needle else (model.Ink(batch=batch, use=use),)
    needles = (model.Needle(code=needle, batch=batch, use=use),) if needle else ()
    record = model.PieceRecord(title=str(number), sitting=(model.Sitting(date=day),), ink=inks, needle=needles)
    return make_piece(f"piece-{number:03}", record)


def bottle(batch="BK-1", name="dense black", opened=dt.date(2026, 1, 1), **more):
    return model.InkBatch(batch=batch, name=name, opened=opened, **more)


@pytest.fixture
def stock(tmp_path):
    def take(*pieces, inks=(), boxes=()):
        by_batch = {one.batch: one for one in inks}
        catalogue = make_catalogue(tmp_path, *pieces, inks=by_batch, boxes=tuple(boxes), built_on=TODAY)
        return take_stock(BatchBook(catalogue), TODAY)

    return take


def every_month(batch, months=12, first=0):
    """One piece on the first of each of the last months, this one last."""
    days = (dt.date(2025 + (at + 11) // 12, (at + 11) % 12 + 1, 1) for at in range(months))
    return [used(first + at, day, batch) for at, day in enumerate(days)]


def two_used_up(first=500):
    """Two bottles that lasted four and eight pieces, long ago, and the pieces."""
    inks = [
        bottle("OLD-4", opened=dt.date(2024, 1, 1), closed=dt.date(2024, 6, 1)),
        bottle("OLD-8", opened=dt.date(2024, 6, 1), closed=dt.date(2025, 1, 1)),
    ]
    pieces = [used(first + at, dt.date(2024, 2, 1), "OLD-4" if at < 4 else "OLD-8") for at in range(12)]
    return inks, pieces


def test_pace_counts_pieces_of_the_last_twelve_months(stock):
    pieces = [*every_month("BK-1"), used(90, YEAR_AGO, "BK-1")]
    (ink,) = stock(*pieces, inks=[bottle()])
    assert ink.by_month == (1,) * 12
    assert ink.pace == pytest.approx(1.0)
    assert ink.last_used == dt.date(2026, 11, 1)
    assert ink.containers[0].pieces == 13


def test_pace_goes_by_the_time_there_is_where_records_are_young(stock):
    (ink,) = stock(*[used(at, dt.date(2026, 9, 30), "BK-1") for at in range(6)], inks=[bottle()])
    assert ink.pace == pytest.approx(3.0, rel=0.02)


def test_days_to_come_are_not_counted_yet(stock):
    (ink,) = stock(*every_month("BK-1"), used(80, dt.date(2027, 1, 1), "BK-1"), inks=[bottle()])
    assert sum(ink.by_month) == 12


def test_a_bottle_lasts_as_long_as_those_before_it(stock):
    inks, old = two_used_up()
    now = [used(at, dt.date(2026, 11, 1), "BK-1") for at in range(3)]
    (ink,) = stock(*old, *now, inks=[*inks, bottle()])
    assert ink.used_up == 2
    (container,) = ink.containers
    # Three pieces of a year are .25 a month; one and five more pieces are left in it.
    assert container.months_left == pytest.approx((4, 20))


def test_one_bottle_that_was_used_up_foretells_nothing(stock):
    inks, old = two_used_up()
    (ink,) = stock(*old, *every_month("BK-1"), inks=[inks[0], bottle(), bottle("OLD-8", closed=None)])
    assert all(one.months_left is None for one in ink.containers)


@pytest.mark.parametrize(
    ("bottles", "need"),
    [
        ([bottle(recalled=dt.date(2026, 5, 1), expiry=dt.date(2026, 1, 1))], Need.RECALLED),
        ([bottle(recalled=dt.date(2026, 5, 1), closed=dt.date(2026, 5, 2))], Need.REORDER),
        ([bottle(expiry=dt.date(2026, 11, 29))], Need.EXPIRED),
        ([bottle(expiry=TODAY)], Need.NOTHING),
        ([bottle(closed=dt.date(2026, 11, 2))], Need.REORDER),
        ([bottle(closed=dt.date(2026, 11, 2)), bottle("BK-2", opened=None)], Need.NOTHING),
        ([bottle(closed=dt.date(2026, 11, 2)), bottle("BK-2", opened=None, expiry=dt.date(2026, 1, 1))], Need.REORDER),
        ([bottle(closed=dt.date(2026, 11, 2)), bottle("BK-2")], Need.NOTHING),
    ],
)
def test_what_is_to_be_done(stock, bottles, need):
    (ink,) = stock(*every_month("BK-1"), inks=bottles)
    assert ink.need is need


def test_a_bottle_nearly_empty_is_reordered_unless_another_waits(stock):
    inks, old = two_used_up()
    now = [used(at, dt.date(2026, 11, 1), "BK-1") for at in range(4)]
    (ink,) = stock(*old, *now, inks=[*inks, bottle()])
    assert ink.need is Need.REORDER
    (ink,) = stock(*old, *now, inks=[*inks, bottle(), bottle("BK-2", opened=None)])
    assert ink.need is Need.NOTHING


def test_what_sleeps_is_not_reordered(stock):
    pieces = [used(1, dt.date(2026, 5, 31), "BK-1")]
    (ink,) = stock(*pieces, inks=[bottle(closed=dt.date(2026, 6, 1))])
    assert ink.need is Need.NOTHING
    (ink,) = stock(used(1, dt.date(2026, 6, 1), "BK-1"), inks=[bottle(closed=dt.date(2026, 6, 1))])
    assert ink.need is Need.REORDER


@pytest.mark.parametrize(
    ("expiry", "need"),
    [
        (dt.date(2027, 3, 1), Need.EXPIRES_FIRST),
        (dt.date(2027, 6, 1), Need.MAY_EXPIRE),
        (dt.date(2029, 1, 1), Need.NOTHING),
    ],
)
def test_a_date_is_set_against_the_months_that_are_left(stock, expiry, need):
    inks, old = two_used_up()
    now = [used(at, dt.date(2026, 11, 1), "BK-1") for at in range(3)]
    (ink,) = stock(*old, *now, inks=[*inks, bottle(expiry=expiry)])
    assert ink.need is need


def test_uses_are_named_by_how_often(stock):
    pieces = [used(at, YEAR_AGO, "BK-1", use=use) for at, use in enumerate(("fur", "lines", "lines", "a", "b"))]
    (ink,) = stock(*pieces, inks=[bottle()])
    assert ink.containers[0].uses == ("lines", "fur", "a")


def test_needles_are_one_by_what_they_are_and_two_in_one_field_are_two(stock):
    pieces = [used(at, YEAR_AGO, needle=code) for at, code in enumerate(("3RL", "1203RL", "3RL, 7RL"))]
    found = {one.name: sum(one.by_month) or one.last_used for one in stock(*pieces)}
    assert set(found) == {"3 round liner", "7 round liner"}
    assert all(one.kind is BatchKind.NEEDLE and one.need is Need.NOTHING for one in stock(*pieces))


def test_a_box_is_found_by_its_number(stock):
    box = model.Box(code="3RL", batch="N-88", opened=dt.date(2026, 1, 1))
    pieces = [used(at, dt.date(2026, 11, 1), "n 88", needle="3RL") for at in range(2)]
    (needle,) = stock(*pieces, boxes=[box])
    assert needle.containers[0].pieces == 2


def test_what_needs_something_comes_first_then_what_is_used_most(stock):
    pieces = [
        *[used(at, dt.date(2026, 11, 1), "A") for at in range(5)],
        *[used(10 + at, dt.date(2026, 11, 1), "B") for at in range(2)],
        used(20, dt.date(2026, 11, 1), "C"),
        used(30, dt.date(2026, 11, 1), needle="3RL"),
    ]
    inks = [bottle("A", "a"), bottle("B", "b"), bottle("C", "c", expiry=dt.date(2026, 1, 1))]
    assert [one.name for one in stock(*pieces, inks=inks)] == ["c", "a", "b", "3 round liner"]


def test_nothing_recorded_is_nothing_at_hand(stock):
    assert stock(make_piece("bare", model.PieceRecord(title="Bare"))) == ()


def test_a_use_of_today_counts_and_one_later_this_month_does_not(tmp_path):
    today = dt.date(2026, 11, 15)
    pieces = [used(1, today, "BK-1"), used(2, dt.date(2026, 11, 16), "BK-1"), used(3, None, "BK-1")]
    catalogue = make_catalogue(tmp_path, *pieces, inks={"BK-1": bottle()}, boxes=(), built_on=today)
    (ink,) = take_stock(BatchBook(catalogue), today)
    assert (sum(ink.by_month), ink.last_used) == (1, today)


def test_what_was_used_long_ago_alone_foretells_nothing(stock):
    inks, old = two_used_up()
    (ink,) = stock(*old, inks=[*inks, bottle()])
    assert ink.pace == 0
    assert ink.containers[0].months_left is None
    assert ink.need is Need.NOTHING


def test_what_was_never_registered_is_not_reordered(stock):
    (needle,) = stock(used(1, dt.date(2026, 11, 1), needle="3RL"))
    assert (needle.need, needle.runs_out) == (Need.NOTHING, False)


def test_what_was_never_used_is_not_reordered(stock):
    other = used(1, dt.date(2026, 11, 1), "BK-1")
    found = {one.name: one for one in stock(other, inks=[bottle(), bottle("X", "x", closed=dt.date(2026, 6, 1))])}
    assert found["x"].need is Need.NOTHING
    assert found["x"].last_used is None


def test_open_ones_come_before_reserves_and_the_oldest_first(stock):
    inks = [
        bottle("R-2", opened=None, expiry=dt.date(2029, 1, 1)),
        bottle("R-1", opened=None, expiry=dt.date(2028, 1, 1)),
        bottle("R-3", opened=None),
        bottle("O-2", opened=dt.date(2026, 3, 1), expiry=dt.date(2027, 1, 1)),
        bottle("O-1", opened=dt.date(2026, 2, 1), expiry=dt.date(2029, 1, 1)),
    ]
    (ink,) = stock(used(1, dt.date(2026, 11, 1), "O-1"), inks=inks)
    assert [one.batch for one in ink.containers] == ["O-1", "O-2", "R-1", "R-2", "R-3"]


@pytest.mark.parametrize(("pieces_so_far", "need"), [(3, Need.NOTHING), (4, Need.REORDER)])
def test_it_is_reordered_when_it_may_be_empty_within_a_month(stock, pieces_so_far, need):
    # One bottle lasted five pieces, one more; twelve pieces of a year are one a month.
    inks = [bottle("OLD-5", closed=dt.date(2025, 1, 1)), bottle("OLD-9", closed=dt.date(2026, 11, 1))]
    before = [used(500 + at, dt.date(2024, 2, 1), "OLD-5") for at in range(5)]
    others = [used(50 + at, dt.date(2026, 10, 1), "OLD-9") for at in range(12 - pieces_so_far)]
    now = [used(at, dt.date(2026, 11, 1), "BK-1") for at in range(pieces_so_far)]
    (ink,) = stock(*before, *others, *now, inks=[*inks, bottle()])
    assert ink.pace == pytest.approx(1.0)
    assert ink.need is need


@pytest.mark.parametrize("code", ["my old favourite", "liner"])
def test_a_needle_that_is_not_understood_stays_as_it_is_written(stock, code):
    assert [one.name for one in stock(used(1, YEAR_AGO, needle=code))] == [code]


def test_a_box_without_a_number_is_a_box_too(stock):
    (needle,) = stock(used(1, YEAR_AGO, needle="3RL"), boxes=[model.Box(code="3RL", opened=dt.date(2026, 1, 1))])
    assert [(one.batch, one.pieces) for one in needle.containers] == [("", 0)]
