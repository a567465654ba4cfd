"""What the portfolio's pages show: words, links and pictures made from cleared pieces; knows no files, no templates."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from urllib.parse import urlsplit

from markupsafe import Markup

from archgen.languages.language import language
from archgen.outputs.portfolio.beside import care_sheet
from archgen.outputs.portfolio.data import largest_copy, open_graph, piece_json_ld, site_json_ld
from archgen.outputs.portfolio.editions import OwnText, settings_language
from archgen.outputs.portfolio.layout import Layout, Sizes
from archgen.outputs.portfolio.paths import FEED, HOME, MANIFEST, absolute, quoted
from archgen.outputs.site_pages import PagePicture, PageTurns, in_pages
from archgen.picture_facts.laid_facts import WHOLE
from archgen.plain_text import cut_at_word
from archgen.publication.public_catalogue import (
    Credit,
    PublicCatalogue,
    PublicDesign,
    PublicPiece,
    laid_path,
    language_folder,
    photo_copies,
    piece_path,
    slug,
    visible,
)
from archgen.records.designs.model import DesignState
from archgen.render.html import safe_html
from archgen.render.markdown import beginning, to_html
from archgen.values.frozen import Value
from archgen.wording.portfolio import (
    DESIGN_STATES,
    LetterAbout,
    capital,
    claim_lines,
    design_words,
    first_sentence,
    heading_and_rest,
    here_words,
    in_other_language,
    letter_address,
    mail_address,
    month_words,
    photo_words,
    place_words,
    questions_in,
    sittings_words,
    style_words,
)

# The artist's own pages, in the order of the menu, with the words for a text that brings no heading.
TEXT_PAGES = {"about": "About", "care": "Care", "booking": "Booking"}  # said by the catalogue of each language
CARE = "care"
_MOST_STYLES = 8
# What search engines show of a description; more is cut there. From memory.
_DESCRIBED = 160
DESIGNS, _DESIGNS = "Available designs", "designs.html"
NOT_HERE = "Not here"
NO_SUCH_PAGE = "There is no page at this address. It may have been renamed, or taken down because someone asked for it."
# Works on one page; whole rows of two, three and four.
WORKS_PER_PAGE = 48
_WANTED_PX = 1000


class Link(Value, frozen=True):
    """A link inside the site; the path is relative to the site's folder.

    Attributes:
        language: What the words are in, where that is not the language of the page.
    """

    words: str
    path: str
    kind: str = ""
    language: str = ""


class SameElsewhere(Value, frozen=True):
    """The same page in one of the portfolio's languages; the address is absolute, None when the site's is not set."""

    language: str
    name: str
    path: str
    address: str | None


class SiteView(Value, frozen=True):
    """What every page shows.

    Attributes:
        ask: The page to write from; None where there is none.
        here: Where and from when one can come, and in what one pays, as far as the artist says so.
        home: The path of the first page in this language.
        feed: The path of the feed.
        manifest: The path of the manifest.
        is_rtl: Whether it is written from right to left.
    """

    name: str
    artist: str | None
    language: str
    links: tuple[Link, ...]
    ask: str | None
    with_consent: bool
    here: tuple[str, ...] = ()
    home: str = HOME
    feed: str = FEED
    manifest: str = MANIFEST
    is_rtl: bool = False


class PageView(Value, frozen=True):
    """The head of a page.

    Attributes:
        address: Absolute; None when the site's own is not set.
        belongs_to: The path that leads to it, or to the first of its pages, from the menu.
        languages: The same page in each language, the main one first; none where there is only one.
    """

    path: str
    kind: str
    title: str
    description: str | None
    address: str | None
    open_graph: tuple[tuple[str, str], ...] = ()
    belongs_to: str = ""
    languages: tuple[SameElsewhere, ...] = ()


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


class PortfolioPhoto(Value, frozen=True):
    """A photo on a piece's page, when it was taken, and the path of its largest copy.

    Attributes:
        is_laid: Whether it is one of the two that also lie on each other.
    """

    picture: PagePicture
    words: str
    largest: str
    is_laid: bool = False


class LaidPhotos(Value, frozen=True):
    """The fresh photo laid on the healed one: `layer` is the path of its picture, in the shape of the healed one.

    Attributes:
        part: What both show, in shares of the healed one: left, top, width, height; empty where that is all of it.
    """

    fresh: PortfolioPhoto
    healed: PortfolioPhoto
    layer: str
    part: str


class EnquiryForm(Value, frozen=True):
    """A form a visitor may send instead of a letter.

    Attributes:
        action: Where it goes; `source` is that as a content security policy names it.
        host: Whose computer that is, where it is not the site's own.
        about: What it is about; empty where the visitor says so, of `designs` for one.
        questions: What the artist asks.
    """

    action: str
    source: str
    host: str
    about: str
    designs: tuple[str, ...]
    questions: tuple[str, ...]


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
    laid: LaidPhotos | None = None
    enquiry: str | None = None
    form: EnquiryForm | None = None
    title_language: str = ""
    story_language: str = ""


class DesignCard(Value, frozen=True):
    """A design on the page of designs.

    Attributes:
        id: What its place on the page is called.
        state: free, held or taken; `state_words` says it.
        words: How large it is, what it costs, whether it is tattooed more than once.
        enquiry: The address of a letter that asks for it; None where no mail address is known.
    """

    id: str
    title: str
    shots: tuple[PortfolioPhoto, ...]
    state: str
    state_words: str
    words: tuple[str, ...]
    styles: tuple[Link, ...]
    story: Markup | None
    credits: tuple[Credit, ...]
    enquiry: str | None
    title_language: str = ""
    story_language: str = ""


class DesignsView(Value, frozen=True):
    """The designs that wait to be tattooed, or a further page of them."""

    site: SiteView
    page: PageView
    heading: str
    designs: tuple[DesignCard, ...]
    photo_sizes: str
    turns: PageTurns
    json_ld: Markup | None = None


class NotHere(Value, frozen=True):
    """The page for a wrong address, said in one more language."""

    language: str
    heading: str
    text: str
    link: Link


class TextView(Value, frozen=True):
    """A page written by the artist, or the page for a wrong address.

    Attributes:
        paper: The path of the same on paper.
        enquiry: The address of a letter to `mail`.
        claims: What the studio recorded of its inks and supplies.
    """

    site: SiteView
    page: PageView
    heading: str
    text: Markup
    mail: str | None = None
    paper: str | None = None
    enquiry: str | None = None
    form: EnquiryForm | None = None
    json_ld: Markup | None = None
    text_language: str = ""
    elsewhere: tuple[NotHere, ...] = ()
    claims: tuple[str, ...] = ()


class PortfolioViews:
    """All pages of one portfolio in one language; `cleared` and `texts` are as they are said in it."""

    def __init__(self, cleared: PublicCatalogue, texts: Mapping[str, OwnText], layout: Layout, sizes: Sizes):
        self._cleared = cleared
        self._texts = {
            name: replace(texts[name], text=visible(texts[name].text))
            for name in TEXT_PAGES
            if name in texts and texts[name].text.strip()
        }
        self._layout, self._sizes = layout, sizes
        self._spoken = language(cleared.language)
        self._styles = self._style_links()
        self._ask = next((name for name in ("booking", "about") if name in self._texts), None)
        self.site = self._site()

    def _at(self, path: str) -> str:
        """Give the path of a page in this language."""
        return f"{self._cleared.folder}{path}"

    def _site(self) -> SiteView:
        settings, say = self._cleared.settings, self._spoken.gettext
        links = [Link(say("All work"), self._at(HOME), "work")]
        links += list(self._styles.values())[:_MOST_STYLES]
        links += [Link(say(DESIGNS), self._at(_DESIGNS), "designs")] if self._cleared.designs else []
        links += [Link(say(TEXT_PAGES[name]), self._at(f"{name}.html"), name) for name in self._texts]
        return SiteView(
            name=settings.artist or settings.title,
            artist=settings.artist,
            language=self._cleared.language,
            links=tuple(links),
            ask=self._at(f"{self._ask}.html") if self._ask else None,
            with_consent=settings.require_release,
            here=here_words(settings, self._spoken, self._opening_language()),
            home=self._at(HOME),
            feed=self._at(FEED),
            manifest=self._at(MANIFEST),
            is_rtl=self._spoken.is_rtl,
        )

    def _opening_language(self) -> str:
        """Give what the words for the opening are in; a month is said in every language."""
        is_month = self._spoken.find_month(self._cleared.settings.open_from)
        return "" if is_month else settings_language(self._cleared, "open_from")

    def home(self) -> Iterator[WorksView]:
        """Give the first page, and those on which its works go on."""
        settings = self._cleared.settings
        title = settings.title if self.site.name in settings.title else f"{self.site.name}, {settings.title}"
        heading = settings.description or settings.title
        head = self._page(HOME, "home", title, settings.description)
        first, *more = self._works(self._cleared.pieces, head, heading)
        booking = self._texts.get("booking", OwnText(""))
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
        for name, link in self._styles.items():
            pieces = [piece for piece in self._cleared.pieces if name in map(slug, piece.styles)]
            title, said = f"{link.words} – {self.site.name}", {"style": link.words, "artist": self.site.name}
            words = self._spoken.gettext("%(style)s tattoos by %(artist)s.") % said
            for view in self._works(pieces, self._page(_style_path(name), "style", title, words), link.words):
                yield replace(view, heading_language=link.language)

    def _works(self, pieces: Sequence[PublicPiece], head: PageView, heading: str) -> Iterator[WorksView]:
        later = (
            self._at("work/{}.html") if head.path == self.site.home else f"{head.path.removesuffix('.html')}/{{}}.html"
        )
        for shown, turns in in_pages(pieces, WORKS_PER_PAGE, head.path, later):
            ordered, number = self._layout.close_rows(shown), turns.number
            title = self._numbered(head.title, turns)
            path = turns.path.removeprefix(self._cleared.folder)
            page = self._page(path, head.kind, title, head.description, shown=ordered[:1])
            cards = self._cards(ordered, before=WORKS_PER_PAGE * (number - 1))
            page = replace(page, belongs_to=head.path)
            yield WorksView(self.site, page, heading, cards, turns, is_open=self._layout.is_open(ordered))

    def _numbered(self, title: str, turns: PageTurns) -> str:
        said = {"title": title, "number": str(turns.number)}
        return title if turns.number == 1 else self._spoken.gettext("%(title)s, page %(number)s") % said

    def pieces(self) -> Iterable[PortfolioPieceView]:
        """Give a page for every piece; from one to the next they follow each other as on the first page."""
        turns: dict[str, list[Link]] = {piece.slug: [] for piece in self._cleared.pieces}
        for before, after in pairwise(self._as_hung()):
            turns[before.slug].append(self._turn("Next: %(title)s", after, "next"))
            turns[after.slug].append(self._turn("Before: %(title)s", before, "prev"))
        for piece in self._cleared.pieces:
            yield self._piece(piece, tuple(turns[piece.slug]))

    def _as_hung(self) -> Iterator[PublicPiece]:
        """Give the pieces in the order in which the first page and those after it show them."""
        for shown, _ in in_pages(self._cleared.pieces, WORKS_PER_PAGE, HOME, HOME):
            yield from self._layout.close_rows(shown)

    def _turn(self, message: str, piece: PublicPiece, kind: str) -> Link:
        title = in_other_language(piece.title, piece.title_language, self._spoken.tag)
        words = safe_html(self._spoken.gettext(message)) % {"title": title}
        if piece.title_language:  # one element: links may be laid out by a theme as rows of elements
            words = Markup("<span>{}</span>").format(words)
        return Link(words, self._at(piece_path(piece)), kind)

    def _piece(self, piece: PublicPiece, turns: tuple[Link, ...]) -> PortfolioPieceView:
        path, title = piece_path(piece), f"{piece.title} – {self.site.name}"
        words = ", ".join(part for part in (piece.title, self._card_words(piece)) if part)
        shots = [self._shot(piece, number) for number in range(len(piece.photos))]
        return PortfolioPieceView(
            site=self.site,
            page=self._page(path, "piece", title, f"{words}.", shown=[piece]),
            json_ld=piece_json_ld(piece, self._cleared),
            title=piece.title,
            shots=tuple(shots),
            photo_sizes=self._sizes.photo,
            facts=tuple(self._facts(piece)),
            styles=self._styles_of(piece),
            story=_story(piece),
            credits=tuple(map(self._credit, piece.credits)),
            turns=turns,
            laid=_laid(piece, shots),
            enquiry=self._enquiry(piece, self._at(path)),
            form=self._form(piece),
            title_language=piece.title_language,
            story_language=piece.story_language,
        )

    def _shot(self, piece: PublicPiece, number: int) -> PortfolioPhoto:
        words, largest = photo_words(piece.photos[number], self._spoken), largest_copy(piece, number)[1]
        is_laid = piece.laid is not None and number in (piece.laid.fresh, piece.laid.healed)
        return PortfolioPhoto(_picture(piece, number), words, quoted(largest), is_laid)

    def designs(self) -> Iterator[DesignsView]:
        """Give the pages of designs; none where there are no designs."""
        heading = self._spoken.gettext(DESIGNS)
        first, later = self._at(_DESIGNS), self._at("designs/{}.html")
        for shown, turns in in_pages(self._cleared.designs, WORKS_PER_PAGE, first, later):
            if shown:
                title = self._numbered(f"{heading} – {self.site.name}", turns)
                path = turns.path.removeprefix(self._cleared.folder)
                free = ", ".join(design.drawn.title for design in shown if design.state is DesignState.FREE)
                said = cut_at_word(f"{heading}: {free}" if free else heading, _DESCRIBED)
                page = replace(self._page(path, "designs", title, said, shown=[shown[0].drawn]), belongs_to=first)
                cards = tuple(self._design(design, turns.path) for design in shown)
                yield DesignsView(self.site, page, heading, cards, self._sizes.tall, turns)

    def _design(self, design: PublicDesign, path: str) -> DesignCard:
        drawn, spoken = design.drawn, self._spoken
        return DesignCard(
            id=drawn.slug,
            title=drawn.title,
            shots=tuple(self._shot(drawn, number) for number in range(len(drawn.photos))),
            state=design.state.value,
            state_words=spoken.pgettext("design", DESIGN_STATES[design.state]),
            words=tuple(design_words(design, self._cleared, spoken)),
            styles=self._styles_of(drawn),
            story=_story(drawn),
            credits=tuple(map(self._credit, drawn.credits)),
            enquiry=self._enquiry(drawn, f"{path}#{drawn.slug}", is_design=True),
            title_language=drawn.title_language,
            story_language=drawn.story_language,
        )

    def _styles_of(self, piece: PublicPiece) -> tuple[Link, ...]:
        """Give the links to the styles of a piece; of a design only those that pieces have too."""
        return tuple(dict.fromkeys(link for style in piece.styles if (link := self._styles.get(slug(style)))))

    def _credit(self, credit: Credit) -> Credit:
        licence = credit.licence and self._spoken.pgettext("licence", credit.licence)
        return replace(credit, licence=licence)

    def _enquiry(self, piece: PublicPiece | None = None, path: str = "", *, is_design: bool = False) -> str | None:
        """Give the address of a letter to the artist, with what they ask and the piece or design it is about."""
        text = self._texts[self._ask].text if self._ask else ""
        mail = mail_address(text)
        if mail is None:
            return None
        page, mark, place = path.partition("#")
        address = absolute(self._cleared.settings.url, page) if piece else None
        seen_at = f"{address}{mark}{quoted(place)}" if address else None
        about = LetterAbout(piece.title, seen_at, is_design) if piece else None
        return letter_address(mail, about, questions_in(text), self._spoken)

    def _form(self, piece: PublicPiece | None = None) -> EnquiryForm | None:
        """Give the form about a piece, or about anything; None where the artist takes none."""
        settings = self._cleared.settings
        if settings.form is None or self._ask is None:
            return None
        there = urlsplit(settings.form)
        is_ours = there.netloc == urlsplit(settings.url or "").netloc
        free = (one.drawn.title for one in self._cleared.designs if one.state is DesignState.FREE)
        return EnquiryForm(
            action=settings.form,
            # Hosts lead back to the site when they have taken the form.
            source=f"'self' {there.scheme}://{there.netloc}" if there.netloc else "'self'",
            host="" if is_ours else there.netloc,
            about=piece.title if piece else "",
            designs=() if piece else tuple(free),
            questions=tuple(capital(one).rstrip(".:;,") for one in questions_in(self._texts[self._ask].text)),
        )

    def texts(self) -> Iterable[TextView]:
        """Give the artist's own pages."""
        for name, text in self._texts.items():
            heading, rest = self.heading_and_rest(name, text)
            page = self._page(
                f"{name}.html", name, f"{heading} – {self.site.name}", beginning(rest, _DESCRIBED) or None
            )
            mail = mail_address(rest) if name == self._ask else None
            yield TextView(
                self.site,
                page,
                heading,
                to_html(rest, 2),
                mail,
                paper=self._at(care_sheet.PATH) if name == CARE else None,
                enquiry=self._enquiry() if mail else None,
                form=self._form() if name == self._ask else None,
                text_language=text.language,
                claims=claim_lines(self._cleared.claims, self._spoken) if name == CARE else (),
            )

    def heading_and_rest(self, name: str, text: OwnText) -> tuple[str, str]:
        """Part one of the artist's own texts from its heading; without one the page's usual words stand above it."""
        return heading_and_rest(text.text, language(text.language or self._cleared.language).gettext(TEXT_PAGES[name]))

    def text_of(self, name: str) -> OwnText | None:
        """Give one of the artist's own texts; None where there is none."""
        return self._texts.get(name)

    def missing(self, others: Iterable["PortfolioViews"] = ()) -> TextView:
        """Give the page for an address that does not exist; a host has one for all languages."""
        page = PageView("404.html", "missing", f"{self._spoken.gettext(NOT_HERE)} – {self.site.name}", None, None)
        elsewhere = tuple(other.not_here() for other in others)
        return TextView(self.site, page, self._spoken.gettext(NOT_HERE), Markup(), elsewhere=elsewhere)

    def not_here(self) -> NotHere:
        """Say in this language that there is no such page."""
        say = self._spoken.gettext
        return NotHere(self.site.language, say(NOT_HERE), say(NO_SUCH_PAGE), Link(say("See all work"), self.site.home))

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
        here = self._at(path)
        graph = open_graph(settings, here, title, description, _picture(shown[0], 0) if shown else None)
        address = absolute(settings.url, here)
        return PageView(here, kind, title, description, address, graph, here, self._same_elsewhere(path))

    def _same_elsewhere(self, path: str) -> tuple[SameElsewhere, ...]:
        settings = self._cleared.settings
        if len(settings.languages) < 2:
            return ()
        places = ("", *map(language_folder, settings.languages[1:]))
        return tuple(
            SameElsewhere(tag, language(tag).name, f"{place}{path}", absolute(settings.url, f"{place}{path}"))
            for tag, place in zip(settings.languages, places, strict=True)
        )

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
        path, picture = self._at(piece_path(piece)), _picture(piece, 0)
        return PortfolioCard(number, piece.title, words, path, shape, sizes, picture, piece.title_language)

    def _card_words(self, piece: PublicPiece) -> str:
        size = self._spoken.size(piece.width_mm, piece.height_mm, self._cleared.units)
        place = place_words(piece, self._spoken)
        both = self._spoken.gettext("%(place)s, %(size)s") % {"place": place, "size": size}
        return both if place and size else place or size or ""

    def _facts(self, piece: PublicPiece) -> Iterable[tuple[str, str]]:
        spoken = self._spoken
        if where := place_words(piece, spoken):
            yield spoken.gettext("Where"), where
        if size := spoken.size(piece.width_mm, piece.height_mm, self._cleared.units):
            yield spoken.gettext("Size"), size
        if piece.hours:
            yield spoken.gettext("Time"), sittings_words(piece.sittings, piece.hours, spoken)
        if made := month_words(piece, spoken):
            yield spoken.gettext("Made"), made

    def _style_links(self) -> dict[str, Link]:
        """Give a link for every style by its plain name, the most used first; the newest piece's spelling counts."""
        words: dict[str, str] = {}
        count: dict[str, int] = {}
        for piece in self._cleared.pieces:
            for style in piece.styles:
                name = slug(style)
                words.setdefault(name, style)
                count[name] = count.get(name, 0) + 1
        names = sorted((name for name in words if name), key=lambda name: (-count[name], name))
        return {name: self._style_link(name, words[name]) for name in names}

    def _style_link(self, name: str, style: str) -> Link:
        said, settings = style_words(style, self._spoken), self._cleared.settings
        main = settings.languages[0] if self._cleared.folder else ""
        return Link(said or capital(style), self._at(_style_path(name)), "style", "" if said else main)


def _style_path(name: str) -> str:
    return f"styles/{name}.html"


def _story(piece: PublicPiece) -> Markup | None:
    return to_html(piece.story, 2) if piece.story and piece.story.strip() else None


def _laid(piece: PublicPiece, shots: Sequence[PortfolioPhoto]) -> LaidPhotos | None:
    laid = piece.laid
    if laid is None:
        return None
    both = laid.both
    part = " ".join(f"{side:.4f}" for side in (both.left, both.top, both.width, both.height)) if both != WHOLE else ""
    return LaidPhotos(shots[laid.fresh], shots[laid.healed], quoted(laid_path(piece, laid)), part)


def _picture(piece: PublicPiece, number: int) -> PagePicture:
    photo = piece.photos[number]
    named = photo_copies(piece, number)
    copy, path = next((pair for pair in named if pair[0].width >= _WANTED_PX), named[-1])
    srcset, avif = (
        tuple((quoted(other), small.width) for small, other in copies)
        for copies in (named, photo_copies(piece, number, avif=True))
    )
    return PagePicture(quoted(path), copy.width, copy.height, srcset, photo.alt, photo.alt_language, avif)
