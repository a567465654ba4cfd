"""What a recorded right says about three uses of a reference: picks the row of the gate's table and words the answers.

Every yes names what it rests on. A paper gives only what `allows` records. Dates count: nothing before its day, nothing
after it. A record-keeping aid, not a legal opinion. Knows references, not pieces or clients.
"""

import datetime as dt

from archgen.languages.house import say, to_say
from archgen.languages.kept import kept
from archgen.publication.gate import Answer, Cell, Condition, LiftedBy, RightKind, SettledBy
from archgen.publication.gate_questions import CREDIT, MODEL_TERMS, MODEL_USED, SCREEN_CAPTURE
from archgen.publication.gate_table import (
    KIND_OF_TERMS,
    KIND_OF_WORD,
    LEFT_OUT,
    NAME_IT,
    NOT_RECORDED,
    NOTHING_ALLOWED,
    TABLE,
)
from archgen.records.model import Reference, Use
from archgen.records.vocabulary.licences import License, LicenseKind, known_license, license_words
from archgen.toml.problem import as_text
from archgen.units import date_words
from archgen.values.frozen import Value

# IPTC NewsCodes "digitalsourcetype". Only the first is made wholly by a model and stands on its terms.
MADE_BY_MODEL = "trainedAlgorithmicMedia"
AI_SOURCES = frozenset({MADE_BY_MODEL, "compositeWithTrainedAlgorithmicMedia", "compositeSynthetic"})
_COMPOSITES = frozenset({"composite", "compositeCapture", "compositeWithTrainedAlgorithmicMedia", "compositeSynthetic"})
SCREEN_CAPTURE_SOURCE = "screenCapture"
# Words that say nothing beyond the paper beside them, when there is one.
_PAPER_WORDS = frozenset({None, "permission", "commissioned", "client-supplied", "all-rights-reserved", "unknown"})
# Words with which the studio answers for the picture itself; they say nothing of what it was made from.
_OWN_WORDS = frozenset({None, "own-work"})
# The three questions, in their order.
_QUESTIONS = (Use.TATTOO, Use.SHOW_REFERENCE, Use.SHOW_TATTOO)
_USE_WORDS = {
    Use.TATTOO: to_say("the tattoo"),
    Use.SHOW_REFERENCE: to_say("showing the reference"),
    Use.SHOW_TATTOO: to_say("showing the tattoo"),
}


# What lifts nothing comes before what lifts more.
_LIFTS = tuple(LiftedBy)


class Ruling(Value, frozen=True):
    """One answer, its reasons in plain sentences (of a yes: its ground), what lifts it and what could change it."""

    answer: Answer
    reasons: tuple[str, ...] = ()
    lifted_by: LiftedBy = LiftedBy.SETTING
    changed_by: tuple[str, ...] = ()

    def worse(self, other: "Ruling") -> "Ruling":
        """Give the stricter of two rulings; of equal ones both count, and what nothing lifts is never left out."""
        first, second = (other, self) if other.answer.rank > self.answer.rank else (self, other)
        lifted_by = min(first.lifted_by, second.lifted_by, key=_LIFTS.index)
        if first.answer is second.answer or (second.answer is not Answer.YES and first.lifted_by is not lifted_by):
            reasons = dict.fromkeys((*self.reasons, *other.reasons))
            return Ruling(first.answer, tuple(reasons), lifted_by, _joined(first.changed_by, second.changed_by))
        return first

    def named(self, name: str) -> "Ruling":
        """Say whose ruling it is in front of each reason."""
        reasons = tuple(f"{name}: {reason}" for reason in self.reasons)
        return Ruling(self.answer, reasons, self.lifted_by, self.changed_by)


def _joined(one: tuple[str, ...], other: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*one, *other)))


class Answers(Value, frozen=True):
    """The answers to the three questions."""

    use: Ruling
    show_reference: Ruling
    show_piece: Ruling

    def worse(self, other: "Answers") -> "Answers":
        """Give the stricter answer to each question."""
        return Answers(
            self.use.worse(other.use),
            self.show_reference.worse(other.show_reference),
            self.show_piece.worse(other.show_piece),
        )

    def named(self, name: str) -> "Answers":
        """Say whose answers they are."""
        return Answers(self.use.named(name), self.show_reference.named(name), self.show_piece.named(name))


class PictureRight(Value, frozen=True):
    """What the right to one picture answers, by itself.

    Attributes:
        kind: The row of the table.
        by_row: What that row answers, with what the record says is allowed.
        answers: The same with all that is asked beside it: credit, a screen's maker, a model's terms.
        needs_credit: Whether the licence asks for the creator's name wherever the work is shown.
        is_ai: Whether a trained model had a part in it.
    """

    kind: RightKind
    by_row: Answers
    answers: Answers
    needs_credit: bool = False
    is_ai: bool = False

    @property
    def is_recorded(self) -> bool:
        """Say whether any right stands in the record."""
        return self.kind not in NOT_RECORDED


