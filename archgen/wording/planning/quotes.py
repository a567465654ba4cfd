"""What is said of a quote: for the artist with what it rests on, for the client without a word about anybody else."""

from archgen.quoting.hours_model import COVERED, FEWEST
from archgen.quoting.past_work import PastPiece, UnclearHours
from archgen.quoting.quote import Quote, Sittings
from archgen.quoting.wish import Wish
from archgen.records.vocabulary import placements
from archgen.units import MM_PER_INCH, date_words, hours_words, size_words
from archgen.values.frozen import Value
from archgen.wording.counts import count_words
from archgen.wording.pieces import unquoted
from archgen.wording.planning.notes import NearWords

NO_PROMISE = "An estimate and no promise: skin, sitting still and changes of the design decide."
NOTED = "Noted before"
_HELD_TOGETHER = "\N{NO-BREAK SPACE}"
_OF_FIVE = round(COVERED * 5)


class QuoteWords(Value, frozen=True):
    """A quote in words.

    Attributes:
        asked: The piece that is asked for.
        hours: What is foretold, or why nothing is.
        range: Between which hours four of five lie; None when nothing is foretold.
        price: None when nothing is known about prices.
        doubts: What makes this quote less sure than others.
        rests_on: What it was learned from, and how often that came true.
        to_check: Pieces whose hours cannot be or can hardly be.
    """

    asked: str
    hours: str
    range: str | None
    sittings: str | None
    price: str | None
    doubts: tuple[str, ...]
    rests_on: tuple[str, ...]
    nearest_title: str
    nearest: tuple[NearWords, ...]
    to_check: tuple[NearWords, ...]


def quote_words(quote: Quote, units: str, currency: str | None) -> QuoteWords:
    """Say a quote to the artist."""
    return QuoteWords(
        asked=wish_words(quote.wish, units),
        hours=_hours(quote),
        range=_range(quote),
        sittings=_sittings(quote),
        price=_price(quote, currency),
        doubts=tuple(_doubts(quote)),
        rests_on=tuple(_rests_on(quote)),
        nearest_title=f"The {count_words(len(quote.nearest), 'piece')} most like it" if quote.nearest else "",
        nearest=tuple(_near(piece, units) for piece in quote.nearest),
        to_check=(
            *(_unclear(piece) for piece in quote.past.unclear),
            *(_near(piece, units) for piece in quote.to_check),
        ),
    )


def client_words(quote: Quote, currency: str | None) -> tuple[str, ...]:
    """Say a quote to the client; empty when nothing is foretold."""
    told, sittings = quote.foretold, quote.sittings
    if told is None or sittings is None:
        return ()
    number = "one sitting" if sittings.number == 1 else f"{sittings.number} sittings"
    hours, least, most = (_time(one).replace(" ", _HELD_TOGETHER) for one in (told.hours, told.least, told.most))
    lines = [f"About {hours} of tattooing, most likely {least} to {most}, in {number}{_or_more(sittings)}."]
    if quote.price:
        lines.append(f"Price: {_amounts(quote.price.least, quote.price.most, currency)}.")
    return (*lines, "A touch-up is not in it.", NO_PROMISE)


def wish_words(wish: Wish, units: str) -> str:
    """Say what is asked for: "Fine line, 60 × 90 mm (54 cm²), outer forearm"."""
    size = f"{size_words(wish.width_mm, wish.height_mm, units)} ({_area(wish.area_mm2, units)})"
    place = placements.placement_words(wish.place)
    said = ", ".join((*wish.styles, size, *((place.lower(),) if place else ())))
    return said[:1].upper() + said[1:]


def _area(area_mm2: float, units: str) -> str:
    if units == "in":
        return f"{area_mm2 / MM_PER_INCH**2:.1f} sq in"
    return f"{area_mm2 / 100:.0f} cm²" if area_mm2 >= 1000 else f"{area_mm2 / 100:.1f} cm²"


def _time(hours: float) -> str:
    """Write hours to a quarter, from ten on to a half."""
    step = 2 if hours >= 10 else 4
    return hours_words(max(round(hours * step) / step, 1 / step))


