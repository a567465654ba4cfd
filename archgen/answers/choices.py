"""Which answers a question has, as the artist would give them, and what each writes.

A question without an answer here is answered in the record itself: its page leads there.
"""

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from archgen.answers.answer import PenAnswer, set_all
from archgen.answers.typed import DAYS
from archgen.errors import ArchgenError
from archgen.findings import Finding
from archgen.languages.house import say, to_say
from archgen.pieces.followup import ASKED_FOR_PHOTO, NO_HEALED_PHOTO
from archgen.pieces.survey import SurveyedCatalogue
from archgen.records.model import Piece, PieceRecord
from archgen.records.typed.field import read_field
from archgen.records.typed.reading import Habits, LikelyAnswer
from archgen.toml.kinds import field_words
from archgen.toml.statements import Way, read_statements
from archgen.units import date_words
from archgen.writing.change import read_before
from archgen.writing.record_text import AddTable, RemoveKey, SetKey

_MOST_CHOICES = 6


@dataclass(frozen=True, slots=True)
class Question:
    """A finding with what its answers look at.

    Attributes:
        way: The way to the key it is about; empty for a whole file.
        values: What the record's file says, as read for writing.
    """

    finding: Finding
    piece: Piece | None
    catalogue: SurveyedCatalogue
    way: Way

    @property
    def today(self) -> dt.date:
        """Give the day answers are dated."""
        return self.catalogue.built_on

    @property
    def record(self) -> PieceRecord | None:
        """Give the piece's record."""
        return self.piece.record if self.piece else None

    @property
    def table(self) -> Way:
        """Give the way to the table of an array it is about, such as ("reference", 0)."""
        return self.way[:2]


_Make = Callable[[Question], Iterator[PenAnswer]]


def question_of(finding: Finding, catalogue: SurveyedCatalogue) -> Question:
    """Make a question of a finding."""
    piece = catalogue.piece(finding.piece)
    steps = finding.key.split(".") if finding.key else []
    return Question(finding, piece, catalogue, tuple(int(step) if step.isdecimal() else step for step in steps))


def answers_to(question: Question) -> tuple[PenAnswer, ...]:
    """Give the answers, the likeliest first."""
    code = question.finding.code
    make = _BY_CODE.get(code)
    # A finding may be about a file; then its key is no way into the record.
    is_field = bool(question.way) and question.way[0] in PieceRecord.__struct_fields__
    if make is None and code.startswith("record.") and is_field and isinstance(question.way[-1], str):
        make = _typed_again
    return tuple(make(question)) if make else ()


# The client's release.


def _release_asked(question: Question) -> Iterator[PenAnswer]:
    granted = {"status": "granted", "date": question.today}
    yield PenAnswer(
        say("Yes, online and in print"), set_all(("release",), {**granted, "scope": ["portfolio", "print"]})
    )
    yield PenAnswer(say("Yes, online only"), set_all(("release",), {**granted, "scope": ["portfolio"]}))
    refused = set_all(("release",), {"status": "refused", "date": question.today})
    yield PenAnswer(say("No"), (*refused, SetKey(("publish",), False)))


def _keep_out(_question: Question) -> Iterator[PenAnswer]:
    yield PenAnswer(say("Keep it out of the portfolio"), (SetKey(("publish",), False),))


def _release_ended(question: Question) -> Iterator[PenAnswer]:
    again = set_all(("release",), {"status": "granted", "date": question.today})
    yield PenAnswer(say("Asked again: yes"), (*again, RemoveKey(("release", "expires"))))
    yield from _keep_out(question)


def _release_scope(question: Question) -> Iterator[PenAnswer]:
    scope = list(question.record.release.scope) if question.record else []
    yield PenAnswer(say("Yes, online too"), (SetKey(("release", "scope"), [*scope, "portfolio"]),))
    yield from _keep_out(question)


def _release_day(question: Question) -> Iterator[PenAnswer]:
    yield PenAnswer(say("It counts from today"), (SetKey(("release", "date"), question.today),))
    yield from _typed_again(question)


