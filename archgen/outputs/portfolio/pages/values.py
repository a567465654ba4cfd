"""What every page of the portfolio shows, and what several kinds of pages do; plain values."""

from archgen.outputs.portfolio.paths import FEED, HOME, MANIFEST
from archgen.outputs.site_pages import PagePicture
from archgen.values.frozen import Value


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


class PortfolioPhoto(Value, frozen=True):
    """A photo on a piece's page, when it was taken, and the path of its largest copy.

    Attributes:
        is_laid: Whether it is one of the two that also lie on each other.
    """

    picture: PagePicture
    words: str
    largest: str
    is_laid: bool = False


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
