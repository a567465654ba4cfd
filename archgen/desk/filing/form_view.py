"""What the page "a new piece" shows: questions with their offers, each with the lines it would write."""

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from archgen.catalogue import Catalogue
from archgen.desk.filing.answers import RELEASES
from archgen.desk.filing.carry import LETTER_FIELD, RELEASE_FIELD
from archgen.desk.filing.lines import table
from archgen.desk.filing.materials import Materials, materials
from archgen.desk.filing.measures import (
    SizeOffer,
    TimeOffer,
    photo_span,
    side_ratio,
    size_offer,
    time_offers,
    written_length,
)
from archgen.desk.filing.people import Person, next_code, people
from archgen.desk.filing.record import release_table
from archgen.desk.filing.rights import (
    ALLOWED,
    FREE_LICENCES,
    RightAnswer,
    likeness_answers,
    right_answers,
    source_words,
)
from archgen.desk.inbox.waiting import InboxState
from archgen.desk.uploads import PAPER_KINDS
from archgen.intake.plan import PlannedGroup, PlannedPicture
from archgen.intake.reading.dates import near_day_words, span_words
from archgen.languages.house import say, say_count
from archgen.outputs.archive.body import Figure, Region
from archgen.outputs.archive.context import Site
from archgen.picture_facts.facts import Role
from archgen.records.vocabulary.licences import license_words
from archgen.records.vocabulary.placements import PLACES, place_words
from archgen.units import date_words


@dataclass(frozen=True, slots=True)
class InboxPicture:
    """A picture of the inbox on a page; `src` is the way from the desk's first folder."""

    key: str
    src: str
    name: str
    width: int
    height: int
    is_stencil: bool
    is_cover: bool = False


@dataclass(frozen=True, slots=True)
class Offer:
    """An answer in words: what the form sends, what it says in the record's cell, the lines it writes."""

    value: str
    words: str
    lines: str
    says: str
    small: str = ""
    is_yes: bool = False


@dataclass(frozen=True, slots=True)
class ReferenceQuestion:
    """The question about one reference."""

    picture: InboxPicture
    words: str
    answers: tuple[RightAnswer, ...]


@dataclass(frozen=True, slots=True)
class PlaceWords:
    """A place of the body figure in words."""

    id: str
    words: str


@dataclass(frozen=True, slots=True)
class SizeQuestion:
    """The stencil with the two fields: its picture, its measure by its file, height by width of the drawing."""

    picture: InboxPicture | None
    offer: Offer | None
    width: str
    height: str
    ratio: float | None


@dataclass(frozen=True, slots=True)
class FormView:
    """The whole form.

    Attributes:
        again: The question to be answered before anything can be saved; empty at first.
        typed: What was typed already, by field, when the form comes back.
    """

    site: Site
    group: PlannedGroup
    pictures: tuple[InboxPicture, ...]
    title_offer: str
    people: tuple[Person, ...]
    new_code: str
    body: "BodyView"
    units: str
    size: SizeQuestion
    day: dt.date | None
    day_words: str
    day_long: str
    span: str
    times: tuple[TimeOffer, ...]
    materials: Materials
    releases: tuple[Offer, ...]
    references: tuple[ReferenceQuestion, ...]
    licences: tuple[tuple[str, str], ...]
    persons: tuple[tuple[str, str, str, str], ...]
    stencils: tuple[InboxPicture, ...]
    photos: tuple[InboxPicture, ...]
    styles: tuple[str, ...]
    currency: str
    papers: "PaperFields"
    shown: str
    count: str
    questions: int
    again: str = ""
    typed: dict[str, str] | None = None


@dataclass(frozen=True, slots=True)
class PaperFields:
    """How papers are chosen: the kinds of files, the names of the fields, what a letter may allow."""

    allowed: tuple[tuple[str, str], ...]
    kinds: str = ",".join(("image/*", *PAPER_KINDS))
    release: str = RELEASE_FIELD
    letter: str = LETTER_FIELD


@dataclass(frozen=True, slots=True)
class BodyView:
    """The body figure to be touched: its box, its places with their outlines, those that lie over several others."""

    view_box: str
    regions: tuple[tuple[str, str, tuple[Region, ...]], ...]
    wholes: frozenset[str]


def inbox_picture(picture: PlannedPicture) -> InboxPicture:
    """Give a picture by its small copy."""
    small = picture.small
    is_stencil = picture.guess.what.role is Role.STENCIL
    name = picture.name.rpartition("/")[2]
    src = f"inbox/img/{small.blob}"
    return InboxPicture(picture.key, src, name, small.width, small.height, is_stencil, picture.is_cover)


