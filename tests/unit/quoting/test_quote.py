"""Quotes from records: what counts, what is nearest, sittings, price, and how often it came true."""

import datetime as dt

import msgspec
import pytest

from archgen.config import QuoteSettings
from archgen.errors import UsageError
from archgen.quoting.hours_model import Foretold
from archgen.quoting.past_work import past_work
from archgen.quoting.quote import divided, make_quote
from archgen.quoting.wish import Wish, read_wish
from archgen.records import model
from tests.builders import make_piece

TODAY = dt.date(2026, 11, 30)
WISH = Wish(60, 90)


def sitting(hours, day=None, kind=model.SittingKind.SITTING):
    return model.Sitting(date=day, hours=None if hours is None else model.Hours(hours), kind=kind)


def done(number=0, width=60.0, height=90.0, hours=(3.0,), touch_ups=(), **more):
    """A piece on a day of its own, the higher the number the later."""
    day = dt.date(2024, 1, 1) + dt.timedelta(days=7 * number)
    sittings = tuple(sitting(one, day) for one in hours)
    later = tuple(sitting(one, day + dt.timedelta(days=60), model.SittingKind.TOUCH_UP) for one in touch_ups)
    size = model.Size(width=width and model.Length(width), height=height and model.Length(height))
    record = model.PieceRecord(title=f"Piece {number}", size=size, sitting=(*sittings, *later), **more)
    return make_piece(f"2024-{number:03}", record)


def many(count=14, hours=3.0, **more):
    return [done(number, hours=(hours,), **more) for number in range(count)]


def quote(pieces, wish=WISH, **settings):
    return make_quote(past_work(pieces), wish, QuoteSettings(**settings), TODAY)


def test_touch_ups_are_no_hours_of_the_piece():
    (piece,) = past_work([done(hours=(2.0, 3.0), touch_ups=(0.5,))]).pieces
    assert piece.hours == 5.0
    assert piece.sittings == (2.0, 3.0)
    past = past_work([done(hours=(2.0, 3.0), height=None, touch_ups=(0.5,))])
    assert past.other_sittings == (2.0, 3.0)
    assert past.touch_ups == (0.5,)


@pytest.mark.parametrize(
    ("piece", "lacks"),
    [
        (done(hours=(2.0, None)), (1, 0)),
        (done(hours=()), (1, 0)),
        (done(height=None), (0, 1)),
        (done(width=None), (0, 1)),
        (done(height=None, hours=(None,)), (0, 0)),
        (done(hours=(), touch_ups=(1.0,)), (1, 0)),
    ],
)
def test_a_piece_without_hours_or_size_is_counted_as_such(piece, lacks):
    past = past_work([piece])
    assert past.pieces == ()
    assert (past.no_hours, past.no_size) == lacks


def test_hours_that_cannot_be_are_kept_as_they_are_written():
    lots = msgspec.structs.replace(
        done(1, hours=(2.0, None)), as_written=(model.AsWritten(key="sitting.1.hours", text="400"),)
    )
    found = past_work([lots, done(2, hours=(0.0,), height=None), done(3, hours=(None,))])
    assert [(one.title, one.written) for one in found.unclear] == [("Piece 1", ("400",)), ("Piece 2", ("0",))]
    assert (found.no_hours, found.no_size) == (1, 0)


def test_a_touch_up_whose_hours_cannot_be_leaves_the_piece_in():
    piece = msgspec.structs.replace(
        done(touch_ups=(None,)), as_written=(model.AsWritten(key="sitting.1.hours", text='"lots"'),)
    )
    past = past_work([piece])
    assert (len(past.pieces), past.unclear) == (1, ())
    record = msgspec.structs.replace(piece.record, size=model.Size())
    past = past_work([msgspec.structs.replace(piece, record=record)])
    assert (past.no_size, past.unclear) == (1, ())


def test_a_record_that_cannot_be_read_counts_nowhere():
    broken = msgspec.structs.replace(done(), record=None)
    assert past_work([broken]) == past_work([])


def test_pieces_come_by_their_days_and_those_without_one_first():
    late, early, never = done(9), done(1), done(5, hours=())
    never = msgspec.structs.replace(never, record=msgspec.structs.replace(never.record, sitting=(sitting(1.0),)))
    assert [piece.title for piece in past_work([late, early, never]).pieces] == ["Piece 5", "Piece 1", "Piece 9"]


def test_too_few_pieces_give_the_three_nearest_and_no_hours():
    pieces = [done(number, width=width, height=width) for number, width in enumerate((20.0, 75.0, 70.0, 200.0, 90.0))]
    found = quote(pieces)
    assert found.foretold is found.sittings is found.price is None
    assert found.known == 5
    assert [piece.title for piece in found.nearest] == ["Piece 1", "Piece 2", "Piece 4"]


def test_nothing_at_all_is_a_quote_too():
    found = quote([])
    assert found.known == 0
    assert found.nearest == ()


def test_enough_pieces_foretell_hours_and_show_five():
    found = quote(many(12))
    assert found.foretold.hours == pytest.approx(3.0, rel=0.05)
    assert len(found.nearest) == 5
    assert quote(many(11)).foretold is None