# Rights to references.

_LICENCES = (
    (to_say("Mine"), "own-work"),
    (to_say("The client’s"), "client-supplied"),
    (to_say("Bought"), "stock"),
    (to_say("Free licence: CC0"), "CC0-1.0"),
    (to_say("Free licence: CC BY 4.0"), "CC-BY-4.0"),
    (to_say("By letter"), "permission"),
)
_PEOPLE = (
    (to_say("Nobody"), "none"),
    (to_say("My client"), "client"),
    (to_say("Somebody else, who agreed"), "consented"),
    (to_say("A public figure"), "public-figure"),
    (to_say("A child"), "minor"),
    (to_say("Don’t know"), "unknown"),
)


def _whose(question: Question) -> Iterator[PenAnswer]:
    if not question.table:  # a file that no table describes
        file = question.finding.place.file.removeprefix(f"{question.piece.folder}/" if question.piece else "")
        for words, licence in _LICENCES:
            yield PenAnswer(say(words), (AddTable(("reference",), {"file": file, "license": licence}),))
        yield PenAnswer(say("I only looked at it"), (AddTable(("reference",), {"file": file, "used": False}),))
        return
    for words, licence in _LICENCES:
        yield PenAnswer(say(words), (SetKey((*question.table, "license"), licence),))
    yield from _only_looked_at(question)


def _only_looked_at(question: Question) -> Iterator[PenAnswer]:
    yield PenAnswer(say("I only looked at it"), (SetKey((*question.table, "used"), False),))


def _allowed(question: Question) -> Iterator[PenAnswer]:
    allows = (*question.table, "allows")
    yield PenAnswer(say("Yes, the tattoo may be shown"), (SetKey(allows, ["tattoo", "show-tattoo"]),))
    yield PenAnswer(say("Tattooed yes, shown no"), (SetKey(allows, ["tattoo"]), SetKey(("publish",), False)))
    yield from _only_looked_at(question)


def _decide_otherwise(question: Question) -> Iterator[PenAnswer]:
    yield from _keep_out(question)
    yield from _only_looked_at(question)
    dated = (SetKey(("rights_override", "date"), question.today),)
    yield PenAnswer(say("I decide otherwise, because"), dated, typed=("rights_override", "reason"))


def _who_is_seen(question: Question) -> Iterator[PenAnswer]:
    for words, likeness in _PEOPLE:
        yield PenAnswer(say(words), (SetKey((*question.table, "likeness"), likeness),))


def _maker(question: Question) -> Iterator[PenAnswer]:
    yield PenAnswer(say("Made by"), typed=(*question.table, "creator"))
    if question.finding.code == "rights.no-source":
        yield PenAnswer(say("Found at (an address)"), typed=(*question.table, "source"))


def _model(question: Question) -> Iterator[PenAnswer]:
    yield PenAnswer(say("System and version"), typed=(*question.table, "ai_system"))
    yield PenAnswer(say("Address of its terms"), typed=(*question.table, "ai_terms"))


def _right_ended(question: Question) -> Iterator[PenAnswer]:
    yield PenAnswer(say("Renewed until"), typed=(*question.table, "expires"), kind="date")
    yield from _keep_out(question)


def _drawn_from(question: Question) -> Iterator[PenAnswer]:
    yield PenAnswer(say("I drew from it"), (RemoveKey((*question.table, "used")),))


def _no_paper(question: Question) -> Iterator[PenAnswer]:
    yield PenAnswer(say("There is nothing in writing"), (SetKey((*question.table, "license"), "client-supplied"),))
    yield PenAnswer(say("Nobody knows"), (SetKey((*question.table, "license"), "unknown"),))


def _override_day(question: Question) -> Iterator[PenAnswer]:
    yield PenAnswer(say("It counts from today"), (SetKey(("rights_override", "date"), question.today),))


# Labels.