def picture_right(
    reference: Reference, *, today: dt.date, evidence_exists: bool = True, understood: bool = True
) -> PictureRight:
    """Answer the three questions for one picture by its own record.

    Args:
        reference: The reference as recorded.
        today: The day of the build, against which dates count.
        evidence_exists: Whether the file named under permission is there and can be evidence.
        understood: Whether all the record says of the right is understood.
    """
    # The day itself is no part of what is kept: it is asked every time.
    return _right(reference, _kind_by_day(reference, today), evidence_exists=evidence_exists, understood=understood)


@kept(4096)  # several rules and every page ask the same of a reference
def _right(reference: Reference, by_day: RightKind | None, *, evidence_exists: bool, understood: bool) -> PictureRight:
    has_paper = reference.permission is not None and evidence_exists
    kind = _kind_of(reference, by_day, has_paper=has_paper) if understood else RightKind.NOT_UNDERSTOOD
    is_ai = was_made_by_a_model(reference)
    by_row = Answers(*(_settled(kind, use, reference, has_paper=has_paper) for use in _QUESTIONS))
    answers = by_row
    for condition in _conditions(reference, kind, is_ai=is_ai):
        answers = answers.worse(conditioned(condition))
    return PictureRight(kind, by_row, answers, asks_for_credit(reference), is_ai)


def _kind_of(reference: Reference, by_day: RightKind | None, *, has_paper: bool) -> RightKind:
    """Find the row of a reference."""
    known = known_license(reference.license) if reference.license else None
    if reference.license and known is None:
        return RightKind.NOT_UNDERSTOOD
    return by_day or _kind_of_word(reference, known, has_paper=has_paper)


def _kind_by_day(reference: Reference, today: dt.date) -> RightKind | None:
    if reference.obtained and reference.obtained > today:
        return RightKind.NOT_YET
    return RightKind.ENDED if reference.expires and reference.expires < today else None


def _kind_of_word(reference: Reference, known: License | None, *, has_paper: bool) -> RightKind:
    word = known.id if known else None
    if has_paper and word in _PAPER_WORDS:
        return RightKind.PERMISSION
    if word in _OWN_WORDS and (made := _kind_of_made(reference, word)):
        return made
    if word == "stock" and not has_paper and not _is_address(reference.rights_url):
        return RightKind.NO_PAPER
    return _kind_of_known(known) if known else RightKind.MISSING


def _kind_of_made(reference: Reference, word: str | None) -> RightKind | None:
    """Find the row of what was made by a model or from other pictures, where only the studio answers for it."""
    has_terms = bool(reference.ai_system and reference.ai_terms)
    if _source(reference) == MADE_BY_MODEL:
        return RightKind.AI_MADE if has_terms else RightKind.AI_NO_TERMS
    if reference.made_from:
        return RightKind.OWN if word else RightKind.INHERITED
    if not is_composite(reference):
        return None
    if word is None or not was_made_by_a_model(reference):
        return RightKind.EDIT
    return RightKind.OWN_AND_MODEL if has_terms else RightKind.AI_NO_TERMS


def _kind_of_known(known: License) -> RightKind:
    if found := KIND_OF_WORD.get(known.id):
        return found
    match known.kind:
        case LicenseKind.PUBLIC_DOMAIN:
            return RightKind.DEDICATED
        case LicenseKind.CREATIVE_COMMONS:
            return KIND_OF_TERMS.get(frozenset(known.terms), RightKind.OTHER_LICENCE)
    return RightKind.OTHER_LICENCE


def is_composite(reference: Reference) -> bool:
    """Say whether the record says that it was merged from others, or changed by a trained model."""
    source = _source(reference)
    return source in _COMPOSITES or (reference.ai_system is not None and source != MADE_BY_MODEL)


def asks_for_credit(reference: Reference) -> bool:
    """Say whether the licence asks for the creator's name wherever the work is shown."""
    known = known_license(reference.license or "")
    return known is not None and "BY" in known.terms


def was_made_by_a_model(reference: Reference) -> bool:
    """Say whether the record says that a trained model made or changed the picture."""
    return _source(reference) in AI_SOURCES or reference.ai_system is not None


def is_screen_without_maker(reference: Reference) -> bool:
    """Say whether it is a picture of a screen of which nobody knows who made what is on it."""
    return _source(reference) == SCREEN_CAPTURE_SOURCE and not reference.creator


