"""What is said of inks and needles at hand, and of what a piece was made of."""

import datetime as dt
from collections.abc import Sequence

from archgen.supplies.made_of import ClaimAnswer, MadeOf, Material
from archgen.supplies.stock import Container, Need, Product
from archgen.tracing.book import BatchKind
from archgen.units import date_words
from archgen.values.frozen import Value
from archgen.wording.counts import count_words

KIND_TITLES = {BatchKind.INK: "Inks", BatchKind.NEEDLE: "Needles"}
_NEED_WORDS = {
    Need.RECALLED: "Recalled: set it aside and tell who wears it",
    Need.EXPIRED: "Past its date: set it aside",
    Need.REORDER: "Reorder",
    Need.EXPIRES_FIRST: "Will pass its date before it is used up",
    Need.MAY_EXPIRE: "May pass its date before it is used up",
    Need.NOTHING: "",
}
NO_COUNT = "From your records alone: how long it lasts goes by how many pieces the bottles and boxes before it lasted."
STUDIO_SAYS = "As recorded by the studio, from labels and makers. archgen checked none of it."


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
    return tuple(StockWords(KIND_TITLES[kind], tuple(map(product_words, found))) for kind, found in kinds if found)


def product_words(product: Product) -> ProductWords:
    """Say how one stands."""
    containers = tuple(ContainerWords(one.batch or "no number", _container(one)) for one in product.containers)
    return ProductWords(product.name, _pace(product), _need(product), containers)


def reorder_words(products: Sequence[Product]) -> str:
    """List what to reorder; empty where nothing is."""
    names = [one.name for one in products if one.runs_out]
    return f"Reorder: {', '.join(names)}." if names else ""


def _need(product: Product) -> str:
    words = _NEED_WORDS[product.need]
    is_more = product.runs_out and product.need is not Need.REORDER
    return f"{words}, and reorder: no other is recorded" if is_more else words


def _pace(product: Product) -> str:
    if product.pace:
        return f"{product.pace:.1f} pieces a month{_open_end(product)}"
    return f"last used {date_words(product.last_used)}" if product.last_used else "not used yet"


def _open_end(product: Product) -> str:
    """Say why nobody knows how long what is open lasts."""
    unknown = [one for one in product.containers if one.is_open and one.is_usable and one.months_left is None]
    if not unknown:
        return ""
    one, several = ("bottle", "bottles") if product.kind is BatchKind.INK else ("box", "boxes")
    ends = f"too few {several} are" if product.used_up else f"no {one} is"
    last = "this one lasts" if len(unknown) == 1 else "these last"
    return f"; {ends} recorded to the end, so how long {last} can’t be said"


def _container(one: Container) -> str:
    facts = [
        f"open since {date_words(one.opened)}" if one.opened else "not opened",
        count_words(one.pieces, "piece") if one.pieces else "",
        "for " + "; ".join(one.uses) if one.uses else "",
        f"used up in {_months(one.months_left)}" if one.months_left else "",
        _expiry(one.expiry, is_past=one.is_past) if one.expiry else "",
        f"about {count_words(round(one.pieces_to_date), 'piece')} until then" if one.pieces_to_date else "",
        f"recalled {date_words(one.recalled)}" if one.recalled else "",
    ]
    return ", ".join(fact for fact in facts if fact)


def _expiry(day: dt.date, *, is_past: bool) -> str:
    return f"past its date ({date_words(day)})" if is_past else f"good until {date_words(day)}"


def _months(left: tuple[float, float]) -> str:
    """Say "1 to 3 months", "less than a month"."""
    least, most = (round(months) for months in left)
    if most < 1:
        return "less than a month"
    return f"about {count_words(most, 'month')}" if least == most else f"{least} to {count_words(most, 'month')}"


def made_of_words(found: MadeOf) -> tuple[str, ...]:
    """Answer whether everything of a piece is recorded as something, with what stands in the way."""
    claim, materials = found.claim, found.materials
    if not materials:
        return (f"Nothing is recorded of what went into it, so nobody can say whether it was {claim}.",)
    if found.answer is ClaimAnswer.YES:
        return (f"Everything recorded of it is recorded as {claim}.", *map(_source, materials), STUDIO_SAYS)
    against = [one for one in materials if one.answer is ClaimAnswer.NO]
    unknown = [one for one in materials if one.answer is ClaimAnswer.UNKNOWN]
    lines = []
    if against:
        lines.append(f"No: {_names(against)} {'is' if len(against) == 1 else 'are'} recorded as not {claim}.")
    if unknown:
        lines.append(f"It can't be said: nothing is recorded about {_names(unknown)}.")
    return (*lines, *(_source(one) for one in materials if one.answer is not ClaimAnswer.UNKNOWN), STUDIO_SAYS)


def _names(materials: Sequence[Material]) -> str:
    names = [_name(one) for one in materials]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _name(one: Material) -> str:
    return f"{one.name} ({one.batch})" if one.batch and one.batch != one.name else one.name


def _source(one: Material) -> str:
    said = "yes" if one.answer is ClaimAnswer.YES else "no"
    return f"{_name(one)}: {said}, by {one.source}." if one.source else f"{_name(one)}: {said}, source not recorded."


def title_words(day: dt.date) -> str:
    """Give the title of a list that was made on a day."""
    return f"Inks and needles, {date_words(day)}"
