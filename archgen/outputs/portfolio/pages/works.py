"""Home and the pages of styles: works on a wall, page by page."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from markupsafe import Markup

from archgen.outputs.portfolio.data import site_json_ld
from archgen.outputs.portfolio.editions import OwnText, settings_language
from archgen.outputs.portfolio.layout import Layout, Sizes
from archgen.outputs.portfolio.pages.maker import WORKS_PER_PAGE, PageMaker, page_picture, style_path
from archgen.outputs.portfolio.pages.values import PageView, SiteView
from archgen.outputs.portfolio.paths import HOME
from archgen.outputs.site_pages import PagePicture, PageTurns, in_pages
from archgen.publication.public_catalogue import (
    PublicPiece,
    piece_path,
    slug,
)
from archgen.values.frozen import Value
from archgen.wording.portfolio import (
    first_sentence,
)


class PortfolioCard(Value, frozen=True):
    """A piece on a wall of works."""

    number: int
    title: str
    words: str
    path: str
    shape: str
    sizes: str
    picture: PagePicture
    title_language: str = ""


class WorksView(Value, frozen=True):
    """Home or a style, or a further page of them.

    Attributes:
        turns: Where it stands among the pages of the same works.
        notice_before: The number of the card before which the notice stands; 0 is nowhere.
        is_open: Whether a row stays half empty at the end.
    """

    site: SiteView
    page: PageView
    heading: str
    cards: tuple[PortfolioCard, ...]
    turns: PageTurns
    json_ld: Markup | None = None
    notice: str = ""
    notice_before: int = 0
    is_open: bool = False
    heading_language: str = ""
    notice_language: str = ""


class WorksPages:
    """Home and the styles, with the pages on which their works go on."""

    def __init__(self, maker: PageMaker, layout: Layout, sizes: Sizes) -> None:
        self._maker, self._layout, self._sizes = maker, layout, sizes
        self._site, self._cleared, self._spoken = maker.site, maker.cleared, maker.spoken

    def home(self) -> Iterator[WorksView]:
        """Give the first page, and those on which its works go on."""
        settings = self._cleared.settings
        title = settings.title if self._site.name in settings.title else f"{self._site.name}, {settings.title}"
        heading = settings.description or settings.title
        head = self._maker.page(HOME, "home", title, settings.description)
        first, *more = self._works(self._cleared.pieces, head, heading)
        booking = self._maker.texts.get("booking", OwnText(""))
        notice = first_sentence(booking.text)
        heading_language = settings_language(self._cleared, "description" if settings.description else "title")
        shown = self._cleared.pieces[: len(first.cards)]
        place = self._layout.notice_place(self._layout.close_rows(shown)) if notice else 0
        yield replace(
            first,
            json_ld=site_json_ld(self._cleared),
            notice=notice,
            notice_before=place,
            is_open=self._layout.is_open(shown, with_notice=place > 0),
            heading_language=heading_language,
            notice_language=booking.language,
        )
        yield from (replace(view, heading_language=heading_language) for view in more)

    def styles(self) -> Iterator[WorksView]:
        """Give the pages of every style."""
        for name, link in self._maker.styles.items():
            pieces = [piece for piece in self._cleared.pieces if name in map(slug, piece.styles)]
            title, said = (
                f"{link.words} – {self._site.name}",
                {"style": link.words, "artist": self._site.name},
            )
            words = self._spoken.gettext("%(style)s tattoos by %(artist)s.") % said
            for view in self._works(pieces, self._maker.page(style_path(name), "style", title, words), link.words):
                yield replace(view, heading_language=link.language)

    def _works(self, pieces: Sequence[PublicPiece], head: PageView, heading: str) -> Iterator[WorksView]:
        later = (
            self._maker.at("work/{}.html")
            if head.path == self._site.home
            else f"{head.path.removesuffix('.html')}/{{}}.html"
        )
        for shown, turns in in_pages(pieces, WORKS_PER_PAGE, head.path, later):
            ordered, number = self._layout.close_rows(shown), turns.number
            title = self._maker.numbered(head.title, turns)
            path = turns.path.removeprefix(self._cleared.folder)
            page = self._maker.page(path, head.kind, title, head.description, shown=ordered[:1])
            cards = self._cards(ordered, before=WORKS_PER_PAGE * (number - 1))
            page = replace(page, belongs_to=head.path)
            yield WorksView(self._site, page, heading, cards, turns, is_open=self._layout.is_open(ordered))

    def as_hung(self) -> Iterator[PublicPiece]:
        """Give the pieces in the order in which the first page and those after it show them."""
        for shown, _ in in_pages(self._cleared.pieces, WORKS_PER_PAGE, HOME, HOME):
            yield from self._layout.close_rows(shown)

    def _cards(self, pieces: Sequence[PublicPiece], before: int) -> tuple[PortfolioCard, ...]:
        alone = self._layout.number_alone(pieces)
        return tuple(
            self._card(piece, before + place, is_first=place == 1, is_alone=place == alone)
            for place, piece in enumerate(pieces, 1)
        )

    def _card(self, piece: PublicPiece, number: int, *, is_first: bool, is_alone: bool) -> PortfolioCard:
        is_wide = self._layout.is_wide(piece)
        sizes = self._sizes.wide if is_wide else self._sizes.tall
        if is_first:
            sizes = self._sizes.first or sizes
        shape = "wide" if is_wide else "tall alone" if is_alone else "tall"
        words = self._maker.words_below(piece)
        path, picture = self._maker.at(piece_path(piece)), page_picture(piece, 0)
        return PortfolioCard(number, piece.title, words, path, shape, sizes, picture, piece.title_language)