def _is_address(text: str | None) -> bool:
    return text is not None and text.startswith(("http://", "https://"))


def _source(reference: Reference) -> str:
    return (reference.digital_source or "").rstrip("/").rpartition("/")[2]


def _conditions(reference: Reference, kind: RightKind, *, is_ai: bool) -> list[Condition]:
    found = []
    if asks_for_credit(reference) and not reference.creator:
        found.append(CREDIT)
    if is_screen_without_maker(reference):
        found.append(SCREEN_CAPTURE)
    if is_ai and kind not in (RightKind.AI_MADE, RightKind.OWN_AND_MODEL):
        if Use.SHOW_REFERENCE not in (reference.allows or ()):
            found.append(MODEL_USED)
        if not (reference.ai_system and reference.ai_terms):
            found.append(MODEL_TERMS)
    return found


def answers_of_row(kind: RightKind) -> Answers:
    """Give a row of the table as answers, whatever a record says is allowed."""
    row = TABLE[kind]
    return Answers(*(_ruling(row.cell(use), row.lifted_by, row.changed_by) for use in _QUESTIONS))


def conditioned(condition: Condition, lifted_by: LiftedBy = LiftedBy.SETTING) -> Answers:
    """Give a condition as answers."""
    return Answers(*(_ruling(condition.cell(use), lifted_by, condition.changed_by) for use in _QUESTIONS))


def _ruling(cell: Cell, lifted_by: LiftedBy, changed_by: str) -> Ruling:
    reasons = (say(cell.words),) if cell.words else ()
    if cell.answer is Answer.YES:
        return Ruling(Answer.YES, reasons)
    return Ruling(cell.answer, reasons, lifted_by, (say(changed_by),))


def _settled(kind: RightKind, use: Use, reference: Reference, *, has_paper: bool) -> Ruling:
    """Answer one question by its cell, and by what the record says is allowed."""
    row = TABLE[kind]
    cell = row.cell(use)
    if has_paper and cell.answer is Answer.NO and row.settled_by is not SettledBy.CORRECTION:
        row = TABLE[RightKind.PERMISSION]  # what a licence rules out the paper beside it may allow
        cell = row.cell(use)
    ruling = Ruling(cell.answer, (say(cell.words),), row.lifted_by, (say(row.changed_by),))
    if cell.answer is Answer.YES:
        ruling = Ruling(Answer.YES, _ground(kind, cell, reference))
    if reference.allows is None or row.settled_by is SettledBy.CORRECTION:
        return ruling
    if use not in reference.allows:
        return _ruling(LEFT_OUT if reference.allows else NOTHING_ALLOWED, LiftedBy.OVERRIDE, NAME_IT)
    if ruling.answer is Answer.YES:
        return ruling
    if has_paper:
        return Ruling(Answer.YES, (_paper_words(reference, use),))
    if ruling.answer is Answer.HOLD and row.settled_by is SettledBy.ANSWER:
        return Ruling(Answer.YES, (_answer_words(reference, use),))
    return ruling


def _ground(kind: RightKind, cell: Cell, reference: Reference) -> tuple[str, ...]:
    if kind is RightKind.INHERITED:  # what it was made from says it
        return ()
    system, address = as_text(reference.ai_system or ""), as_text(reference.ai_terms or "", 120)
    terms = say("the terms of {system} ({address})", system=system, address=address)
    words = license_words(reference.license or "")
    what = {
        RightKind.AI_MADE: terms,
        RightKind.OWN_AND_MODEL: say("{licence}, and {terms},", licence=words, terms=terms),
    }.get(kind, words)
    what = f"{what[:1].upper()}{what[1:]}"
    recorded = say("{right} as recorded.", right=what)
    if reference.obtained:
        recorded = say("{right} as recorded on {day}.", right=what, day=date_words(reference.obtained))
    return (" ".join(filter(None, (recorded, cell.words and say(cell.words)))),)


def _paper_words(reference: Reference, use: Use) -> str:
    what = say("Receipt") if reference.license == "stock" else say("Letter")
    name = as_text((reference.permission or "").rpartition("/")[2])
    return say("{what} ({name}), allows {use}.", what=what + _of_day(reference), name=name, use=say(_USE_WORDS[use]))


def _of_day(reference: Reference) -> str:
    return " " + say("of {day}", day=date_words(reference.obtained)) if reference.obtained else ""


def _answer_words(reference: Reference, use: Use) -> str:
    where = say("nothing in writing")
    if _is_address(reference.rights_url):
        where = say("the terms at {address}", address=as_text(reference.rights_url or "", 120))
    what = say("Your recorded answer") + _of_day(reference)
    return say("{what} ({name}), allows {use}.", what=what, name=where, use=say(_USE_WORDS[use]))
