"""The first page where there is no archive yet: five questions, each may stay open, then the archive is made."""

import threading
from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from archgen.desk.answering import Fields, desk_of, desk_page, form_handler, see_other, site_of
from archgen.desk.state import DeskState
from archgen.languages.house import say, to_say
from archgen.outputs.archive.context import Site
from archgen.records.layout import is_archive
from archgen.storage.remembered import remember_archive
from archgen.writing.new_archive import StudioAnswers, make_archive, title_from

PRINTERS = (
    ("A4 ink-jet", to_say("Ink-jet, A4"), to_say("mirrored")),
    ("A4 thermal", to_say("Thermal, A4"), to_say("not mirrored")),
    ("Letter ink-jet", to_say("Ink-jet, Letter"), to_say("mirrored")),
    ("Letter thermal", to_say("Thermal, Letter"), to_say("not mirrored")),
)
UNITS = (("mm", to_say("Millimetres"), "58 × 92 mm"), ("in", to_say("Inches"), "2 9/32 × 3 5/8 in"))
CURRENCIES = ("EUR", "GBP", "SEK", "USD", "CHF")
LONGEST = 200


@dataclass(frozen=True, slots=True)
class StartView:
    """The page: where the archive would be, and what its title would be if none is given."""

    site: Site
    folder: str
    title: str
    printers: tuple[tuple[str, str, str], ...]
    units: tuple[tuple[str, str, str], ...]
    currencies: tuple[str, ...] = CURRENCIES


def needs_start(state: DeskState) -> bool:
    """Say whether there is no archive where this desk looks."""
    return state.shown is None and not is_archive(state.root)


def start_page(request: Request) -> Response:
    """Ask the five questions."""
    root = desk_of(request).root
    printers = tuple((key, say(words), say(way)) for key, words, way in PRINTERS)
    units = tuple((key, say(words), example) for key, words, example in UNITS)
    view = StartView(site_of(None), str(root), title_from(root), printers, units)
    return desk_page(request, "start.html", view)


def start(state: DeskState, request: Request, fields: Fields) -> Response:
    """Make the archive with what was answered, and read it."""
    with state.writing:
        if needs_start(state):
            make_archive(state.root, studio_answers(fields, title_from(state.root)))
            remember_archive(state.root)
            threading.Thread(target=state.load, name="reading", daemon=True).start()
    return see_other(request, "")


def studio_answers(fields: Fields, title: str) -> StudioAnswers:
    """Read the answers; what is open stays open."""
    paper, _, method = fields.one("printer").partition(" ")
    known = any(fields.one("printer") == key for key, _, _ in PRINTERS)
    units, currency = fields.one("units"), fields.one("currency")
    return StudioAnswers(
        title=" ".join(fields.one("title")[:LONGEST].split()) or title,
        artist=" ".join(fields.one("artist")[:LONGEST].split()) or None,
        paper=paper if known else None,
        method=method if known else None,
        units=units if units in {key for key, _, _ in UNITS} else None,
        currency=currency if currency in CURRENCIES else None,
    )


ROUTES = (Route("/start", form_handler(start), methods=["POST"]),)
