"""The designs that wait to be tattooed, as the studio sees them: who they are held for, and whether others see them."""

from collections.abc import Iterator

from archgen.languages.house import say, to_say
from archgen.languages.language import language
from archgen.outputs.archive.context import Context, Site
from archgen.outputs.site_pages import PagePicture, picture
from archgen.records.designs.model import Design, DesignRecord, DesignState
from archgen.units import date_words, size_words
from archgen.values.frozen import Value

PAGE = "designs.html"
_PHOTO_PX = 400
STATE_WORDS = {DesignState.FREE: to_say("Free"), DesignState.HELD: to_say("Held"), DesignState.TAKEN: to_say("Taken")}


class StudioDesign(Value, frozen=True):
    """A design.

    Attributes:
        id: As forms name it.
        facts: Its size and price.
        held: Whom and until when it is held for; the code, its page, and the words for the day.
        shown: Whether it stands in the portfolio, or why not.
        href: The way to its record.
    """

    id: str
    title: str
    picture: PagePicture | None
    state: str
    state_words: str
    facts: tuple[str, ...]
    holder: str
    holder_href: str
    until: str
    note: str
    shown: str
    href: str


class StudioDesigns(Value, frozen=True):
    """The page."""

    site: Site
    rows: tuple[StudioDesign, ...]


def designs_view(context: Context) -> StudioDesigns:
    """Show every design, the free ones first."""
    order = list(DesignState)
    known = [(design, design.record) for design in context.catalogue.designs]
    ranked = sorted(known, key=lambda one: (one[1] is None, order.index(one[1].state) if one[1] else 0))
    return StudioDesigns(context.site, tuple(_row(context, design, record) for design, record in ranked))


def _row(context: Context, design: Design, record: DesignRecord | None) -> StudioDesign:
    decision = context.catalogue.publications[design.id]
    facts = next((found for path in design.bare.photos if (found := context.catalogue.facts.get(path))), None)
    code = context.catalogue.people.code_of(record.holder) if record and record.holder else ""
    return StudioDesign(
        id=design.id,
        title=design.title,
        picture=picture(facts.screen, "", wanted_px=_PHOTO_PX) if facts else None,
        state=record.state.value if record else "",
        state_words=say(STATE_WORDS[record.state]) if record else say("The record can’t be used yet"),
        facts=tuple(_facts(context, record)) if record else (),
        holder=code,
        holder_href=context.client_pages.get(code, ""),
        until=date_words(record.until) if record and record.until else "",
        note=(record.note if record else None) or "",
        shown=say("In the portfolio")
        if decision.shown
        else say("Not in the portfolio: {reasons}", reasons=decision.reasons[0]),
        href=context.original(design.toml, 0),
    )


def _facts(context: Context, record: DesignRecord) -> Iterator[str]:
    config = context.catalogue.config
    if size := size_words(record.size.width, record.size.height, config.archive.units):
        yield size
    if record.price is not None:
        yield language("en").amount(record.price, config.portfolio.currency)
    if record.again is not None:
        yield say("may be tattooed again") if record.again else say("once only")
