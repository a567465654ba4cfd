"""A quote as a page for the client: what is asked for, hours and price; nothing of anybody else."""

from archgen.config import Config
from archgen.quoting.wish import Wish
from archgen.render.html import load_theme
from archgen.values.frozen import Value
from archgen.wording.planning.quotes import wish_words

# A file that begins so may be written over.
BEGINS = b"<!doctype html>\n<!-- A quote, written by archgen. -->"


class QuoteView(Value, frozen=True):
    """The page."""

    language: str
    name: str
    asked: str
    lines: tuple[str, ...]


def quote_page(wish: Wish, lines: tuple[str, ...], config: Config) -> bytes:
    """Write the page; it needs no other file."""
    name = config.portfolio.artist or config.portfolio.title
    view = QuoteView("en", name, wish_words(wish, config.archive.units), lines)
    return load_theme("quote").render("quote.html", view=view).encode()
