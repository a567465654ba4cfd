"""The private archive: pages to be opened from disk, every piece with all its record holds."""

import os
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
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
        figure = Figure(theme.files["figure.svg"])
        yield from asset_files(theme)
        yield from picture_files(_copies(self.catalogue), self.blobs)
        yield from _list_pages(theme, context)
        for overview in context.overviews.values():
            yield page(theme, context.piece_pages[overview.id], "piece.html", piece_view(context, overview, figure))
        yield page(theme, "clients.html", "clients.html", client_index(context))
        for code, path in context.client_pages.items():
            yield page(theme, path, "client.html", client_view(context, code, figure))
        yield page(theme, "batches.html", "batches.html", batch_index(context))
        for batch in context.batches:
            yield page(theme, context.batch_pages[batch], "batch.html", batch_view(context, batch))
        yield page(theme, "doubles.html", "doubles.html", doubles_view(context))
        yield page(theme, "checks.html", "checks.html", checks_view(context))
        yield from _follow_up(theme, context)
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


def _follow_up(theme: Theme, context: Context) -> Iterator[Artifact]:
    yield page(theme, "followup.html", "followup.html", followup_view(context))
    yield Artifact(CALENDAR, make=lambda: followup_calendar(context.catalogue))


def _list_pages(theme: Theme, context: Context) -> Iterator[Artifact]:
    pieces, stencils = piece_list(context), stencil_list(context)
    yield page(theme, "list.html", "plain.html", _plain_view(context, pieces))
    for path, kind, cards in (("index.html", "pieces", pieces), ("stencils.html", "stencils", stencils)):
        script = _list_script(theme, kind, cards)
        yield script
        view = ListView(
            site=context.site,
            kind=kind,
            total=len(cards.cards),
            cards=cards.cards[:CARDS_PER_PAGE],
            groups=cards.groups,
            orders=cards.orders,
            script=script.path,
            photos=sum(len(piece.photos) for piece in context.catalogue.pieces),
            in_portfolio=_count_in_portfolio(context),
        )
        yield page(theme, path, "list.html", view)


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
    dated = {pages[piece.id]: piece.record.finished_on for piece in context.catalogue.pieces if piece.record}
    for card in pieces.cards:
        day = dated.get(card.href)
        row = PlainRow(card.href, card.title, ", ".join(card.lines))
        years.setdefault(str(day.year) if day else "Without a date", []).append(row)
    return PlainView(context.site, tuple((year, tuple(rows)) for year, rows in years.items()))
