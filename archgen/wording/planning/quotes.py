"""What is said of a quote: for the artist with what it rests on, for the client without a word about anybody else."""

from archgen.languages.house import figures, say, say_all, say_count, to_say, within
from archgen.quoting.hours_model import COVERED, FEWEST
from archgen.quoting.past_work import PastPiece, UnclearHours
from archgen.quoting.quote import Quote, Sittings
from archgen.quoting.wish import Wish
from archgen.records.vocabulary import placements
from archgen.units import MM_PER_INCH, date_words, hours_words, size_words
from archgen.values.frozen import Value
from archgen.wording.pieces import unquoted
from archgen.wording.planning.notes import NearWords

NO_PROMISE = to_say("An estimate and no promise: skin, sitting still and changes of the design decide.")
NOTED = to_say("Noted before")
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
        nearest_title=_nearest_title(len(quote.nearest)),
        nearest=tuple(_near(piece, units) for piece in quote.nearest),
        to_check=(
            *(_unclear(piece) for piece in quote.past.unclear),
            *(_near(piece, units) for piece in quote.to_check),
        ),
    )


def _nearest_title(number: int) -> str:
    return say_count("The piece most like it", "The {number} pieces most like it", number) if number else ""


def client_words(quote: Quote, currency: str | None) -> tuple[str, ...]:
    """Say a quote to the client; empty when nothing is foretold."""
    told, sittings = quote.foretold, quote.sittings
    if told is None or sittings is None:
        return ()
    hours, least, most = (_time(one).replace(" ", _HELD_TOGETHER) for one in (told.hours, told.least, told.most))
    values = {"hours": hours, "least": least, "most": most, "sittings": _sittings_words(sittings)}
    lines = [say("Hours of tattooing: about {hours}, most likely {least} to {most}, in {sittings}.", **values)]
    if quote.price:
        lines.append(say("Price: {price}.", price=_amounts(quote.price.least, quote.price.most, currency)))
    return (*lines, say("A touch-up is not in it."), say(NO_PROMISE))


def wish_words(wish: Wish, units: str) -> str:
    """Say what is asked for: "Fine line, 60 × 90 mm (54 cm²), outer forearm"."""
    size = f"{size_words(wish.width_mm, wish.height_mm, units)} ({_area(wish.area_mm2, units)})"
    place = placements.placement_words(wish.place)
    said = ", ".join((*wish.styles, size, *((within(place),) if place else ())))
    return said[:1].upper() + said[1:]


def _area(area_mm2: float, units: str) -> str:
    if units == "in":
        return say("{area:.1f} sq in", area=area_mm2 / MM_PER_INCH**2)
    return figures(f"{area_mm2 / 100:.0f} cm²" if area_mm2 >= 1000 else f"{area_mm2 / 100:.1f} cm²")


def _time(hours: float) -> str:
    """Write hours to a quarter, from ten on to a half."""
    step = 2 if hours >= 10 else 4
    return hours_words(max(round(hours * step) / step, 1 / step))


def _hours(quote: Quote) -> str:
    if quote.foretold:
        return say("About {time}", time=_time(quote.foretold.hours))
    if not quote.known:
        return say("No piece has hours and both sides of its size yet; {fewest} are needed.", fewest=FEWEST)
    known = say_count(
        "{number} piece has hours and a size; {fewest} are needed to foretell any.",
        "{number} pieces have hours and a size; {fewest} are needed to foretell any.",
        quote.known,
        fewest=FEWEST,
    )
    took = say_all([hours_words(piece.hours) for piece in quote.nearest])
    if len(quote.nearest) == 1:
        return f"{known} {say('It took {hours}.', hours=took)}"
    return f"{known} {say('The {number} most like it took {hours}.', number=len(quote.nearest), hours=took)}"


def _range(quote: Quote) -> str | None:
    if quote.foretold is None:
        return None
    return say(
        "{of_five} of 5 such pieces take {least} to {most}",
        of_five=_OF_FIVE,
        least=_time(quote.foretold.least),
        most=_time(quote.foretold.most),
    )


