"""From the fields of a form that was sent to the answers; needles stay in the order in which they were touched."""

from collections.abc import Sequence

from archgen.catalogue import Catalogue
from archgen.desk.answering import Fields
from archgen.desk.filing.answers import (
    RELEASES,
    OwnNeedle,
    PieceAnswers,
    ReferenceAnswers,
    ReleaseAnswer,
    RightDetails,
    SittingAnswer,
    chosen_needles,
    read_amount,
    read_day,
    read_hours,
    read_length,
    read_place,
    right_values,
    with_person,
)
from archgen.desk.filing.carry import LETTER_FIELD, RELEASE_FIELD, ChosenPaper
from archgen.desk.filing.materials import Materials, NeedleOffer, materials
from archgen.desk.filing.measures import size_offer, written_length
from archgen.desk.filing.rights import ALLOWED, SOMEBODY, right_answers
from archgen.desk.inbox.waiting import InboxState
from archgen.intake.plan import PlannedGroup, PlannedPicture
from archgen.picture_facts.facts import Role

LONGEST_TEXT = 2000


def read_form(
    fields: Fields, group: PlannedGroup, catalogue: Catalogue, inbox: InboxState, papers: Sequence[ChosenPaper] = ()
) -> PieceAnswers:
    """Read the whole form; papers are those that came with it."""
    paper_files = {paper.field: paper.file for paper in papers}
    units = catalogue.config.archive.units
    offers = materials(catalogue, group.day)
    width, height = _size(fields, group, inbox, units)
    return PieceAnswers(
        title=" ".join(fields.one("title")[:LONGEST_TEXT].split()),
        client=fields.one("client")[:LONGEST_TEXT],
        client_code=fields.one("client_code"),
        place=read_place(fields.one("place")[:LONGEST_TEXT], fields.one("girth"), units),
        width=width,
        height=height,
        sittings=tuple(_sittings(fields, group)),
        needles=_needles(fields, offers),
        inks=_inks(fields),
        applied=fields.one("applied") or None,
        release=_release(fields, group, paper_files.get(RELEASE_FIELD)),
        references=tuple(
            _reference(fields, one, paper_files.get(f"{LETTER_FIELD}{one.key}", ""))
            for one in group.filed
            if one.guess.what.role is Role.REFERENCE
        ),
        publish={"yes": True, "no": False}.get(fields.one("publish")),
        styles=_listed(*fields.all("style"), fields.one("styles")),
        charged=read_amount(fields.one("charged")[:LONGEST_TEXT]),
        deposit=read_amount(fields.one("deposit")[:LONGEST_TEXT]),
        cover=fields.one("cover") or None,
        notes=fields.one("notes")[:LONGEST_TEXT],
    )


def stencil_widths(group: PlannedGroup, inbox: InboxState, units: str) -> dict[str, str]:
    """Give the printed width that the file of each stencil says."""
    found = {}
    for picture in group.filed:
        if picture.guess.what.role is Role.STENCIL and (offer := size_offer(picture, inbox.facts_of(picture))):
            found[picture.key] = f"{written_length(offer.width_mm, units)} {units}"
    return found


def _size(fields: Fields, group: PlannedGroup, inbox: InboxState, units: str) -> tuple[str | None, str | None]:
    width, height = read_length(fields.one("width"), units), read_length(fields.one("height"), units)
    if not fields.one("as_stencil") or width or height:
        return width, height
    stencil = next((one for one in group.filed if one.guess.what.role is Role.STENCIL), None)
    offer = size_offer(stencil, inbox.facts_of(stencil)) if stencil else None
    if offer is None:
        return width, height
    sides = (offer.width_mm, offer.height_mm)
    written = [f"{written_length(side, units)} {units}" if side else None for side in sides]
    return written[0], written[1]


def _sittings(fields: Fields, group: PlannedGroup) -> list[SittingAnswer]:
    found = []
    day = read_day(fields.one("day")) or group.day
    hours = read_hours(fields.one("hours_own") or fields.one("hours"))
    if day and (hours is not None or fields.one("day") or fields.one("hours")):
        found.append(SittingAnswer(day, hours))
    elif day:
        found.append(SittingAnswer(day))
    second = read_day(fields.one("day2"))
    if second:
        found.append(SittingAnswer(second, read_hours(fields.one("hours2"))))
    return found


def _in_order(fields: Fields) -> list[str]:
    chosen = fields.all("needle")
    touched = [key for key in fields.one("needle_order").split("\n") if key in chosen]
    return [*touched, *(key for key in chosen if key not in touched)]


def _needles(fields: Fields, offers: Materials) -> tuple[NeedleOffer, ...]:
    own = OwnNeedle(*(fields.one(name)[:LONGEST_TEXT] for name in ("needle_own", "needle_box", "needle_use")))
    keys = _in_order(fields)
    return chosen_needles(keys, own, offers, {key: fields.one(f"use-{key}")[:LONGEST_TEXT] for key in keys})


def _inks(fields: Fields) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*fields.all("ink"), *_listed(fields.one("ink_own")))))


def _listed(*texts: str) -> tuple[str, ...]:
    """Take words apart at commas, each once."""
    words = (word.strip()[:LONGEST_TEXT] for text in texts for word in text.replace(";", ",").split(","))
    return tuple(dict.fromkeys(word for word in words if word))


def _release(fields: Fields, group: PlannedGroup, paper: str | None) -> ReleaseAnswer | None:
    given = RELEASES.get(fields.one("release"))
    if given is None:
        return ReleaseAnswer(None, file=paper) if paper else None
    release = given[2]
    is_answer = release.status in {"granted", "refused"}
    day = read_day(fields.one("release_day")) or group.day
    return ReleaseAnswer(release.status, release.scope, day if is_answer else None, paper)


def _reference(fields: Fields, picture: PlannedPicture, paper: str) -> ReferenceAnswers:
    key = picture.key
    answers = right_answers(picture.name.rpartition("/")[2], picture.rights)
    given = next((one for one in answers if one.key == fields.one(f"right-{key}")), None)
    licence, creator, source = (fields.one(f"{name}-{key}")[:LONGEST_TEXT] for name in ("licence", "creator", "source"))
    allows = tuple(one for one, _ in ALLOWED if one in fields.all(f"allows-{key}"))
    more = RightDetails(licence, creator, source, paper, allows)
    somebody = next((written for one, _, written in SOMEBODY if one == fields.one("somebody")), "")
    return ReferenceAnswers(key, with_person(right_values(given, more), fields.one("person"), somebody))