def form_view(catalogue: Catalogue, site: Site, group: PlannedGroup, inbox: InboxState, figure: Figure) -> FormView:
    """Gather everything the form offers for a group of pictures."""
    units = catalogue.config.archive.units
    span = photo_span(group.filed, group.day)
    references = [one for one in group.filed if one.guess.what.role is Role.REFERENCE]
    stencils = [one for one in group.filed if one.guess.what.role is Role.STENCIL]
    day = group.day
    codes = {
        *catalogue.clients,
        *(piece.record.client for piece in catalogue.pieces if piece.record and piece.record.client),
    }
    steps = 9 + len(references) + (1 if references else 0) + (1 if len(stencils) > 1 else 0)
    return FormView(
        site=site,
        group=group,
        pictures=tuple(inbox_picture(one) for one in group.filed),
        title_offer=title_of(stencils),
        people=people(catalogue),
        new_code=next_code(codes),
        body=_body(figure),
        units=units,
        size=_size(stencils, inbox, units),
        day=day,
        day_words=near_day_words(day, catalogue.built_on) if day else "",
        day_long=date_words(day) if day else "",
        span=_span_words(span, day, catalogue.built_on),
        times=time_offers(span),
        materials=materials(catalogue, day),
        releases=tuple(_releases(day)),
        references=tuple(_reference(one) for one in references),
        licences=tuple((licence, license_words(licence)) for licence in FREE_LICENCES),
        persons=likeness_answers(),
        stencils=tuple(inbox_picture(one) for one in stencils),
        photos=tuple(inbox_picture(one) for one in group.filed if one.guess.what.role is Role.PHOTO),
        styles=_styles(catalogue),
        currency=catalogue.config.portfolio.currency or "",
        papers=PaperFields(tuple((key, say(words)) for key, words in ALLOWED)),
        shown=_shown(group),
        count=say_count("{number} picture", "{number} pictures", len(group.filed)),
        questions=steps,
    )


def _styles(catalogue: Catalogue) -> tuple[str, ...]:
    """Give the artist's own words for styles, the commonest first."""
    used = Counter(style for piece in catalogue.pieces if piece.record for style in piece.record.styles)
    return tuple(style for style, _ in used.most_common())


def title_of(stencils: Sequence[PlannedPicture]) -> str:
    """Offer the name of a stencil's file as the title, without its number: "night-moth-1.png" is "Night moth"."""
    for stencil in stencils:
        stem = stencil.name.rpartition("/")[2].rpartition(".")[0]
        words = [word for word in stem.replace("_", "-").replace(" ", "-").split("-") if word and not word.isdigit()]
        plain = " ".join(words)
        if len(plain) > 2 and not any(letter.isdigit() for letter in plain) and plain.lower() not in _NO_NAMES:
            return plain[:1].upper() + plain[1:]
    return ""


# Names that cameras and programs give by themselves (common practice, no source).
_NO_NAMES = frozenset(
    ("img", "image", "scan", "stencil", "screenshot", "unnamed", "untitled", "photo", "drawing", "final")
)


def _body(figure: Figure) -> BodyView:
    named = (
        (place, place_words(PLACES[place]), regions) for place, regions in figure.regions.items() if place in PLACES
    )
    return BodyView(figure.view_box, tuple(named), figure.wholes)


def _size(stencils: Sequence[PlannedPicture], inbox: InboxState, units: str) -> SizeQuestion:
    if not stencils:
        return SizeQuestion(None, None, "", "", None)
    first = stencils[0]
    facts = inbox.facts_of(first)
    offered = size_offer(first, facts)
    return SizeQuestion(
        inbox_picture(first),
        _size_words(offered, units) if offered else None,
        written_length(offered.width_mm, units) if offered else "",
        written_length(offered.height_mm, units) if offered and offered.height_mm else "",
        side_ratio(facts),
    )


def _size_words(offered: SizeOffer, units: str) -> Offer:
    sides = [written_length(side, units) for side in (offered.width_mm, offered.height_mm) if side]
    values = {key: f"{side} {units}" for key, side in zip(("width", "height"), sides, strict=False)}
    words = say("{size}, as the stencil", size=f"{' × '.join(sides)} {units}")
    return Offer("1", words, table("", values).text, f"{' × '.join(sides)} {units}", offered.words)


def _span_words(span: tuple[dt.datetime, dt.datetime] | None, day: dt.date | None, today: dt.date) -> str:
    if span is None:
        if day is None:
            return say("The photos do not say when.")
        return say("One sitting, {day}, by the photos.", day=near_day_words(day, today))
    between = span_words(span[1] - span[0])
    return say(
        "One sitting, {day}, by the photos: {begin} to {end}, {between}.",
        day=near_day_words(span[0].date(), today),
        begin=f"{span[0]:%H:%M}",
        end=f"{span[1]:%H:%M}",
        between=between,
    )


def _releases(day: dt.date | None) -> Iterator[Offer]:
    for key, (words, says, release) in RELEASES.items():
        is_answer = release.status in {"granted", "refused"}
        dated = release_table(release if not is_answer else type(release)(release.status, release.scope, day))
        yield Offer(key, say(words), dated.text, say(says), is_yes=release.status == "granted")


def _reference(picture: PlannedPicture) -> ReferenceQuestion:
    shown = inbox_picture(picture)
    return ReferenceQuestion(shown, source_words(shown.name, picture.rights), right_answers(shown.name, picture.rights))


def _shown(group: PlannedGroup) -> str:
    covers = sum(one.is_cover for one in group.filed)
    healed = sum(one.guess.what.value == "healed" for one in group.filed)
    if not covers and not healed:
        return say("no photo yet")
    photos = say_count("{number} photo", "{number} photos", max(covers, 1) + healed)
    return say("{photos} (the fresh one that is the cover)", photos=photos) if covers else photos