def _sittings(quote: Quote) -> str | None:
    if quote.sittings is None:
        return None
    longest = hours_words(round(quote.sittings.longest * 4) / 4)
    if quote.sittings.most > quote.sittings.number:
        return say(
            "{number}, or {most} if it takes longer; your long ones take {longest}",
            number=quote.sittings.number,
            most=quote.sittings.most,
            longest=longest,
        )
    return say("{number}; your long ones take {longest}", number=quote.sittings.number, longest=longest)


def _sittings_words(sittings: Sittings) -> str:
    if sittings.most == sittings.number:
        return say_count("one sitting", "{number} sittings", sittings.number)
    return say_count(
        "one sitting, or {most} if it takes longer",
        "{number} sittings, or {most} if it takes longer",
        sittings.number,
        most=sittings.most,
    )


def _price(quote: Quote, currency: str | None) -> str | None:
    price = quote.price
    if price is None:
        return None
    hour = _amount(price.by_hour, currency)
    values = {"price": _amounts(price.least, price.most, currency), "hour": hour}
    if price.is_set:
        return say("{price} at {hour} an hour, as you set it", **values)
    return say_count(
        "{price} at {hour} an hour, as {number} of your own pieces came to in the middle",
        "{price} at {hour} an hour, as {number} of your own pieces came to in the middle",
        price.pieces,
        **values,
    )


def _amounts(least: float, most: float, currency: str | None) -> str:
    return (
        _amount(most, currency)
        if least == most
        else say("{least:,.0f} to {most}", least=least, most=_amount(most, currency))
    )


def _amount(amount: float, currency: str | None) -> str:
    return figures(f"{amount:,.0f}") + (f" {currency}" if currency else "")


def _doubts(quote: Quote) -> list[str]:
    doubts = []
    if quote.beyond > 0:
        doubts.append(say("It is much larger than anything with hours in your records."))
    if quote.beyond < 0:
        doubts.append(say("It is much smaller than anything with hours in your records."))
    return [
        *doubts,
        *(say("Few of your pieces are {style}; the others were used for it.", style=style) for style in quote.few_of),
    ]


def _rests_on(quote: Quote) -> list[str]:
    past, said = quote.past, []
    if quote.foretold:
        said.append(
            say_count(
                "From the hours and sizes of {number} piece of yours, touch-ups apart.",
                "From the hours and sizes of {number} pieces of yours, touch-ups apart.",
                quote.known,
            )
        )
    if quote.forward:
        said.append(
            say_count(
                "Of the last {number} piece, each foretold from those before it, {inside} took as long as foretold.",
                "Of the last {number} pieces, each foretold from those before it, {inside} took as long as foretold.",
                quote.forward.pieces,
                inside=quote.forward.inside,
            )
        )
    if past.no_size:
        said.append(
            say_count(
                "{number} more piece has hours, but not both width and height.",
                "{number} more pieces have hours, but not both width and height.",
                past.no_size,
            )
        )
    if past.no_hours:
        said.append(
            say_count(
                "{number} more piece has a size, but not the hours of every sitting.",
                "{number} more pieces have a size, but not the hours of every sitting.",
                past.no_hours,
            )
        )
    if past.touch_ups:
        middle = sorted(past.touch_ups)[len(past.touch_ups) // 2]
        said.append(
            say(
                "Touch-ups took {time} in the middle ({number} recorded).",
                time=hours_words(middle),
                number=len(past.touch_ups),
            )
        )
    return said


def _unclear(piece: UnclearHours) -> NearWords:
    """Say what is written instead of hours."""
    written = " and ".join(f"“{unquoted(text)}”" for text in piece.written)
    return NearWords(piece.id, piece.title, say("hours {written}", written=written))


def _near(piece: PastPiece, units: str) -> NearWords:
    day = date_words(piece.finished) if piece.finished else None
    size = size_words(piece.width_mm, piece.height_mm, units)
    place = placements.placement_words(piece.place)
    facts = (hours_words(piece.hours), size, ", ".join(piece.styles) or None, place, day)
    return NearWords(piece.id, piece.title, " · ".join(fact for fact in facts if fact))
