"""What the portfolio's pages show: words, links and pictures made from cleared pieces; knows no files, no templates."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from markupsafe import Markup

from archgen.outputs.portfolio import care_sheet
from archgen.outputs.portfolio.data import largest_copy, open_graph, piece_json_ld, site_json_ld
from archgen.outputs.portfolio.layout import Layout, Sizes
from archgen.outputs.portfolio.paths import HOME, absolute, quoted
from archgen.outputs.site_pages import PagePicture, PageTurns, in_pages
from archgen.publication.public_catalogue import (
    Credit,
    PublicCatalogue,
    PublicPiece,
    photo_paths,
    piece_path,
    slug,
    visible,
)
from archgen.render.markdown import to_html
from archgen.units import hours_words, size_words
from archgen.values.frozen import Value
from archgen.wording.portfolio import (
    capital,
    first_sentence,
    heading_and_rest,
    here_words,
    letter_address,
    mail_address,
    month_words,
    number_words,
    photo_words,
    place_words,
    questions_in,
)

# The artist's own pages, in the order of the menu, with the words for a text that brings no heading.
TEXT_PAGES = {"about": "About", "care": "Care", "booking": "Booking"}
CARE = "care"
_MOST_STYLES = 8
# Works on one page; whole rows of two, three and four.
WORKS_PER_PAGE = 48
_WANTED_PX = 1000


class Link(Value, frozen=True):
    """A link inside the site; the path is relative to the site's folder."""

    words: str
    path: str
    kind: str = ""


class SiteView(Value, frozen=True):
    """What every page shows.

    Attributes:
        ask: The page to write from; None where there is none.
        here: Where and from when one can come, and in what one pays, as far as the artist says so.
    """

    name: str
    artist: str | None
    language: str
    links: tuple[Link, ...]
    ask: str | None
    with_consent: bool
    here: tuple[str, ...] = ()


class PageView(Value, frozen=True):
    """The head of a page.

    Attributes:
        address: Absolute; None when the site's own is not set.
        belongs_to: The path that leads to it, or to the first of its pages, from the menu.
    """

    path: str
    kind: str
    title: str
    description: str | None
    address: str | None
    open_graph: tuple[tuple[str, str], ...] = ()
    belongs_to: str = ""


class PortfolioCard(Value, frozen=True):
    """A piece on a wall of works."""

    number: int
    title: str
    words: str
    path: str
    shape: str
    sizes: str
    picture: PagePicture


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


class PortfolioPhoto(Value, frozen=True):
    """A photo on a piece's page, when it was taken, and the path of its largest copy."""

    picture: PagePicture
    words: str
    largest: str


class PortfolioPieceView(Value, frozen=True):
    """A piece's page; `enquiry` is the address of a letter about it, None where no mail address is known."""

    site: SiteView
    page: PageView
    json_ld: Markup | None
    title: str
    shots: tuple[PortfolioPhoto, ...]
    photo_sizes: str
    facts: tuple[tuple[str, str], ...]
    styles: tuple[Link, ...]
    story: Markup | None
    credits: tuple[Credit, ...]
    turns: tuple[Link, ...]
    enquiry: str | None = None


class TextView(Value, frozen=True):
    """A page written by the artist, or the page for a wrong address.

    Attributes:
        paper: The path of the same on paper.
        enquiry: The address of a letter to `mail`.
    """

    site: SiteView
    page: PageView
    heading: str
    text: Markup
    mail: str | None = None
    paper: str | None = None
    enquiry: str | None = None
    json_ld: Markup | None = None


