"""What the pages of one portfolio have in common: head, menu, pictures, letters; knows no single kind of page."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from urllib.parse import urlsplit

from markupsafe import Markup

from archgen.languages.language import language
from archgen.outputs.portfolio.data import largest_copy, open_graph
from archgen.outputs.portfolio.editions import OwnText, settings_language
from archgen.outputs.portfolio.pages.values import EnquiryForm, Link, PageView, PortfolioPhoto, SameElsewhere, SiteView
from archgen.outputs.portfolio.paths import FEED, HOME, MANIFEST, absolute, quoted
from archgen.outputs.site_pages import PagePicture, PageTurns
from archgen.publication.public_catalogue import (
    Credit,
    PublicCatalogue,
    PublicPiece,
    language_folder,
    photo_copies,
    slug,
    visible,
)
from archgen.records.designs.model import DesignState
from archgen.render.markdown import to_html
from archgen.wording.portfolio import (
    LetterAbout,
    capital,
    here_words,
    letter_address,
    mail_address,
    photo_words,
    place_words,
    questions_in,
    style_words,
)

# The artist's own pages, in the order of the menu, with the words for a text that brings no heading.
TEXT_PAGES = {"about": "About", "care": "Care", "booking": "Booking"}  # said by the catalogue of each language
DESIGNS, DESIGNS_PATH = "Available designs", "designs.html"
# What search engines show of a description; more is cut there. From memory.
DESCRIBED = 160
# Works on one page; whole rows of two, three and four.
WORKS_PER_PAGE = 48
_MOST_STYLES = 8
_WANTED_PX = 1000


class PageMaker:
    """What the pages of one portfolio in one language have in common.

    Attributes:
        cleared: What is shown, as it is said in that language.
        texts: The artist's own pages that say something.
        styles: A link for every style by its plain name.
        ask: The page to write from; None where there is none.
        site: What every page shows.
    """

    def __init__(self, cleared: PublicCatalogue, texts: Mapping[str, OwnText]):
        self.cleared = cleared
        self.texts = {
            name: replace(texts[name], text=visible(texts[name].text))
            for name in TEXT_PAGES
            if name in texts and texts[name].text.strip()
        }
        self.spoken = language(cleared.language)
        self.styles = self._style_links()
        self.ask = next((name for name in ("booking", "about") if name in self.texts), None)
        self.site = self._site()

    def at(self, path: str) -> str:
        """Give the path of a page in this language."""
        return f"{self.cleared.folder}{path}"

    def _site(self) -> SiteView:
        settings, say = self.cleared.settings, self.spoken.gettext
        links = [Link(say("All work"), self.at(HOME), "work")]
        links += list(self.styles.values())[:_MOST_STYLES]
        links += [Link(say(DESIGNS), self.at(DESIGNS_PATH), "designs")] if self.cleared.designs else []
        links += [Link(say(TEXT_PAGES[name]), self.at(f"{name}.html"), name) for name in self.texts]
        return SiteView(
            name=settings.artist or settings.title,
            artist=settings.artist,
            language=self.cleared.language,
            links=tuple(links),
            ask=self.at(f"{self.ask}.html") if self.ask else None,
            with_consent=settings.require_release,
            here=here_words(settings, self.spoken, self._opening_language()),
            home=self.at(HOME),
            feed=self.at(FEED),
            manifest=self.at(MANIFEST),
            is_rtl=self.spoken.is_rtl,
        )

    def _opening_language(self) -> str:
        """Give what the words for the opening are in; a month is said in every language."""
        is_month = self.spoken.find_month(self.cleared.settings.open_from)
        return "" if is_month else settings_language(self.cleared, "open_from")

    def numbered(self, title: str, turns: PageTurns) -> str:
        """Give the title of a page of several: the first has no number."""
        said = {"title": title, "number": str(turns.number)}
        return title if turns.number == 1 else self.spoken.gettext("%(title)s, page %(number)s") % said

    def page(
        self,
        path: str,
        kind: str,
        title: str,
        description: str | None = None,
        *,
        shown: Sequence[PublicPiece] = (),
    ) -> PageView:
        """Give the head of a page; of the first of the pieces that are shown its picture is passed on."""
        settings = self.cleared.settings
        here = self.at(path)
        graph = open_graph(settings, here, title, description, page_picture(shown[0], 0) if shown else None)
        address = absolute(settings.url, here)
        return PageView(here, kind, title, description, address, graph, here, self._same_elsewhere(path))

    def _same_elsewhere(self, path: str) -> tuple[SameElsewhere, ...]:
        settings = self.cleared.settings
        if len(settings.languages) < 2:
            return ()
        places = ("", *map(language_folder, settings.languages[1:]))
        return tuple(
            SameElsewhere(tag, language(tag).name, f"{place}{path}", absolute(settings.url, f"{place}{path}"))
            for tag, place in zip(settings.languages, places, strict=True)
        )

    def shot(self, piece: PublicPiece, number: int) -> PortfolioPhoto:
        """Give a photo of a piece with what is said of it."""
        words, largest = photo_words(piece.photos[number], self.spoken), largest_copy(piece, number)[1]
        is_laid = piece.laid is not None and number in (piece.laid.fresh, piece.laid.healed)
        return PortfolioPhoto(page_picture(piece, number), words, quoted(largest), is_laid)

    def styles_of(self, piece: PublicPiece) -> tuple[Link, ...]:
        """Give the links to the styles of a piece; of a design only those that pieces have too."""
        return tuple(dict.fromkeys(link for style in piece.styles if (link := self.styles.get(slug(style)))))

    def credit(self, credit: Credit) -> Credit:
        """Give a credit as it is said in the language of the page."""
        licence = credit.licence and self.spoken.pgettext("licence", credit.licence)
        return replace(credit, licence=licence)

    def enquiry(self, piece: PublicPiece | None = None, path: str = "", *, is_design: bool = False) -> str | None:
        """Give the address of a letter to the artist, with what they ask and the piece or design it is about."""
        text = self.texts[self.ask].text if self.ask else ""
        mail = mail_address(text)
        if mail is None:
            return None
        page, mark, place = path.partition("#")
        address = absolute(self.cleared.settings.url, page) if piece else None
        seen_at = f"{address}{mark}{quoted(place)}" if address else None
        about = LetterAbout(piece.title, seen_at, is_design) if piece else None
        return letter_address(mail, about, questions_in(text), self.spoken)

    def form(self, piece: PublicPiece | None = None) -> EnquiryForm | None:
        """Give the form about a piece, or about anything; None where the artist takes none."""
        settings = self.cleared.settings
        if settings.form is None or self.ask is None:
            return None
        there = urlsplit(settings.form)
        is_ours = there.netloc == urlsplit(settings.url or "").netloc
        free = (one.drawn.title for one in self.cleared.designs if one.state is DesignState.FREE)
        return EnquiryForm(
            action=settings.form,
            # Hosts lead back to the site when they have taken the form.
            source=f"'self' {there.scheme}://{there.netloc}" if there.netloc else "'self'",
            host="" if is_ours else there.netloc,
            about=piece.title if piece else "",
            designs=() if piece else tuple(free),
            questions=tuple(capital(one).rstrip(".:;,") for one in questions_in(self.texts[self.ask].text)),
        )

    def words_below(self, piece: PublicPiece) -> str:
        """Give where a piece is and how large, as far as that is known."""
        size = self.spoken.size(piece.width_mm, piece.height_mm, self.cleared.units)
        place = place_words(piece, self.spoken)
        both = self.spoken.gettext("%(place)s, %(size)s") % {"place": place, "size": size}
        return both if place and size else place or size or ""

    def _style_links(self) -> dict[str, Link]:
        """Give a link for every style by its plain name, the most used first; the newest piece's spelling counts."""
        words: dict[str, str] = {}
        count: dict[str, int] = {}
        for piece in self.cleared.pieces:
            for style in piece.styles:
                name = slug(style)
                words.setdefault(name, style)
                count[name] = count.get(name, 0) + 1
        names = sorted((name for name in words if name), key=lambda name: (-count[name], name))
        return {name: self._style_link(name, words[name]) for name in names}

    def _style_link(self, name: str, style: str) -> Link:
        said, settings = style_words(style, self.spoken), self.cleared.settings
        main = settings.languages[0] if self.cleared.folder else ""
        return Link(said or capital(style), self.at(style_path(name)), "style", "" if said else main)


def style_path(name: str) -> str:
    """Give the path of the page of a style."""
    return f"styles/{name}.html"


def story_of(piece: PublicPiece) -> Markup | None:
    """Give what the artist wrote about a piece; None where that is nothing."""
    return to_html(piece.story, 2) if piece.story and piece.story.strip() else None


def page_picture(piece: PublicPiece, number: int) -> PagePicture:
    """Give a photo with all its copies."""
    photo = piece.photos[number]
    named = photo_copies(piece, number)
    copy, path = next((pair for pair in named if pair[0].width >= _WANTED_PX), named[-1])
    srcset, avif = (
        tuple((quoted(other), small.width) for small, other in copies)
        for copies in (named, photo_copies(piece, number, avif=True))
    )
    return PagePicture(quoted(path), copy.width, copy.height, srcset, photo.alt, photo.alt_language, avif)
