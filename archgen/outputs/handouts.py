"""Single pages to hand over or pin up, each in one file: a quote for the client, the list of supplies."""

from collections.abc import Sequence
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.config import Config
from archgen.languages.house import say
from archgen.outputs.result_file import write_file
from archgen.quoting.wish import Wish
from archgen.render.html import load_theme
from archgen.supplies.stock import Need, Product
from archgen.values.frozen import Value
from archgen.wording.planning.quotes import wish_words
from archgen.wording.planning.stock import NO_COUNT, ProductWords, StockWords, stock_words, title_words

# A file that begins so may be written over.
BEGINS = b"<!doctype html>\n<!-- Written by archgen. -->"


class QuoteView(Value, frozen=True):
    """A quote: what is asked for, hours and price; nothing of anybody else."""

    language: str
    name: str
    title: str
    lines: tuple[str, ...]


class StockView(Value, frozen=True):
    """The list of supplies; what needs something comes first, with a box to tick."""

    language: str
    name: str
    title: str
    to_do: tuple[ProductWords, ...]
    kinds: tuple[StockWords, ...]
    note: str


def quote_page(wish: Wish, lines: tuple[str, ...], config: Config) -> bytes:
    """Write a quote for the client."""
    name = config.portfolio.artist or config.portfolio.title
    view = QuoteView("en", name, wish_words(wish, config.archive.units), lines)
    return load_theme("handout").render("quote.html", view=view).encode()


def write_quote(target: Path, wish: Wish, lines: tuple[str, ...], config: Config) -> Path:
    """Write it into a file.

    Raises:
        OutputError: It cannot be written there.
    """
    return write_file(target, quote_page(wish, lines, config), config.root, BEGINS)


def write_stock(target: Path, products: Sequence[Product], records: Catalogue) -> Path:
    """Write the list of supplies into a file.

    Raises:
        OutputError: It cannot be written there.
    """
    config = records.config
    to_do = stock_words([one for one in products if one.need is not Need.NOTHING])
    view = StockView(
        language="en",
        name=config.archive.title,
        title=title_words(records.built_on),
        to_do=tuple(product for kind in to_do for product in kind.products),
        kinds=stock_words(products),
        note=say(NO_COUNT),
    )
    page = load_theme("handout").render("stock.html", view=view).encode()
    return write_file(target, page, config.root, BEGINS)
