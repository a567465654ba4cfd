"""What is said of inks and needles at hand, and of what a piece was made of."""

import datetime as dt
from collections.abc import Sequence

from archgen.languages.house import say, say_all, say_count, to_say
from archgen.supplies.made_of import ClaimAnswer, MadeOf, Material
from archgen.supplies.stock import Container, Need, Product
from archgen.tracing.book import BatchKind
from archgen.units import date_words
from archgen.values.frozen import Value

KIND_TITLES = {BatchKind.INK: to_say("Inks"), BatchKind.NEEDLE: to_say("Needles")}
_NEED_WORDS = {
    Need.RECALLED: to_say("Recalled: set it aside and tell who wears it"),
    Need.EXPIRED: to_say("Past its date: set it aside"),
    Need.REORDER: to_say("Reorder"),
    Need.EXPIRES_FIRST: to_say("Will pass its date before it is used up"),
    Need.MAY_EXPIRE: to_say("May pass its date before it is used up"),
    Need.NOTHING: "",
}
NO_COUNT = to_say(
    "From your records alone: how long it lasts goes by how many pieces the bottles and boxes before it lasted."
)
STUDIO_SAYS = to_say("As recorded by the studio, from labels and makers. archgen checked none of it.")


class ContainerWords(Value, frozen=True):
    """A bottle or box."""

    batch: str
    facts: str


class ProductWords(Value, frozen=True):
    """An ink or needle; `need` is empty where nothing is to be done."""

    name: str
    pace: str
    need: str
    containers: tuple[ContainerWords, ...]


class StockWords(Value, frozen=True):
    """All of one kind."""

    title: str
    products: tuple[ProductWords, ...]


def stock_words(products: Sequence[Product]) -> tuple[StockWords, ...]:
    """Say how inks and needles stand."""
    kinds = ((kind, [one for one in products if one.kind is kind]) for kind in KIND_TITLES)
    return tuple(StockWords(say(KIND_TITLES[kind]), tuple(map(product_words, found))) for kind, found in kinds if found)


def product_words(product: Product) -> ProductWords:
    """Say how one stands."""
    containers = tuple(ContainerWords(one.batch or say("no number"), _container(one)) for one in product.containers)
    return ProductWords(product.name, _pace(product), _need(product), containers)


def reorder_words(products: Sequence[Product]) -> str:
    """List what to reorder."""
    names = [one.name for one in products if one.runs_out]
    if not names:
        return say("Reorder: nothing, as far as your records say.")
    return say("Reorder: {names}.", names=", ".join(names))


def _need(product: Product) -> str:
    words = say(_NEED_WORDS[product.need]) if _NEED_WORDS[product.need] else ""
    is_more = product.runs_out and product.need is not Need.REORDER
    return say("{need}, and reorder: no other is recorded", need=words) if is_more else words


def _pace(product: Product) -> str:
    if product.pace:
        pace = say("{pace:.1f} pieces a month", pace=product.pace)
        return "; ".join(filter(None, (pace, _open_end(product))))
    return say("last used {day}", day=date_words(product.last_used)) if product.last_used else say("not used yet")


def _open_end(product: Product) -> str:
    """Say why nobody knows how long what is open lasts."""
    unknown = [one for one in product.containers if one.is_open and one.is_usable and one.months_left is None]
    if not unknown:
        return ""
    is_ink, number = product.kind is BatchKind.INK, len(unknown)
    if product.used_up:
        return (
            say_count(
                "too few bottles are recorded to the end, so how long this one lasts can’t be said",
                "too few bottles are recorded to the end, so how long these last can’t be said",
                number,
            )
            if is_ink
            else say_count(
                "too few boxes are recorded to the end, so how long this one lasts can’t be said",
                "too few boxes are recorded to the end, so how long these last can’t be said",
                number,
            )
        )
    return (
        say_count(
            "no bottle is recorded to the end, so how long this one lasts can’t be said",
            "no bottle is recorded to the end, so how long these last can’t be said",
            number,
        )
        if is_ink
        else say_count(
            "no box is recorded to the end, so how long this one lasts can’t be said",
            "no box is recorded to the end, so how long these last can’t be said",
            number,
        )
    )


def _container(one: Container) -> str:
    facts = [
        say("open since {day}", day=date_words(one.opened)) if one.opened else say("not opened"),
        say_count("{number} piece", "{number} pieces", one.pieces) if one.pieces else "",
        say("for {uses}", uses="; ".join(one.uses)) if one.uses else "",
        say("used up in {months}", months=_months(one.months_left)) if one.months_left else "",
        _expiry(one.expiry, is_past=one.is_past) if one.expiry else "",
        _to_date(round(one.pieces_to_date)) if one.pieces_to_date else "",
        say("recalled {day}", day=date_words(one.recalled)) if one.recalled else "",
    ]
    return ", ".join(fact for fact in facts if fact)


def _to_date(pieces: int) -> str:
    return say_count("about {number} piece until then", "about {number} pieces until then", pieces)


def _expiry(day: dt.date, *, is_past: bool) -> str:
    return (
        say("past its date ({day})", day=date_words(day)) if is_past else say("good until {day}", day=date_words(day))
    )


def _months(left: tuple[float, float]) -> str:
    """Say "1 to 3 months", "less than a month"."""
    least, most = (round(months) for months in left)
    if most < 1:
        return say("less than a month")
    if least == most:
        return say_count("about {number} month", "about {number} months", most)
    return say_count("{least} to {number} month", "{least} to {number} months", most, least=least)


def made_of_words(found: MadeOf) -> tuple[str, ...]:
    """Answer whether everything of a piece is recorded as something, with what stands in the way."""
    claim, materials = found.claim, found.materials
    if not materials:
        return (
            say("Nothing is recorded of what went into it, so nobody can say whether it was {claim}.", claim=claim),
        )
    if found.answer is ClaimAnswer.YES:
        return (
            say("Everything recorded of it is recorded as {claim}.", claim=claim),
            *map(_source, materials),
            say(STUDIO_SAYS),
        )
    against = [one for one in materials if one.answer is ClaimAnswer.NO]
    unknown = [one for one in materials if one.answer is ClaimAnswer.UNKNOWN]
    lines = []
    if against:
        names = _names(against)
        lines.append(
            say("No: {names} is recorded as not {claim}.", names=names, claim=claim)
            if len(against) == 1
            else say("No: {names} are recorded as not {claim}.", names=names, claim=claim)
        )
    if unknown:
        lines.append(say("It can't be said: nothing is recorded about {names}.", names=_names(unknown)))
    return (*lines, *(_source(one) for one in materials if one.answer is not ClaimAnswer.UNKNOWN), say(STUDIO_SAYS))


def _names(materials: Sequence[Material]) -> str:
    return say_all([_name(one) for one in materials])


def _name(one: Material) -> str:
    return f"{one.name} ({one.batch})" if one.batch and one.batch != one.name else one.name


def _source(one: Material) -> str:
    said = say("yes") if one.answer is ClaimAnswer.YES else say("no")
    if one.source:
        return say("{name}: {said}, by {source}.", name=_name(one), said=said, source=one.source)
    return say("{name}: {said}, source not recorded.", name=_name(one), said=said)


def title_words(day: dt.date) -> str:
    """Give the title of a list that was made on a day."""
    return say("Inks and needles, {day}", day=date_words(day))