def _which_bottle(question: Question) -> Iterator[PenAnswer]:
    where = question.way if question.way[-1:] == ("batch",) else (*question.table, "batch")
    bottles = [one for one in question.catalogue.inks.values() if one.closed is None and one.recalled is None]
    for bottle in sorted(bottles, key=lambda one: one.opened or dt.date.min, reverse=True)[:_MOST_CHOICES]:
        words = f"{bottle.name}, {bottle.batch}" if bottle.name else bottle.batch
        if bottle.opened:
            words = say("{bottle}, open since {day}", bottle=words, day=date_words(bottle.opened))
        yield PenAnswer(words, (SetKey(where, bottle.batch),))
    yield PenAnswer(say("Another number"), typed=where)


def _number(question: Question) -> Iterator[PenAnswer]:
    inks = question.record.ink if question.record else ()
    for number in [number for number, ink in enumerate(inks) if not ink.batch][:1]:
        name = inks[number].name
        words = say("Number on the label of {ink}", ink=name) if name else say("Number on the label")
        yield PenAnswer(words, typed=("ink", number, "batch"))


# What only the artist knows.


def _which_stencil(question: Question) -> Iterator[PenAnswer]:
    for number, stencil in enumerate(question.record.stencil if question.record else ()):
        if question.piece and stencil.file in question.piece.missing:
            continue
        file = stencil.file.rpartition("/")[2]
        words = say("Version {version}", version=stencil.version) if stencil.version else file
        yield PenAnswer(words, (SetKey(("stencil", number, "applied"), True),))


def _stencil_width(question: Question) -> Iterator[PenAnswer]:
    where = (*question.table, "width")
    size = question.record.size.width if question.record else None
    if size:
        yield PenAnswer(say("{size:g} mm, as on the skin", size=size), (SetKey(where, f"{size:g} mm"),))
    yield PenAnswer(say("Width of the marks on an old print"), typed=where)


def _which_cover(question: Question) -> Iterator[PenAnswer]:
    for number, photo in list(enumerate(question.record.photo if question.record else ()))[:_MOST_CHOICES]:
        stage = f", {say(photo.stage.value.replace('-', ' '))}" if photo.stage else ""
        words = f"{photo.file.rpartition('/')[2]}{stage}"
        yield PenAnswer(words, (SetKey(("photo", number, "cover"), True),))


_STAGES = (
    (to_say("Fresh"), "fresh"),
    (to_say("Healed"), "healed"),
    (to_say("In progress"), "in-progress"),
)


def _stage(question: Question) -> Iterator[PenAnswer]:
    for words, stage in _STAGES:
        yield PenAnswer(say(words), (SetKey((*question.table, "stage"), stage),))


def _describe(question: Question) -> Iterator[PenAnswer]:
    file = question.finding.key
    if file.startswith("photos/"):
        for words, stage in _STAGES:
            yield PenAnswer(say(words), (AddTable(("photo",), {"file": file, "stage": stage}),))
    elif file.startswith("stencils/"):
        yield PenAnswer(say("A stencil of this piece"), (AddTable(("stencil",), {"file": file}),))


def _seen_words(question: Question) -> Iterator[PenAnswer]:
    yield PenAnswer(say("What is on it, and where on the body"), typed=(*question.table, "alt"))


def _finished(_question: Question) -> Iterator[PenAnswer]:
    yield PenAnswer(say("Finished on"), typed=("finished",), kind="date")


def _place(_question: Question) -> Iterator[PenAnswer]:
    yield PenAnswer(say("Where on the body"), typed=("placement", "region"))


def _healed_photo(question: Question) -> Iterator[PenAnswer]:
    for words, note in ((say("Asked for it today"), ASKED_FOR_PHOTO), (say("None will come"), NO_HEALED_PHOTO)):
        yield PenAnswer(words, (AddTable(("healing",), {"date": question.today, "note": note}),))


