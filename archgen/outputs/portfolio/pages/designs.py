"""The page of designs that wait to be tattooed."""

from collections.abc import Iterator
from dataclasses import replace

from markupsafe import Markup

from archgen.outputs.portfolio.layout import Sizes
from archgen.outputs.portfolio.pages.maker import DESCRIBED, DESIGNS, DESIGNS_PATH, WORKS_PER_PAGE, PageMaker, story_of
from archgen.outputs.portfolio.pages.values import Link, PageView, PortfolioPhoto, SiteView
from archgen.outputs.site_pages import PageTurns, in_pages
from archgen.plain_text import cut_at_word
from archgen.publication.public_catalogue import (
    Credit,
    PublicDesign,
)
from archgen.records.designs.model import DesignState
from archgen.values.frozen import Value
from archgen.wording.portfolio import (
    DESIGN_STATES,
    design_words,
)


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


class DesignPages:
    """The pages of designs."""

    def __init__(self, maker: PageMaker, sizes: Sizes) -> None:
        self._maker, self._sizes = maker, sizes
        self._site, self._cleared, self._spoken = maker.site, maker.cleared, maker.spoken

    def all(self) -> Iterator[DesignsView]:
        """Give the pages of designs; none where there are no designs."""
        heading = self._spoken.gettext(DESIGNS)
        first, later = self._maker.at(DESIGNS_PATH), self._maker.at("designs/{}.html")
        for shown, turns in in_pages(self._cleared.designs, WORKS_PER_PAGE, first, later):
            if shown:
                title = self._maker.numbered(f"{heading} – {self._site.name}", turns)
                path = turns.path.removeprefix(self._cleared.folder)
                free = ", ".join(design.drawn.title for design in shown if design.state is DesignState.FREE)
                said = cut_at_word(f"{heading}: {free}" if free else heading, DESCRIBED)
                page = replace(self._maker.page(path, "designs", title, said, shown=[shown[0].drawn]), belongs_to=first)
                cards = tuple(self._design(design, turns.path) for design in shown)
                yield DesignsView(self._site, page, heading, cards, self._sizes.tall, turns)

    def _design(self, design: PublicDesign, path: str) -> DesignCard:
        drawn, spoken = design.drawn, self._spoken
        return DesignCard(
            id=drawn.slug,
            title=drawn.title,
            shots=tuple(self._maker.shot(drawn, number) for number in range(len(drawn.photos))),
            state=design.state.value,
            state_words=spoken.pgettext("design", DESIGN_STATES[design.state]),
            words=tuple(design_words(design, self._cleared, spoken)),
            styles=self._maker.styles_of(drawn),
            story=story_of(drawn),
            credits=tuple(map(self._maker.credit, drawn.credits)),
            enquiry=self._maker.enquiry(drawn, f"{path}#{drawn.slug}", is_design=True),
            title_language=drawn.title_language,
            story_language=drawn.story_language,
        )
