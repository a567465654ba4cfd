"""The desk's page that says how long a piece will take and what to charge, and the page to show the client."""

from collections.abc import Mapping
from urllib.parse import urlencode

import msgspec
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from archgen.answers.typed import typed_value
from archgen.desk.answering import desk_of, desk_page, sentence_page
from archgen.desk.shown import ShownArchive
from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.outputs.archive.context import Context, Site, thumbnail
from archgen.outputs.handouts import quote_page
from archgen.outputs.site_pages import PagePicture
from archgen.quoting.earlier_notes import earlier_notes
from archgen.quoting.past_work import past_work
from archgen.quoting.quote import Quote, make_quote
from archgen.quoting.wish import read_wish
from archgen.records.vocabulary.placements import PLACES, place_words
from archgen.units import parse_length
from archgen.values.frozen import Value
from archgen.wording.planning.notes import NearWords, note_words
from archgen.wording.planning.quotes import QuoteWords, client_words, quote_words


class PieceBeside(Value, frozen=True):
    """A piece beside the quote, with its picture and its page."""

    words: NearWords
    href: str
    picture: PagePicture | None


class QuotePageView(Value, frozen=True):
    """The page.

    Attributes:
        asked: What stands in the fields.
        trouble: What isn't understood.
        said: The quote; None before anything is asked.
        for_client: Address of the page to show; empty where there is nothing to show.
    """

    site: Site
    asked: Mapping[str, str]
    styles: tuple[str, ...]
    places: tuple[str, ...]
    clients: tuple[str, ...] = ()
    trouble: str = ""
    said: QuoteWords | None = None
    nearest: tuple[PieceBeside, ...] = ()
    to_check: tuple[PieceBeside, ...] = ()
    noted: tuple[PieceBeside, ...] = ()
    for_client: str = ""


_FIELDS = ("width", "height", "style", "placement", "hour", "client")


def show_quote(request: Request) -> Response:
    """Show the form, and the quote where it was filled in."""
    shown = desk_of(request).current
    asked = _asked(request)
    styles = sorted({style for piece in shown.catalogue.pieces if piece.record for style in piece.record.styles})
    places = tuple(place_words(place) for place in PLACES.values())
    clients = tuple(shown.context.client_pages)
    view = QuotePageView(shown.context.site, asked, tuple(styles), places, clients)
    if asked["width"] or asked["height"]:
        view = _with_quote(view, shown)
    return desk_page(request, "quote.html", view, status=409 if view.trouble else 200)


def show_client(request: Request) -> Response:
    """Show the page for the client: nothing of anybody else is on it, nor a way back into the archive."""
    shown = desk_of(request).current
    config = shown.catalogue.config
    quote = _quote(shown, _asked(request))
    said = client_words(quote, config.portfolio.currency)
    if not said:
        return sentence_page(
            request, say("Nothing to show yet"), say("Too few pieces have hours and a size to foretell any.")
        )
    return HTMLResponse(quote_page(quote.wish, said, config))


def _asked(request: Request) -> dict[str, str]:
    return {name: request.query_params.get(name, "").strip()[:100] for name in _FIELDS}


def _with_quote(view: QuotePageView, shown: ShownArchive) -> QuotePageView:
    try:
        quote = _quote(shown, view.asked)
    except UsageError as error:
        return msgspec.structs.replace(view, trouble=str(error))
    config = shown.catalogue.config
    notes = earlier_notes(shown.catalogue.pieces, quote.wish.place, view.asked["client"])
    said = quote_words(quote, config.archive.units, config.portfolio.currency)
    return msgspec.structs.replace(
        view,
        said=said,
        nearest=_rows(said.nearest, shown.context),
        to_check=_rows(said.to_check, shown.context),
        noted=_rows(note_words(notes), shown.context),
        for_client=f"quote-client.html?{urlencode({**view.asked, 'client': ''})}" if quote.foretold else "",
    )


def _quote(shown: ShownArchive, asked: Mapping[str, str]) -> Quote:
    catalogue = shown.catalogue
    units = catalogue.config.archive.units
    if not (asked["width"] and asked["height"]):
        raise UsageError(say("Width and height are both needed."))
    width, height = (parse_length(str(typed_value(side, asked[side], units))) for side in ("width", "height"))
    wish = read_wish(width, height, asked["style"].split(","), asked["placement"])
    settings = catalogue.config.quote
    if asked["hour"]:
        settings = msgspec.structs.replace(settings, hour=_price(asked["hour"]))
    return make_quote(past_work(catalogue.pieces), wish, settings, catalogue.built_on)


def _price(typed: str) -> float:
    try:
        price = float(typed.replace(",", "."))
    except ValueError:
        price = 0.0
    if not 0 < price < 1e6:
        raise UsageError(say("The price of an hour is a number, such as 120."))
    return price


def _rows(pieces: tuple[NearWords, ...], context: Context) -> tuple[PieceBeside, ...]:
    pages, overviews = context.piece_pages, context.overviews
    return tuple(PieceBeside(words, pages[words.piece], thumbnail(overviews[words.piece])) for words in pieces)


ROUTES = (Route("/quote.html", show_quote), Route("/quote-client.html", show_client))