def _touch_up(question: Question) -> Iterator[PenAnswer]:
    yield PenAnswer(say("Done today"), (AddTable(("sitting",), {"date": question.today, "kind": "touch-up"}),))
    if question.table:
        yield PenAnswer(say("Not wanted any more"), (SetKey((*question.table, "touch_up"), False),))


def _typed_again(question: Question) -> Iterator[PenAnswer]:
    """Offer what it is likely to mean, and let it be written anew with what stands there now."""
    written = _as_it_stands(question)
    key = question.finding.key
    yield from (
        PenAnswer(one.words[:1].upper() + one.words[1:], (SetKey(question.way, one.value),))
        for one in _likely(key, written, question.catalogue.config.archive.units)
    )
    kind = "date" if question.way and question.way[-1] in DAYS else "text"
    name = field_words(str(question.way[-1])) if question.way else say("As it should be")
    label = f"{name[:1].upper()}{name[1:]}"
    offered = written if isinstance(written, str) and kind == "text" else ""
    yield PenAnswer(label, typed=question.way, kind=kind, offered=offered)


def _likely(key: str, written: object, units: str) -> tuple[LikelyAnswer, ...]:
    """Give what a value that is asked about is likely to mean, the likeliest first."""
    try:
        reading = read_field(key, written, Habits(units))
    except (KeyError, ValueError):
        return ()
    first = (LikelyAnswer(reading.value, reading.words),) if reading.value is not None and reading.words else ()
    return (*first, *(one for one in reading.choices if one.value != reading.value))[:_MOST_CHOICES]


def _as_it_stands(question: Question) -> object:
    """Give the value as the file has it; None where it cannot be read there."""
    if question.piece is None:
        return None
    try:
        content = read_before(question.catalogue.config.root, question.piece.toml) or b""
        value: Any = read_statements(content.decode("utf-8-sig")).values
    except (ArchgenError, ValueError):
        return None
    try:
        for step in question.way:
            value = value[step]
    except (LookupError, TypeError):  # the reader counts otherwise than the file, such as below a line nobody can read
        return None
    found: object = value
    return found


_BY_CODE: dict[str, _Make] = {
    "release.not-asked": _release_asked,
    "release.refused": _keep_out,
    "release.withdrawn": _keep_out,
    "release.expired": _release_ended,
    "release.not-yet": _release_day,
    "release.scope": _release_scope,
    "rights.missing": _whose,
    "rights.ask": _allowed,
    "rights.not-allowed": _decide_otherwise,
    "rights.not-for-skin": _only_looked_at,
    "rights.no-evidence": _no_paper,
    "rights.no-source": _maker,
    "rights.no-credit": _maker,
    "rights.screen-capture": _maker,
    "rights.ai-terms": _model,
    "rights.person": _who_is_seen,
    "rights.likeness": _who_is_seen,
    "rights.minor": _keep_out,
    "rights.expired": _right_ended,
    "rights.used-after-all": _drawn_from,
    "rights.override-not-yet": _override_day,
    "record.unknown-ink": _which_bottle,
    "record.not-described": _describe,
    "batch.not-recorded": _number,
    "stencil.none-applied": _which_stencil,
    "stencil.no-width": _stencil_width,
    "photo.cover": _which_cover,
    "photo.no-stage": _stage,
    "photo.no-alt": _seen_words,
    "piece.no-date": _finished,
    "piece.no-placement": _place,
    "piece.future-date": _typed_again,
    "followup.no-healed-photo": _healed_photo,
    "followup.touch-up": _touch_up,
}


def file_of(question: Question) -> str:
    """Give the file an answer is written to."""
    return question.piece.toml if question.piece else question.finding.place.file


def answer_words(findings: Sequence[Finding], catalogue: SurveyedCatalogue) -> tuple[str, ...]:
    """Give the answers that all of these findings have, in words alone, as a page that can't write shows them."""
    words = [tuple(one.words for one in answers_to(question_of(finding, catalogue))) for finding in findings]
    return tuple(one for one in words[0] if all(one in others for others in words[1:]))