def _hours(quote: Quote) -> str:
    if quote.foretold:
        return f"About {_time(quote.foretold.hours)}"
    if not quote.known:
        return f"No piece has hours and both sides of its size yet; {FEWEST} are needed."
    has = "piece has" if quote.known == 1 else "pieces have"
    each = [hours_words(piece.hours) for piece in quote.nearest]
    took = each[0] if len(each) == 1 else f"{', '.join(each[:-1])} and {each[-1]}"
    what = "It took" if len(each) == 1 else f"The {len(each)} most like it took"
    return f"{quote.known} {has} hours and a size; {FEWEST} are needed to foretell any. {what} {took}."


def _range(quote: Quote) -> str | None:
    if quote.foretold is None:
        return None
    return f"{_OF_FIVE} of 5 such pieces take {_time(quote.foretold.least)} to {_time(quote.foretold.most)}"


def _sittings(quote: Quote) -> str | None:
    if quote.sittings is None:
        return None
    longest = hours_words(round(quote.sittings.longest * 4) / 4)
    return f"{quote.sittings.number}{_or_more(quote.sittings)}; your long ones take {longest}"


def _or_more(sittings: Sittings) -> str:
    return f", or {sittings.most} if it takes longer" if sittings.most > sittings.number else ""


def _price(quote: Quote, currency: str | None) -> str | None:
    price = quote.price
    if price is None:
        return None
    hour = _amount(price.by_hour, currency)
    source = "as you set it" if price.is_set else f"as {price.pieces} of your own pieces came to in the middle"
    return f"{_amounts(price.least, price.most, currency)} at {hour} an hour, {source}"


def _amounts(least: float, most: float, currency: str | None) -> str:
    return _amount(most, currency) if least == most else f"{least:,.0f} to {_amount(most, currency)}"


def _amount(amount: float, currency: str | None) -> str:
    return f"{amount:,.0f} {currency}" if currency else f"{amount:,.0f}"


def _doubts(quote: Quote) -> list[str]:
    doubts = []
    if quote.beyond > 0:
        doubts.append("It is much larger than anything with hours in your records.")
    if quote.beyond < 0:
        doubts.append("It is much smaller than anything with hours in your records.")
    return [*doubts, *(f"Few of your pieces are {style}; the others were used for it." for style in quote.few_of)]


def _rests_on(quote: Quote) -> list[str]:
    past, said = quote.past, []
    if quote.foretold:
        said.append(f"From the hours and sizes of {count_words(quote.known, 'piece')} of yours, touch-ups apart.")
    if quote.forward:
        said.append(
            f"Of the last {count_words(quote.forward.pieces, 'piece')}, each foretold from those before it, "
            f"{quote.forward.inside} took as long as foretold."
        )
    if past.no_size:
        has = "piece has" if past.no_size == 1 else "pieces have"
        said.append(f"{past.no_size} more {has} hours, but not both width and height.")
    if past.no_hours:
        has = "piece has" if past.no_hours == 1 else "pieces have"
        said.append(f"{past.no_hours} more {has} a size, but not the hours of every sitting.")
    if past.touch_ups:
        middle = sorted(past.touch_ups)[len(past.touch_ups) // 2]
        said.append(f"Touch-ups took {hours_words(middle)} in the middle ({len(past.touch_ups)} recorded).")
    return said


def _unclear(piece: UnclearHours) -> NearWords:
    """Say what is written instead of hours, and to look at the record."""
    written = " and ".join(f"“{unquoted(text)}”" for text in piece.written)
    return NearWords(piece.id, piece.title, f"hours {written}: please check this record")


def _near(piece: PastPiece, units: str) -> NearWords:
    day = date_words(piece.finished) if piece.finished else None
    size = size_words(piece.width_mm, piece.height_mm, units)
    place = placements.placement_words(piece.place)
    facts = (hours_words(piece.hours), size, ", ".join(piece.styles) or None, place, day)
    return NearWords(piece.id, piece.title, " · ".join(fact for fact in facts if fact))
