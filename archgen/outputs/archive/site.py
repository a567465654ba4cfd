"""The private archive: pages to be opened from disk, every piece with all its record holds."""

import os
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property, partial
from pathlib import Path
from urllib.parse import quote

from archgen.outputs.archive.batches import batch_index, batch_view
from archgen.outputs.archive.body import Figure
from archgen.outputs.archive.cards import piece_list
from archgen.outputs.archive.checks import checks_view
from archgen.outputs.archive.clients import client_index, client_view
from archgen.outputs.archive.context import Context, Site
from archgen.outputs.archive.doubles import doubles_view
from archgen.outputs.archive.followup import followup_view
from archgen.outputs.archive.lists import CARDS_PER_PAGE, Card, CardList, ChoiceGroup, Order
from archgen.outputs.archive.piece.page import piece_view
from archgen.outputs.archive.stencils import stencil_list
from archgen.outputs.artifact import Artifact
from archgen.outputs.sheets.calendar import FILE as CALENDAR
from archgen.outputs.sheets.calendar import followup_calendar
from archgen.outputs.site_pages import asset_files, page, picture_files
from archgen.picture_facts.facts import Derivative
from archgen.pieces.survey import SurveyedCatalogue
from archgen.publication.withdrawals import write_withdrawals
from archgen.render.html import Theme, load_theme, script_value
from archgen.storage.files import digest_bytes


@dataclass(frozen=True, slots=True)
class ListView:
    """A page with a list: its first cards; the script has them all.

    Attributes:
        kind: pieces or stencils.
        script: The list's script, relative to the page.
    """

    site: Site
    kind: str
    total: int
    cards: tuple[Card, ...]
    groups: tuple[ChoiceGroup, ...]
    orders: tuple[Order, ...]
    script: str
    photos: int
    in_portfolio: int


@dataclass(frozen=True, slots=True)
class PlainRow:
    """One line of the plain list."""

    href: str
    title: str
    words: str


@dataclass(frozen=True, slots=True)
class PlainView:
    """All pieces as one list of lines, for paper and for browsers without scripts."""

    site: Site
    years: tuple[tuple[str, tuple[PlainRow, ...]], ...]


@dataclass(frozen=True)
class ArchiveSite:
    """The folder ``archive``.

    Attributes:
        blobs: The folder of the picture copies.
        originals: The way from the folder to the archive folder, such as ``../../content``; by default its
            address on this machine.
    """

    catalogue: SurveyedCatalogue
    blobs: Path
    originals: str | None = None

    folder = "archive"

    @cached_property
    def _context(self) -> Context:
        return Context(self.catalogue, self.originals or self.catalogue.config.root.resolve().as_uri())

    def artifacts(self) -> Iterator[Artifact]:
        """List every file of the private archive."""
        theme = load_theme("archive")
        context = self._context
        yield from asset_files(theme)
        yield from picture_files(_copies(self.catalogue), self.blobs)
        lists = card_lists(theme, context)
        yield from (one.script for one in lists.values())
        for path, planned in page_plans(context, lists, Figure(theme.files["figure.svg"])).items():
            yield page(theme, path, planned.template, planned.view())
        yield Artifact(CALENDAR, make=lambda: followup_calendar(context.catalogue))
        yield Artifact(
            "removals.txt", make=lambda: write_withdrawals(self.catalogue, self.catalogue.publications).encode()
        )


def way_to_originals(root: Path, out: Path) -> str | None:
    """Give the way from the site below out to the archive folder; None when there is none (another drive)."""
    try:
        way = os.path.relpath(root.resolve(), (out / ArchiveSite.folder).resolve())
    except ValueError:
        return None
    return quote(Path(way).as_posix())


def _copies(catalogue: SurveyedCatalogue) -> Iterator[Derivative]:
    for facts in catalogue.facts.values():
        yield from facts.screen
    for gauge in catalogue.gauges.values():
        yield from (copy for copy in (gauge.screen, gauge.limb) if copy)


