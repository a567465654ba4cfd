"""The page of inks and needles at hand: what needs something first, how fast each goes, how long it lasts."""

import datetime as dt

from archgen.languages.house import say
from archgen.outputs.archive.context import Context, Site
from archgen.supplies.stock import Container, Need, Product, take_stock
from archgen.units import date_words
from archgen.values.frozen import Value
from archgen.wording.planning.stock import KIND_TITLES, NO_COUNT, product_words


class StockContainer(Value, frozen=True):
    """A bottle or box with the page of its number; no href: no piece and no bottle has that number."""

    batch: str
    href: str
    facts: str


class StockRow(Value, frozen=True):
    """An ink or needle; `months` are the pieces of each of the last twelve months."""

    name: str
    pace: str
    need: str
    containers: tuple[StockContainer, ...]
    months: tuple[int, ...]


class StockPageView(Value, frozen=True):
    """The page; `as_of` is the day it is reckoned to, which moves with every piece and with dates that pass."""

    site: Site
    as_of: str
    to_do: tuple[StockRow, ...]
    kinds: tuple[tuple[str, tuple[StockRow, ...]], ...]
    note: str


def stock_view(context: Context) -> StockPageView:
    """Make the page."""
    day = _reckoned_to(context)
    products = take_stock(context.book, day) if day else ()
    kinds = ((title, [one for one in products if one.kind is kind]) for kind, title in KIND_TITLES.items())
    return StockPageView(
        site=context.site,
        as_of=date_words(day) if day else "",
        to_do=tuple(_row(context, one) for one in products if one.need is not Need.NOTHING),
        kinds=tuple((title, tuple(_row(context, one) for one in found)) for title, found in kinds if found),
        note=say(NO_COUNT),
    )


def made_of_stock(context: Context) -> tuple[object, ...]:
    """Give all that shapes the page: what `stock_view` asks for."""
    catalogue = context.catalogue
    used = [
        (piece.id, piece.record.needle, piece.record.ink, piece.record.sitting, piece.record.finished)
        for piece in catalogue.pieces
        if piece.record and (piece.record.needle or piece.record.ink)
    ]
    return context.digest, _reckoned_to(context), used, catalogue.inks, catalogue.boxes


def _reckoned_to(context: Context) -> dt.date | None:
    """Give the last day worked or the day after a date passed, the later of them; None where nothing was used yet.

    A page that said how it stands today would be another one every day.
    """
    today = context.catalogue.built_on
    days = [use.last_day for use in context.book.uses if use.last_day and use.last_day <= today]
    opened = [one.opened for one in context.catalogue.inks.values() if one.opened and one.opened <= today]
    day = max(days or opened, default=None)
    ends = [*(one.expiry for one in context.catalogue.inks.values()), *(one.expiry for one in context.catalogue.boxes)]
    passed = [end + dt.timedelta(days=1) for end in ends if end and today > end]
    return max((one for one in (day, *passed) if one), default=None)


def _row(context: Context, product: Product) -> StockRow:
    said = product_words(product)
    pairs = zip(product.containers, said.containers, strict=True)
    containers = tuple(StockContainer(two.batch, _href(context, one), two.facts) for one, two in pairs)
    return StockRow(said.name, said.pace, said.need, containers, product.by_month)


def _href(context: Context, container: Container) -> str:
    pages = context.batch_pages_of(container.batch)
    return pages[0][1] if len(pages) == 1 else ""
