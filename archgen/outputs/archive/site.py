"""The private archive: pages to be opened from disk, every piece with all its record holds."""

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, partial
from pathlib import Path
from typing import Any
from urllib.parse import quote

from archgen.languages.house import say
from archgen.outputs.archive.batches import BatchRow, batch_index, batch_rows, batch_view
from archgen.outputs.archive.body import Figure
from archgen.outputs.archive.cards import piece_list
from archgen.outputs.archive.charts.page import charts_view
from archgen.outputs.archive.checks import checks_view
from archgen.outputs.archive.clients import ClientRow, client_index, client_rows, client_view
from archgen.outputs.archive.context import NOW, Context, Site
from archgen.outputs.archive.doubles import doubles_view
from archgen.outputs.archive.followup import followup_view
from archgen.outputs.archive.list_scripts import ScriptedList, ScriptedRows, scripted, scripted_rows
from archgen.outputs.archive.lists import (
    CARDS_PER_PAGE,
    ROWS_PER_PAGE,
    Card,
    CardList,
    ChoiceGroup,
    MonthRule,
    Order,
    month_rule,
)
from archgen.outputs.archive.piece.changes import changes_page, changes_view, made_of_changes
from archgen.outputs.archive.piece.page import made_of_piece, piece_view
from archgen.outputs.archive.planning.designs import PAGE as DESIGNS_PAGE
from archgen.outputs.archive.planning.designs import designs_view
from archgen.outputs.archive.planning.sleeve import made_of_sleeve, sleeve_view
from archgen.outputs.archive.planning.stock import made_of_stock, stock_view
from archgen.outputs.archive.search import all_answers, search_scripts
from archgen.outputs.archive.stencils import OneStencil, stencil_list
from archgen.outputs.artifact import Artifact, failing
from archgen.outputs.known_keys import KnownKeys
from archgen.outputs.sheets.calendar import FILE as CALENDAR
from archgen.outputs.sheets.calendar import followup_calendar
from archgen.outputs.site_pages import PageTurns, asset_files, in_pages, make_page, page_key, picture_files
from archgen.picture_facts.facts import Derivative
from archgen.pieces.overview import PieceOverview
from archgen.pieces.survey import SurveyedCatalogue
from archgen.publication.withdrawals import write_withdrawals
from archgen.render.html import Theme, load_theme
from archgen.values.frozen import Value

# Lines of the plain list on one page: ten sheets of paper or so.
PLAIN_ROWS = 400


class ListView(Value, frozen=True):
    """A page of a list of cards.

    Attributes:
        kind: pieces or stencils.
        total: How many cards there are on all pages.
        script: The list's script, relative to the page; it knows all cards.
    """

    site: Site
    kind: str
    total: int
    cards: tuple[Card, ...]
    turns: PageTurns
    groups: tuple[ChoiceGroup, ...]
    orders: tuple[Order, ...]
    months: MonthRule | None
    script: str
    photos: int
    stencils: int
    in_portfolio: int
    has_designs: bool


class LaterListView(Value, frozen=True):
    """A page of a list but the first: for browsers without scripts, and made of its own cards alone.

    Attributes:
        said: In which order they stand.
    """

    site: Site
    kind: str
    total: int
    cards: tuple[Card, ...]
    turns: PageTurns
    said: str


class PlainRow(Value, frozen=True):
    """One line of the plain list."""

    href: str
    title: str
    words: str


class PlainView(Value, frozen=True):
    """All pieces as a list of lines, for paper and for browsers without scripts."""

    site: Site
    total: int
    turns: PageTurns
    years: tuple[tuple[str, tuple[PlainRow, ...]], ...]


@dataclass(frozen=True)
class ArchiveSite:
    """The folder ``archive``.

    Attributes:
        blobs: The folder of the picture copies.
        originals: The way from the folder to the archive folder, such as ``../../content``; by default its
            address on this machine.
        keys: What is remembered of the keys of pages.
    """

    catalogue: SurveyedCatalogue
    blobs: Path
    originals: str | None = None
    keys: KnownKeys = field(default_factory=KnownKeys)

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
        figure = Figure(theme.files["figure.svg"])
        lists = make_lists(theme, context, figure, self.keys)
        yield from lists.scripts
        for path, planned in page_plans(context, lists, figure).items():
            yield _page(theme, path, planned, self.keys)
        yield Artifact(NOW, make=context.site.now)
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
    for pair in catalogue.overlays.values():
        yield from (pair.picture,) if pair.picture else ()
    for laid in catalogue.laid.values():
        yield from (layer.picture for layer in (laid.fresh, *laid.stencils) if layer)


class PagePlan(Value, frozen=True):
    """A page to be: its template, and the function that makes its view when it is wanted.

    Attributes:
        made_of: Gives all that shapes the view, where that takes less than to make it.
    """

    template: str
    view: Callable[[], object]
    made_of: Callable[[], object] | None = None


class Lists(Value, frozen=True):
    """The long lists of the archive with their scripts."""

    pieces: ScriptedList[PieceOverview]
    stencils: ScriptedList[OneStencil]
    clients: ScriptedRows[ClientRow]
    batches: ScriptedRows[BatchRow]
    search: tuple[Artifact, ...]

    @property
    def scripts(self) -> tuple[Artifact, ...]:
        """Give the scripts of all."""
        return (*self.pieces.scripts, *self.stencils.scripts, *self.clients.parts, *self.batches.parts, *self.search)


def _page(theme: Theme, path: str, planned: PagePlan, keys: KnownKeys) -> Artifact:
    try:
        key = (
            keys.key((path, theme.digest, planned.made_of()), lambda: _key(theme, path, planned))
            if planned.made_of
            else _key(theme, path, planned)
        )
    except Exception as error:  # told where it would be made
        return failing(path, error)
    # The view is not kept but made again where the page has to be: those of all pages are large.
    return Artifact(path, make=lambda: make_page(theme, path, planned.template, planned.view()), key=key)