@dataclass(frozen=True, slots=True)
class PagePlan:
    """A page to be: its template, and the function that makes its view when it is wanted."""

    template: str
    view: Callable[[], object]


@dataclass(frozen=True, slots=True)
class ScriptedList:
    """All cards of a list page and the script that knows them."""

    cards: CardList
    script: Artifact


def card_lists(theme: Theme, context: Context) -> Mapping[str, ScriptedList]:
    """Make the two lists of cards, by their kind."""
    made = {"pieces": piece_list(context), "stencils": stencil_list(context)}
    return {kind: ScriptedList(cards, _list_script(theme, kind, cards)) for kind, cards in made.items()}


def page_plans(context: Context, lists: Mapping[str, ScriptedList], figure: Figure) -> Mapping[str, PagePlan]:
    """Plan every page of the archive by its path; no view is made before it is asked for."""
    plans = {
        "list.html": PagePlan("plain.html", lambda: _plain_view(context, lists["pieces"].cards)),
        "index.html": PagePlan("list.html", lambda: _list_view(context, "pieces", lists["pieces"])),
        "stencils.html": PagePlan("list.html", lambda: _list_view(context, "stencils", lists["stencils"])),
    }
    for overview in context.overviews.values():
        path = context.piece_pages[overview.id]
        plans[path] = PagePlan("piece.html", partial(piece_view, context, overview, figure))
    plans["clients.html"] = PagePlan("clients.html", partial(client_index, context))
    for code in context.by_client:
        plans[context.client_pages[code]] = PagePlan("client.html", partial(client_view, context, code, figure))
    plans["batches.html"] = PagePlan("batches.html", partial(batch_index, context))
    for batch in context.batches:
        plans[context.batch_pages[batch]] = PagePlan("batch.html", partial(batch_view, context, batch))
    plans["doubles.html"] = PagePlan("doubles.html", partial(doubles_view, context))
    plans["checks.html"] = PagePlan("checks.html", partial(checks_view, context))
    plans["followup.html"] = PagePlan("followup.html", partial(followup_view, context))
    return plans


def _list_view(context: Context, kind: str, listed: ScriptedList) -> ListView:
    cards = listed.cards
    return ListView(
        site=context.site,
        kind=kind,
        total=len(cards.cards),
        cards=cards.cards[:CARDS_PER_PAGE],
        groups=cards.groups,
        orders=cards.orders,
        script=listed.script.path,
        photos=sum(len(piece.photos) for piece in context.catalogue.pieces),
        in_portfolio=_count_in_portfolio(context),
    )


def _count_in_portfolio(context: Context) -> int:
    portfolio = context.catalogue.portfolio
    if portfolio:
        return len(portfolio.pieces & context.overviews.keys())
    return sum(overview.publication.shown for overview in context.overviews.values())


def _list_script(theme: Theme, kind: str, cards: CardList) -> Artifact:
    key = digest_bytes("list", theme.digest, repr(cards))

    def make() -> bytes:
        value = {
            "cards": [theme.render_part("cards.html", "card", card, "", False) for card in cards.cards],
            "words": cards.words,
            "choices": cards.chosen_by,
            "ranks": {order.key: ranks for order, ranks in zip(cards.orders, cards.ranks, strict=True)},
            "perPage": CARDS_PER_PAGE,
        }
        return script_value("ARCHIVE", value).encode()

    return Artifact(f"data/{kind}-{key[:10]}.js", make=make, key=key)


def _plain_view(context: Context, pieces: CardList) -> PlainView:
    years: dict[str, list[PlainRow]] = {}
    pages = context.piece_pages
    dated = {pages[overview.id]: overview.finished_on for overview in context.overviews.values()}
    for card in pieces.cards:
        day = dated.get(card.href)
        row = PlainRow(card.href, card.title, ", ".join(card.lines))
        years.setdefault(str(day.year) if day else "Without a date", []).append(row)
    return PlainView(context.site, tuple((year, tuple(rows)) for year, rows in years.items()))
