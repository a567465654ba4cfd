"""Rules about the rights to references: what is missing, what must be asked, what is not allowed.

What each finding says and asks for stands in the gate's table; here is only when it is told.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace

from archgen.findings import Severity
from archgen.languages.house import say, to_say
from archgen.pieces.survey import SurveyedCatalogue
from archgen.publication.decision import lifts, override_counts
from archgen.publication.gate import Answer, Condition, LiftedBy, PersonAnswer, RightKind, kind_words
from archgen.publication.gate_questions import CREDIT, MODEL_TERMS, PEOPLE, SCREEN_CAPTURE
from archgen.publication.gate_table import NOT_RECORDED, TABLE
from archgen.publication.reference_rights import (
    Rights,
    evidence_exists,
    reference_name,
    undescribed_files,
)
from archgen.publication.rights import Ruling, asks_for_credit, is_screen_without_maker
from archgen.publication.unused import used_after_all
from archgen.records.made_from import MadeFrom
from archgen.records.model import Piece, PieceRecord, Reference
from archgen.rules.rule import Check, Hit, Rule
from archgen.toml.problem import shown
from archgen.units import date_words
from archgen.values.frozen import Value

_OWN_WORDS = frozenset({"own-work", "commissioned"})


class _Case(Value, frozen=True):
    """One reference a tattoo rests on."""

    reference: Reference
    number: int
    rights: Rights
    lifted: frozenset[LiftedBy]
    wants_to_be_shown: bool

    @property
    def name(self) -> str:
        return reference_name(self.reference, self.number)

    def stops(self, lifted_by: LiftedBy) -> Severity:
        """Give an error where the piece is to be published and nothing lifts it."""
        return Severity.ERROR if self.wants_to_be_shown and lifted_by not in self.lifted else Severity.WARNING

    def of_ruling(self, ruling: Ruling, *, key: str = "") -> Hit:
        problem = f"{self.name} ({kind_words(self.rights.kind)}): {' '.join(ruling.reasons)}"
        return Hit(problem, " ".join(ruling.changed_by), key=key, severity=self.stops(ruling.lifted_by))

    def of_condition(self, condition: Condition, *, key: str = "", stops: bool = False) -> Hit:
        reasons = dict.fromkeys(say(cell.words) for cell in (condition.use, condition.show_piece) if cell.words)
        severity = self.stops(LiftedBy.NOTHING) if stops else None
        return Hit(f"{self.name}: {' '.join(reasons)}", say(condition.changed_by), key=key, severity=severity)


def _each(check: Callable[[_Case], Hit | None]) -> Check:
    """Let a check look at every reference the tattoo rests on; one that was only looked at asks for nothing."""

    def check_piece(piece: Piece, record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
        lifted = lifts(piece, record, catalogue)
        for number, (reference, rights) in enumerate(
            zip(record.reference, catalogue.overviews[piece.id].publication.references, strict=True)
        ):
            hit = check(_Case(reference, number, rights, lifted, record.publish)) if rights.counts else None
            if hit is not None:
                yield replace(hit, key=f"reference.{number}{hit.key}")

    return check_piece


def _of_kind(*kinds: RightKind, key: str = "") -> Check:
    """Tell what the table says of these rows."""

    def check(case: _Case) -> Hit | None:
        if case.rights.kind not in kinds:
            return None
        ruling = case.rights.by_itself.by_row.show_piece
        problem = f"{case.name}: {' '.join(ruling.reasons)}"
        remedy = say(TABLE[case.rights.kind].changed_by)
        return Hit(problem, remedy, key=key, severity=case.stops(ruling.lifted_by))

    return _each(check)


def _missing(piece: Piece, record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    yield from _of_kind(RightKind.MISSING, RightKind.UNKNOWN)(piece, record, catalogue)
    row = TABLE[RightKind.UNDESCRIBED]
    stops = record.publish and row.lifted_by not in lifts(piece, record, catalogue)
    for file in undescribed_files(piece, record):
        severity = Severity.ERROR if stops else Severity.WARNING
        problem = f"{file}: {say(row.show_piece.words)}"
        yield Hit(problem, say(row.changed_by), file=f"{piece.folder}/{file}", severity=severity)


def _no_evidence(piece: Piece, record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    yield from _of_kind(RightKind.NO_PAPER, key=".license")(piece, record, catalogue)
    for number, reference in enumerate(record.reference):
        if reference.permission is None or evidence_exists(number, piece, record, catalogue):
            continue
        if any(finding.key == f"reference.{number}.permission" for finding in catalogue.findings_of(piece)):
            continue  # what is wrong with the file was said when it was looked for
        name, paper = reference_name(reference, number), shown(reference.permission)
        yield Hit(
            say(
                "{name}: {paper} is a picture or a text of this piece, so it can't be the letter or receipt.",
                name=name,
                paper=paper,
            ),
            say('Link the letter itself: permission = "references/letter.pdf".'),
            key=f"reference.{number}.permission",
            severity=None if record.publish else Severity.WARNING,
        )


def _no_source(case: _Case) -> Hit | None:
    reference = case.reference
    if reference.source or reference.creator or reference.license in _OWN_WORDS or reference.made_from:
        return None
    return Hit(
        say("{name}: neither where it came from nor who made it is recorded.", name=case.name),
        say('Add source = "https://..." or creator = "the name as the creator gives it".'),
    )


def _no_credit(case: _Case) -> Hit | None:
    missing = asks_for_credit(case.reference) and not case.reference.creator
    return case.of_condition(CREDIT) if missing else None


def _screen(case: _Case) -> Hit | None:
    return case.of_condition(SCREEN_CAPTURE) if is_screen_without_maker(case.reference) else None


# Rows that are told by a rule of their own.
_TOLD_APART = NOT_RECORDED | {RightKind.ENDED}


def _ask(case: _Case) -> Hit | None:
    answers = case.rights.by_itself.by_row
    if case.rights.kind in _TOLD_APART or answers.show_piece.answer is Answer.NO:  # the latter is rights.not-allowed
        return None
    asked = [ruling for ruling in (answers.use, answers.show_piece) if ruling.answer is Answer.HOLD]
    if not asked:
        return None
    hit = case.of_ruling(asked[0].worse(asked[-1]))
    return replace(hit, severity=None)


def _not_allowed(case: _Case) -> Hit | None:
    ruling = case.rights.by_itself.by_row.show_piece
    if case.rights.kind in _TOLD_APART or ruling.answer is not Answer.NO:
        return None
    hit = case.of_ruling(ruling)
    otherwise = say("Or record in [rights_override] why you decide otherwise.")
    return replace(hit, remedy=f"{hit.remedy} {otherwise}")


def _not_for_skin(case: _Case) -> Hit | None:
    ruling = case.rights.by_itself.by_row.use
    if case.rights.kind in _TOLD_APART or ruling.answer is not Answer.NO:
        return None
    hit = case.of_ruling(ruling)
    not_for_skin = say("So it isn't for a tattoo.")
    return replace(hit, problem=f"{hit.problem} {not_for_skin}", severity=None)


def _model_terms(case: _Case) -> Hit | None:
    reference = case.reference
    if not case.rights.is_ai or (reference.ai_system and reference.ai_terms):
        return None
    return case.of_condition(MODEL_TERMS)


def _person(case: _Case) -> Hit | None:
    answer = case.rights.person_answer
    told = (PersonAnswer.PUBLIC_FIGURE, PersonAnswer.UNKNOWN, PersonAnswer.CLIENT_NOT_ASKED)
    # What only the file says is told as such (embedded.person).
    is_told = answer in told and case.reference.likeness is not None
    return case.of_condition(PEOPLE[answer], key=".likeness", stops=True) if is_told else None


def _silent(case: _Case) -> Hit | None:
    is_silent = case.rights.person_answer is PersonAnswer.SILENT
    return case.of_condition(PEOPLE[PersonAnswer.SILENT], key=".likeness", stops=True) if is_silent else None


def _minor(case: _Case) -> Hit | None:
    is_minor = case.rights.person_answer is PersonAnswer.MINOR
    return case.of_condition(PEOPLE[PersonAnswer.MINOR], key=".likeness") if is_minor else None


def _made_from(piece: Piece, record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    yield from _of_kind(RightKind.EDIT)(piece, record, catalogue)
    made, row = MadeFrom(record.reference), TABLE[RightKind.NO_SUCH_SOURCE]
    for number, reference in enumerate(record.reference):
        for name in made.unknown(number):
            problem = say(
                "{reference}: it is made from {name}, which is described nowhere here.",
                reference=reference_name(reference, number),
                name=shown(name),
            )
            yield Hit(problem, say(row.changed_by), key=f"reference.{number}.made_from")


def _circular(_piece: Piece, record: PieceRecord, _catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    made, row = MadeFrom(record.reference), TABLE[RightKind.CIRCULAR]
    for number, reference in enumerate(record.reference):
        if number in made.reached(number):
            problem = f"{reference_name(reference, number)}: {say(row.show_piece.words)}"
            yield Hit(problem, say(row.changed_by), key=f"reference.{number}.made_from")


def _override_not_yet(piece: Piece, record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    override = record.rights_override
    if override and override.date and override.date > catalogue.built_on:
        problem = say("Your decision to show it counts from {date}, not before.", date=date_words(override.date))
        yield Hit(problem, say("Check the day, and correct it if it is a slip."), key="rights_override.date")
    elif override and not override_counts(piece, record, catalogue):
        problem = say("Your decision to show it isn't understood, so it doesn't count.")
        yield Hit(
            problem, say('Under [rights_override] write reason = "..." and date = 2026-03-20.'), key="rights_override"
        )


def _used_after_all(piece: Piece, record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    for found in used_after_all(piece, record, catalogue):
        name = reference_name(record.reference[found.number], found.number)
        problem = to_say("{name} seems to lie under {under}, though the record says it was only looked at.")
        remedy = say("If you drew from it, take used = false out and record its right.")
        if found.is_recorded:
            problem = to_say("{name} is named by {under}, though the record says it was only looked at.")
        else:
            remedy += " " + say("If they only look alike: archgen twins --different with both.")
        yield Hit(
            say(problem, name=name, under=found.under),
            remedy,
            key=f"reference.{found.number}.used",
            severity=None if record.publish else Severity.WARNING,
        )


_ASK, _STOP = Severity.WARNING, Severity.ERROR
RULES: tuple[Rule, ...] = (
    Rule("rights.missing", _STOP, "Without a recorded right nobody can say later what was allowed.", _missing),
    Rule("rights.no-evidence", _STOP, "A permission is worth what can be shown of it.", _no_evidence),
    Rule("rights.made-from", _STOP, "A merged or edited picture stands on the rights of its sources.", _made_from),
    Rule("rights.circular", _STOP, "Nothing was made from itself.", _circular),
    Rule("rights.no-source", _ASK, "A right can only be asked for where the origin is known.", _each(_no_source)),
    Rule("rights.no-credit", _ASK, "CC licences that ask for credit end when it is left out.", _each(_no_credit)),
    Rule("rights.screen-capture", _ASK, "A picture of a screen shows somebody's picture.", _each(_screen)),
    Rule("rights.ask", _ASK, "Some rights leave open whether a tattoo may be made or shown.", _each(_ask)),
    Rule("rights.not-allowed", _STOP, "What a right excludes must not be shown.", _each(_not_allowed)),
    Rule("rights.not-for-skin", _ASK, "What a right excludes must not be drawn after.", _each(_not_for_skin)),
    Rule(
        "rights.expired",
        _ASK,
        "A right with an end allows nothing after it.",
        _of_kind(RightKind.ENDED, key=".expires"),
    ),
    Rule(
        "rights.not-yet", _ASK, "A right allows nothing before its day.", _of_kind(RightKind.NOT_YET, key=".obtained")
    ),
    Rule("rights.override-not-yet", _ASK, "A decision counts from its day.", _override_not_yet),
    Rule("rights.ai-terms", _ASK, "What a system's terms allow differs by version.", _each(_model_terms)),
    Rule("rights.used-after-all", _STOP, "What was drawn from needs a right.", _used_after_all, needs_pictures=True),
    Rule("rights.person", _STOP, "People have rights in their likeness beside the picture's.", _each(_person)),
    Rule("rights.likeness", _STOP, "Whether somebody is shown can only be seen by looking.", _each(_silent)),
    Rule("rights.minor", _ASK, "Pictures of minors are never made public here.", _each(_minor)),
)