def _key(theme: Theme, path: str, planned: PagePlan) -> str:
    return page_key(theme, path, planned.template, planned.view())


def make_lists(theme: Theme, context: Context, figure: Figure, keys: KnownKeys) -> Lists:
    """Make the long lists, and the search of all that is in them."""
    pieces, stencils = piece_list(context), stencil_list(context)
    answers = all_answers(context, pieces.subjects, stencils.subjects)
    return Lists(
        scripted(theme, "pieces", pieces, figure),
        scripted(theme, "stencils", stencils, figure),
        scripted_rows(theme, "clients", "client", client_rows(context)),
        scripted_rows(theme, "batches", "batch", batch_rows(context)),
        search_scripts(answers, keys),
    )


def page_plans(context: Context, lists: Lists, figure: Figure) -> Mapping[str, PagePlan]:
    """Plan every page of the archive by its path; no view is made before it is asked for."""
    plans = dict(_list_plans(context, lists))
    for overview in context.overviews.values():
        path = context.piece_pages[overview.id]
        made_of = partial(made_of_piece, context, overview)
        plans[path] = PagePlan("piece.html", partial(piece_view, context, overview, figure), made_of)
        if overview.overlays:
            of_changes = partial(made_of_changes, context, overview)
            plans[changes_page(context, overview)] = PagePlan(
                "changes.html", partial(changes_view, context, overview), of_changes
            )
    for code in context.by_client:
        plans[context.client_pages[code]] = PagePlan("client.html", partial(client_view, context, code, figure))
    for code, path in context.sleeve_pages.items():
        made_of = partial(made_of_sleeve, context, code)
        plans[path] = PagePlan("sleeve.html", partial(sleeve_view, context, code, figure), made_of)
    for batch in context.batches:
        plans[context.batch_pages[batch]] = PagePlan("batch.html", partial(batch_view, context, batch))
    plans["doubles.html"] = PagePlan("doubles.html", partial(doubles_view, context))
    plans["checks.html"] = PagePlan("checks.html", partial(checks_view, context))
    plans["figures.html"] = PagePlan("figures.html", partial(charts_view, context))
    if context.catalogue.designs:
        plans[DESIGNS_PAGE] = PagePlan(DESIGNS_PAGE, partial(designs_view, context))
    plans["stock.html"] = PagePlan("stock.html", partial(stock_view, context), partial(made_of_stock, context))
    plans["followup.html"] = PagePlan("followup.html", partial(followup_view, context))
    return plans


def _list_plans(context: Context, lists: Lists) -> Iterator[tuple[str, PagePlan]]:
    pieces = lists.pieces.cards.cards
    for plain_rows, turns in in_pages(pieces, PLAIN_ROWS, "list.html", "list-{}.html"):
        yield turns.path, PagePlan("plain.html", partial(_plain_view, context, plain_rows, turns))
    for kind, listed, first in (("pieces", lists.pieces, "index.html"), ("stencils", lists.stencils, "stencils.html")):
        for cards, turns in in_pages(listed.cards.cards, CARDS_PER_PAGE, first, kind + "-{}.html"):
            if turns.number == 1:
                yield turns.path, PagePlan("list.html", partial(_list_view, context, kind, lists, cards, turns))
            else:
                view = partial(_later_list_view, context, kind, listed.cards, cards, turns)
                yield turns.path, PagePlan("list-page.html", view)
    for clients, turns in in_pages(lists.clients.rows, ROWS_PER_PAGE, "clients.html", "clients-{}.html"):
        yield turns.path, PagePlan("clients.html", partial(client_index, context, lists.clients, clients, turns))
    for batches, turns in in_pages(lists.batches.rows, ROWS_PER_PAGE, "batches.html", "batches-{}.html"):
        yield turns.path, PagePlan("batches.html", partial(batch_index, context, lists.batches, batches, turns))


def _list_view(context: Context, kind: str, lists: Lists, cards: Sequence[Card], turns: PageTurns) -> ListView:
    listed = lists.pieces if kind == "pieces" else lists.stencils
    return ListView(
        site=context.site,
        kind=kind,
        total=len(listed.cards.cards),
        cards=tuple(cards),
        turns=turns,
        groups=listed.cards.groups,
        orders=listed.cards.orders,
        months=month_rule(listed.cards.months),
        script=listed.scripts[0].path,
        photos=sum(len(piece.photos) for piece in context.catalogue.pieces),
        stencils=sum(len(piece.stencils) for piece in context.catalogue.pieces),
        in_portfolio=_count_in_portfolio(context),
        has_designs=bool(context.catalogue.designs),
    )


def _later_list_view(
    context: Context, kind: str, listed: CardList[Any], cards: Sequence[Card], turns: PageTurns
) -> LaterListView:
    return LaterListView(context.site, kind, len(listed.cards), tuple(cards), turns, listed.orders[0].said)


def _count_in_portfolio(context: Context) -> int:
    portfolio = context.catalogue.portfolio
    if portfolio:
        return len(portfolio.pieces & context.overviews.keys())
    return sum(overview.publication.shown for overview in context.overviews.values())


def _plain_view(context: Context, cards: Sequence[Card], turns: PageTurns) -> PlainView:
    years: dict[str, list[PlainRow]] = {}
    for card in cards:
        day = context.days_of_pages.get(card.href)
        row = PlainRow(card.href, card.title, ", ".join(card.lines))
        years.setdefault(str(day.year) if day else say("Without a date"), []).append(row)
    return PlainView(
        context.site, len(context.overviews), turns, tuple((year, tuple(rows)) for year, rows in years.items())
    )