class PortfolioViews:
    """All pages of one portfolio."""

    def __init__(self, cleared: PublicCatalogue, texts: Mapping[str, str], layout: Layout, sizes: Sizes):
        self._cleared = cleared
        self._texts = {name: visible(texts[name]) for name in TEXT_PAGES if texts.get(name, "").strip()}
        self._layout, self._sizes = layout, sizes
        self._styles = _style_links(cleared.pieces)
        self.site = self._site()

    def _site(self) -> SiteView:
        settings = self._cleared.settings
        links = [Link("All work", HOME, "work")]
        links += list(self._styles.values())[:_MOST_STYLES]
        links += [Link(TEXT_PAGES[name], f"{name}.html", name) for name in self._texts]
        return SiteView(
            name=settings.artist or settings.title,
            artist=settings.artist,
            language=self._cleared.language,
            links=tuple(links),
            ask=next((f"{name}.html" for name in ("booking", "about") if name in self._texts), None),
            with_consent=settings.require_release,
            here=here_words(settings.town, settings.open_from, settings.currency),
        )

    def home(self) -> Iterator[WorksView]:
        """Give the first page, and those on which its works go on."""
        settings = self._cleared.settings
        title = settings.title if self.site.name in settings.title else f"{self.site.name}, {settings.title}"
        heading = settings.description or settings.title
        head = self._page(HOME, "home", title, settings.description)
        first, *more = self._works(self._cleared.pieces, head, heading)
        notice = first_sentence(self._texts.get("booking", ""))
        shown = self._cleared.pieces[: len(first.cards)]
        place = self._layout.notice_place(self._layout.close_rows(shown)) if notice else 0
        yield replace(
            first,
            json_ld=site_json_ld(self._cleared),
            notice=notice,
            notice_before=place,
            is_open=self._layout.is_open(shown, with_notice=place > 0),
        )
        yield from more

    def styles(self) -> Iterator[WorksView]:
        """Give the pages of every style."""
        for name, link in self._styles.items():
            pieces = [piece for piece in self._cleared.pieces if name in map(slug, piece.styles)]
            title, words = f"{link.words} – {self.site.name}", f"{link.words} tattoos by {self.site.name}."
            yield from self._works(pieces, self._page(link.path, "style", title, words), link.words)

    def _works(self, pieces: Sequence[PublicPiece], head: PageView, heading: str) -> Iterator[WorksView]:
        later = "work/{}.html" if head.path == HOME else f"{head.path.removesuffix('.html')}/{{}}.html"
        for shown, turns in in_pages(pieces, WORKS_PER_PAGE, head.path, later):
            ordered, number = self._layout.close_rows(shown), turns.number
            title = head.title if number == 1 else f"{head.title}, page {number}"
            page = self._page(turns.path, head.kind, title, head.description, shown=ordered[:1])
            cards = self._cards(ordered, before=WORKS_PER_PAGE * (number - 1))
            page = replace(page, belongs_to=head.path)
            yield WorksView(self.site, page, heading, cards, turns, is_open=self._layout.is_open(ordered))

    def pieces(self) -> Iterable[PortfolioPieceView]:
        """Give a page for every piece, newest first."""
        turns: dict[str, list[Link]] = {piece.slug: [] for piece in self._cleared.pieces}
        for newer, older in pairwise(self._cleared.pieces):
            turns[newer.slug].append(Link(f"Next: {older.title}", piece_path(older)))
            turns[older.slug].append(Link(f"Before: {newer.title}", piece_path(newer)))
        for piece in self._cleared.pieces:
            yield self._piece(piece, tuple(turns[piece.slug]))

    def _piece(self, piece: PublicPiece, turns: tuple[Link, ...]) -> PortfolioPieceView:
        path, title = piece_path(piece), f"{piece.title} – {self.site.name}"
        words = ", ".join(part for part in (piece.title, self._card_words(piece)) if part)
        shots = [
            PortfolioPhoto(_picture(piece, number), photo_words(photo), quoted(largest_copy(piece, number)[1]))
            for number, photo in enumerate(piece.photos)
        ]
        styles = [self._styles[slug(style)] for style in piece.styles if slug(style)]
        return PortfolioPieceView(
            site=self.site,
            page=self._page(path, "piece", title, f"{words}.", shown=[piece]),
            json_ld=piece_json_ld(piece, self._cleared),
            title=piece.title,
            shots=tuple(shots),
            photo_sizes=self._sizes.photo,
            facts=tuple(self._facts(piece)),
            styles=tuple(dict.fromkeys(styles)),
            story=to_html(piece.story, 2) if piece.story and piece.story.strip() else None,
            credits=piece.credits,
            turns=turns,
            enquiry=self._enquiry(piece),
        )

    def _enquiry(self, piece: PublicPiece | None = None) -> str | None:
        """Give the address of a letter to the artist, with what they ask and the piece it is about."""
        text = self._texts.get((self.site.ask or "").removesuffix(".html"), "")
        mail = mail_address(text)
        if mail is None:
            return None
        page = absolute(self._cleared.settings.url, piece_path(piece)) if piece else None
        return letter_address(mail, piece.title if piece else None, page, questions_in(text))

    def texts(self) -> Iterable[TextView]:
        """Give the artist's own pages."""
        for name, text in self._texts.items():
            heading, rest = heading_and_rest(text, TEXT_PAGES[name])
            page = self._page(f"{name}.html", name, f"{heading} – {self.site.name}")
            mail = mail_address(rest) if f"{name}.html" == self.site.ask else None
            paper = care_sheet.PATH if name == CARE else None
            yield TextView(self.site, page, heading, to_html(rest, 2), mail, paper, self._enquiry() if mail else None)

    def text_of(self, name: str) -> str | None:
        """Give one of the artist's own texts, in Markdown; None where there is none."""
        return self._texts.get(name)

    def missing(self) -> TextView:
        """Give the page for an address that does not exist."""
        page = PageView("404.html", "missing", f"Not here – {self.site.name}", None, None)
        return TextView(self.site, page, "Not here", Markup())

    def _page(
        self,
        path: str,
        kind: str,
        title: str,
        description: str | None = None,
        *,
        shown: Sequence[PublicPiece] = (),
    ) -> PageView:
        settings = self._cleared.settings
        graph = open_graph(settings, path, title, description, _picture(shown[0], 0) if shown else None)
        return PageView(path, kind, title, description, absolute(settings.url, path), graph, path)

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
        words = self._card_words(piece)
        return PortfolioCard(number, piece.title, words, piece_path(piece), shape, sizes, _picture(piece, 0))

    def _card_words(self, piece: PublicPiece) -> str:
        size = size_words(piece.width_mm, piece.height_mm, self._cleared.units)
        return ", ".join(part for part in (place_words(piece), size) if part)

    def _facts(self, piece: PublicPiece) -> Iterable[tuple[str, str]]:
        if where := place_words(piece):
            yield "Where", where
        if size := size_words(piece.width_mm, piece.height_mm, self._cleared.units):
            yield "Size", size
        if piece.hours:
            sittings = f"{number_words(piece.sittings)} sitting{'' if piece.sittings == 1 else 's'}"
            yield "Time", f"{sittings}, {hours_words(piece.hours)}"
        if made := month_words(piece):
            yield "Made", made


def _style_links(pieces: Iterable[PublicPiece]) -> dict[str, Link]:
    """Give a link for every style by its plain name, the most used first; the newest piece's spelling counts."""
    words: dict[str, str] = {}
    count: dict[str, int] = {}
    for piece in pieces:
        for style in piece.styles:
            name = slug(style)
            words.setdefault(name, style)
            count[name] = count.get(name, 0) + 1
    names = sorted((name for name in words if name), key=lambda name: (-count[name], name))
    return {name: Link(capital(words[name]), f"styles/{name}.html", "style") for name in names}


def _picture(piece: PublicPiece, number: int) -> PagePicture:
    photo = piece.photos[number]
    named = sorted(zip(photo.copies, photo_paths(piece, number), strict=True), key=lambda pair: pair[0].width)
    copy, path = next((pair for pair in named if pair[0].width >= _WANTED_PX), named[-1])
    srcset = tuple((quoted(other), small.width) for small, other in named)
    return PagePicture(quoted(path), copy.width, copy.height, srcset, photo.alt)