def test_style_and_placement_bring_a_piece_nearer_and_the_later_comes_first():
    region, other = model.Placement(region="calf"), model.Placement(region="wrist")
    pieces = [
        done(1, placement=region),
        done(2, styles=("Etching",), placement=other),
        done(3, styles=("etching",), placement=region),
        done(4, placement=other),
        done(5, placement=other),
    ]
    found = quote(pieces, Wish(60, 90, ("etching",), "calf"))
    assert [piece.title for piece in found.nearest] == ["Piece 3", "Piece 2", "Piece 1"]
    found = quote(pieces, Wish(60, 90, (), "wrist"))
    assert [piece.title for piece in found.nearest] == ["Piece 5", "Piece 4", "Piece 2"]


def test_a_style_done_twice_is_said_and_one_done_three_times_is_not():
    pieces = [*many(12, styles=("Lines",)), done(20, styles=("colour",)), done(21, styles=("colour",))]
    assert quote(pieces, Wish(60, 90, ("lines", "Colour"))).few_of == ("Colour",)
    assert quote([*pieces, done(22, styles=("colour",))], Wish(60, 90, ("colour",))).few_of == ()


@pytest.mark.parametrize(("side", "beyond"), [(60.0, 0), (89.0, 0), (91.0, 1), (41.0, 0), (39.0, -1)])
def test_a_wish_much_larger_or_smaller_than_all_is_said(side, beyond):
    assert quote(many(12), Wish(side, 90.0)).beyond == beyond


def test_sittings_go_by_the_usual_longest_of_pieces_with_several():
    several = [done(30 + at, width=100.0, height=150.0, hours=(4.0, 2.0)) for at in range(3)]
    found = quote([*many(14, hours=3.0), *several], Wish(60, 90))
    assert found.sittings.longest == 4.0
    assert found.sittings.number == 1
    large = quote([*many(14, hours=3.0), *several], Wish(100, 150))
    assert large.foretold.hours == pytest.approx(6.0, rel=0.15)
    assert large.sittings.number == 2


def test_without_several_sittings_they_go_by_all():
    found = quote([*many(19, hours=3.0), done(40, hours=(5.0,))])
    assert 3.0 <= found.sittings.longest < 5.0


def test_a_little_over_is_no_sitting_more_but_may_come_to_one():
    def sittings(longest):
        several = [done(30 + at, hours=(longest, 3.0 - longest)) for at in range(3)]
        found = quote([*many(14, hours=3.0), *several]).sittings
        return found.number, found.most

    assert [sittings(longest) for longest in (2.9, 2.7, 2.5)] == [(1, 1), (1, 2), (2, 2)]


@pytest.mark.parametrize(
    ("hours", "most_hours", "number", "most"),
    [(3.0, 3.1, 1, 1), (3.25, 3.3, 1, 2), (3.0, 4.0, 1, 2), (6.0, 6.5, 2, 3), (0.1, 0.2, 1, 1)],
)
def test_hours_are_divided_into_sittings_of_three(hours, most_hours, number, most):
    found = divided(Foretold(hours, hours, most_hours), 3.0)
    assert (found.number, found.most) == (number, most)


def test_where_it_may_take_much_longer_there_may_be_more_sittings():
    found = quote([done(at, hours=(hours,)) for at, hours in enumerate((1.0, 2.0, 3.0, 4.5) * 4)])
    assert found.foretold.hours < found.sittings.longest < found.foretold.most
    assert (found.sittings.number, found.sittings.most) == (1, 2)


def test_a_sitting_of_a_piece_set_apart_is_no_usual_one():
    pieces = [*many(7), done(7, hours=(18.0,)), *[done(8 + at) for at in range(8)]]
    found = quote(pieces)
    assert [piece.title for piece in found.to_check] == ["Piece 7"]
    assert found.sittings.longest == 3.0
    assert found.foretold.most < 3.5


def test_a_price_goes_by_the_hour_that_is_set():
    found = quote(many(), hour=120.0)
    assert found.price.is_set
    assert found.price.least == round(found.foretold.least * 12) * 10
    assert found.price.most == round(found.foretold.most * 12) * 10


def test_a_price_is_never_below_the_least():
    found = quote(many(hours=0.5), hour=100.0, least=90.0)
    assert found.price.least == 90.0
    assert quote(many(hours=0.5), hour=100.0).price.least < 90.0


def test_a_price_goes_by_what_was_charged_where_no_hour_is_set():
    charged = [done(40 + at, price=model.Price(charged=price)) for at, price in enumerate((270.0, 300.0, 450.0))]
    found = quote([*many(), *charged])
    assert (found.price.by_hour, found.price.pieces, found.price.is_set) == (100.0, 3, False)
    assert quote([*many(), *charged[:2]]).price is None


def test_each_of_the_last_is_foretold_from_those_before_it_alone():
    found = quote([*many(16), done(50, hours=(20.0,))])
    assert (found.forward.pieces, found.forward.inside) == (5, 4)
    assert quote(many(12)).forward is None
    assert quote(many(40)).forward.pieces == 20


def test_hours_that_can_hardly_be_are_named():
    pieces = [*many(7), done(7, hours=(30.0,)), *[done(8 + at) for at in range(12)]]
    assert [piece.title for piece in quote(pieces).to_check] == ["Piece 7"]


def test_a_wish_is_read_as_people_say_it():
    assert read_wish(60, 90, [" fine line ", ""], "outer forearm") == Wish(60, 90, ("fine line",), "forearm-outer")
    assert read_wish(60, 90, [], " ").place is None


@pytest.mark.parametrize(("words", "asked"), [("arm", "Is it "), ("zzz", "Say it as in your records")])
def test_a_place_that_means_none_or_several_is_asked_about(words, asked):
    with pytest.raises(UsageError, match=f"“{words}” is not one place on the body. {asked}"):
        read_wish(60, 90, [], words)
