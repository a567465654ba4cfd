"""What is said of a quote."""

import msgspec
import pytest

from archgen.quoting.quote import Wish
from archgen.records import model
from archgen.wording.planning.quotes import NO_PROMISE, client_words, quote_words, wish_words
from tests.unit.quoting.test_quote import done, many, quote


def said(*given, currency="EUR", units="mm", **settings):
    return quote_words(quote(*given, **settings), units, currency)


def test_hours_are_said_to_a_quarter_with_their_range():
    words = said(many())
    assert words.hours == "About 3 h"
    assert words.range == "4 of 5 such pieces take 2 h 45 min to 3 h 15 min"
    assert words.asked == "60 × 90 mm (54 cm²)"


@pytest.mark.parametrize(
    ("pieces", "sentence"),
    [
        ([], "No piece has hours and both sides of its size yet; 12 are needed."),
        ([done()], "1 piece has hours and a size; 12 are needed to foretell any. It took 3 h."),
        (
            [done(at, width=60.0 + at, hours=(3.0 + at,)) for at in range(4)],
            "4 pieces have hours and a size; 12 are needed to foretell any. The 3 most like it took 3 h, 4 h and 5 h.",
        ),
    ],
)
def test_too_few_pieces_are_said_with_what_they_took(pieces, sentence):
    words = said(pieces)
    assert words.hours == sentence
    assert words.range is words.sittings is words.price is None


def test_a_price_says_where_it_comes_from():
    own = said(many(), hour=120.0).price
    assert own.endswith(" EUR at 120 EUR an hour, as you set it")
    charged = [msgspec.structs.replace(piece, record=_charged(piece.record)) for piece in many()]
    assert "at 100 EUR an hour, as 14 of your own pieces came to in the middle" in said(charged).price
    assert " EUR" not in said(many(), hour=120.0, currency=None).price
    assert said(many(hours=0.5), hour=10.0, least=90.0).price.startswith("90 EUR at")


def _charged(record):
    return msgspec.structs.replace(record, price=msgspec.structs.replace(record.price, charged=300.0))


def test_sittings_name_the_usual_long_one():
    assert said(many()).sittings == "1; your long ones take 3 h"


def test_what_makes_it_unsure_is_said():
    assert said(many(), Wish(90, 100, ("etching",))).doubts == (
        "It is much larger than anything with hours in your records.",
        "Few of your pieces are etching; the others were used for it.",
    )
    assert said(many(), Wish(20, 20)).doubts == ("It is much smaller than anything with hours in your records.",)
    assert said(many()).doubts == ()


def test_what_it_rests_on_is_said():
    pieces = [*many(16), done(60, height=None), done(61, hours=()), done(62, hours=(), touch_ups=(0.5,))]
    assert said(pieces).rests_on == (
        "From the hours and sizes of 16 pieces of yours, touch-ups apart.",
        "Of the last 4 pieces, each foretold from those before it, 4 took as long as foretold.",
        "1 more piece has hours, but not both width and height.",
        "2 more pieces have a size, but not the hours of every sitting.",
        "Touch-ups took 30 min in the middle (1 recorded).",
    )


def test_pieces_beside_it_have_their_facts():
    words = said(many())
    assert words.nearest_title == "The 5 pieces most like it"
    assert words.nearest[0].facts == "3 h · 60 × 90 mm · 1 Apr 2024"


def test_the_client_reads_no_word_about_anybody_else():
    lines = client_words(quote([*many(), done(7, hours=(30.0,))], hour=120.0), "EUR")
    assert lines[0].startswith("Hours of tattooing: about 3\N{NO-BREAK SPACE}h, most likely ")
    assert lines[0].endswith(", in one sitting.")
    assert lines[1].startswith("Price: ")
    assert lines[2:] == ("A touch-up is not in it.", NO_PROMISE)
    assert not any("Piece" in line or "120" in line for line in lines)
    assert client_words(quote([]), "EUR") == ()
    assert len(client_words(quote(many()), "EUR")) == 3


def test_long_pieces_say_how_many_sittings():
    several = [done(30 + at, width=100.0, height=150.0, hours=(4.0, 2.0)) for at in range(3)]
    lines = client_words(quote([*many(), *several], Wish(100, 150)), None)
    assert lines[0].endswith(", in 2 sittings.")
    longer = [done(at, hours=(hours,)) for at, hours in enumerate((1.0, 2.0, 3.0, 4.5) * 4)]
    assert client_words(quote(longer), None)[0].endswith(", in one sitting, or 2 if it takes longer.")


def test_hours_that_cannot_be_are_named_with_what_is_written():
    lots = msgspec.structs.replace(
        done(1, hours=(None,)), as_written=(model.AsWritten(key="sitting.0.hours", text='"lots"'),)
    )
    (piece,) = said([*many(), lots]).to_check
    assert (piece.title, piece.facts) == ("Piece 1", "hours “lots”")


def test_a_wish_is_said_in_one_line():
    assert wish_words(Wish(60, 90, ("fine line",), "calf"), "mm") == "Fine line, 60 × 90 mm (54 cm²), calf"
    assert wish_words(Wish(20, 30), "mm") == "20 × 30 mm (6.0 cm²)"
    assert wish_words(Wish(50.8, 101.6), "in") == "2 × 4 in (8.0 sq in)"
