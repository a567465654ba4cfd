"""The artist's own pages, and the one for a wrong address."""

from collections.abc import Iterable

from markupsafe import Markup

from archgen.languages.language import language
from archgen.outputs.portfolio.beside import care_sheet
from archgen.outputs.portfolio.editions import OwnText
from archgen.outputs.portfolio.pages.maker import DESCRIBED, TEXT_PAGES, PageMaker
from archgen.outputs.portfolio.pages.values import EnquiryForm, Link, PageView, SiteView
from archgen.render.markdown import beginning, to_html
from archgen.values.frozen import Value
from archgen.wording.portfolio import (
    claim_lines,
    heading_and_rest,
    mail_address,
)

CARE = "care"
NOT_HERE = "Not here"
NO_SUCH_PAGE = "There is no page at this address. It may have been renamed, or taken down because someone asked for it."


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


class TextPages:
    """The artist's own pages, and the one for a wrong address."""

    def __init__(self, maker: PageMaker) -> None:
        self._maker = maker
        self._site, self._cleared, self._spoken = maker.site, maker.cleared, maker.spoken

    def all(self) -> Iterable[TextView]:
        """Give the artist's own pages."""
        for name, text in self._maker.texts.items():
            heading, rest = self.heading_and_rest(name, text)
            page = self._maker.page(
                f"{name}.html", name, f"{heading} – {self._site.name}", beginning(rest, DESCRIBED) or None
            )
            mail = mail_address(rest) if name == self._maker.ask else None
            yield TextView(
                self._site,
                page,
                heading,
                to_html(rest, 2),
                mail,
                paper=self._maker.at(care_sheet.PATH) if name == CARE else None,
                enquiry=self._maker.enquiry() if mail else None,
                form=self._maker.form() if name == self._maker.ask else None,
                text_language=text.language,
                claims=claim_lines(self._cleared.claims, self._spoken) if name == CARE else (),
            )

    def heading_and_rest(self, name: str, text: OwnText) -> tuple[str, str]:
        """Part one of the artist's own texts from its heading; without one the page's usual words stand above it."""
        return heading_and_rest(text.text, language(text.language or self._cleared.language).gettext(TEXT_PAGES[name]))

    def text_of(self, name: str) -> OwnText | None:
        """Give one of the artist's own texts; None where there is none."""
        return self._maker.texts.get(name)

    def missing(self, others: Iterable["TextPages"] = ()) -> TextView:
        """Give the page for an address that does not exist; a host has one for all languages."""
        page = PageView("404.html", "missing", f"{self._spoken.gettext(NOT_HERE)} – {self._site.name}", None, None)
        elsewhere = tuple(other.not_here() for other in others)
        return TextView(self._site, page, self._spoken.gettext(NOT_HERE), Markup(), elsewhere=elsewhere)

    def not_here(self) -> NotHere:
        """Say in this language that there is no such page."""
        say = self._spoken.gettext
        return NotHere(
            self._site.language,
            say(NOT_HERE),
            say(NO_SUCH_PAGE),
            Link(say("See all work"), self._site.home),
        )
