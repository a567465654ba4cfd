"""Rules about the rights to references: what is missing, what must be asked, what is not allowed."""

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import lru_cache

import msgspec

from archgen.catalogue import Catalogue
from archgen.findings import Severity
from archgen.publication.rights import Answer, RightKind, Rights, answers, asks_for_credit, was_made_by_a_model
from archgen.records.model import Likeness, Piece, PieceRecord, Reference
from archgen.records.vocabulary.licences import known_license
from archgen.rules.rule import Hit, Rule
from archgen.units import date_words

_ReferenceCheck = Callable[[Reference, dt.date], Hit | None]
_OWN_WORDS = frozenset({"own-work", "commissioned"})


def _each(check: _ReferenceCheck, *, stops: bool = False) -> Callable[[Piece, PieceRecord, Catalogue], Iterator[Hit]]:
    """Let a check of one reference look at all references of a piece.

    What stops publishing is only an error where the piece is to be published and nothing was decided about it.
    """

    def check_piece(_piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
        settings = catalogue.config.portfolio
        lifted = not record.publish or record.rights_override is not None or not settings.require_rights
        for number, reference in enumerate(record.reference):
            hit = check(reference, catalogue.built_on)
            if hit is not None:
                severity = Severity.WARNING if stops and lifted else None
                yield replace(hit, key=f"reference.{number}{hit.key}", severity=severity)

    return check_piece


def _missing(reference: Reference, today: dt.date) -> Hit | None:
    if answers(reference, today=today).is_recorded or _lacks_evidence(reference):
        return None
    if reference.license and not known_license(reference.license):  # record.unknown-license names the nearest word
        return None
    known = "the right is recorded as unknown." if reference.license else "no right is recorded."
    return Hit(
        f"{_name(reference)}: {known}",
        'Add license = "CC-BY-4.0" (or what it is), "own-work", or permission = "references/letter.pdf".',
    )


def _lacks_evidence(reference: Reference) -> bool:
    word = reference.license
    return not reference.permission and (word == "permission" or (word == "stock" and not reference.rights_url))


def _no_evidence(reference: Reference, _today: dt.date) -> Hit | None:
    if not _lacks_evidence(reference):
        return None
    return Hit(
        f'{_name(reference)}: license = "{reference.license}" rests on a paper that is not named.',
        'Put the letter or receipt beside the reference and add permission = "references/letter.pdf".',
        key=".license",
    )


def _no_source(reference: Reference, _today: dt.date) -> Hit | None:
    if reference.source or reference.creator or reference.license in _OWN_WORDS:
        return None
    return Hit(
        f"{_name(reference)}: neither where it came from nor who made it is recorded.",
        'Add source = "https://..." or creator = "the name as the creator gives it".',
    )


def _no_credit(reference: Reference, _today: dt.date) -> Hit | None:
    if reference.creator or not asks_for_credit(reference):
        return None
    return Hit(
        f"{_name(reference)}: {reference.license} asks for the creator's name, and none is recorded.",
        'Add creator = "the name as the creator gives it"; the portfolio then shows the credit.',
    )


@lru_cache(maxsize=1024)
def _plain(reference: Reference, today: dt.date) -> Rights:
    """Answer from licence and letter alone; everything else has its own rule."""
    stripped = msgspec.structs.replace(
        reference, expires=None, likeness=None, digital_source=None, ai_system=None, creator=reference.creator or "-"
    )
    return answers(stripped, today=today)


def _ask(reference: Reference, today: dt.date) -> Hit | None:
    right = _plain(reference, today)
    if right.kind is RightKind.MISSING or right.show_piece.answer is Answer.NO:  # the latter is rights.not-allowed
        return None
    asked = [ruling for ruling in (right.use, right.show_piece) if ruling.answer is Answer.HOLD]
    if not asked:
        return None
    reasons = dict.fromkeys(reason for ruling in asked for reason in ruling.reasons)
    return Hit(
        f"{_name(reference)} ({right.kind.value}): {' '.join(reasons)}",
        'Ask, then record the answer: allows = ["tattoo", "show-tattoo"] with what is allowed, or allows = [].',
    )


def _not_allowed(reference: Reference, today: dt.date) -> Hit | None:
    right = _plain(reference, today)
    if right.kind is RightKind.MISSING or right.show_piece.answer is not Answer.NO:
        return None
    return Hit(
        f"{_name(reference)} ({right.kind.value}): {' '.join(right.show_piece.reasons)}",
        "Leave publish = false, ask for a permission and name it, or record why you decide otherwise in "
        "[rights_override].",
    )


def _not_for_skin(reference: Reference, today: dt.date) -> Hit | None:
    right = _plain(reference, today)
    if right.use.answer is not Answer.NO:
        return None
    return Hit(
        f"{_name(reference)} ({right.kind.value}): not to be used for a tattoo. {' '.join(right.use.reasons)}",
        'Ask the rights holder, then name the letter: permission = "references/letter.pdf".',
    )


def _expired(reference: Reference, today: dt.date) -> Hit | None:
    if reference.expires is None or reference.expires >= today:
        return None
    return Hit(
        f"{_name(reference)}: the right ended on {date_words(reference.expires)}. No new use of it.",
        'Renew it and correct expires, or record with allows = ["show-tattoo"] that the finished tattoo may still be '
        "shown.",
    )


def _made_by_a_model(reference: Reference, _today: dt.date) -> Hit | None:
    if not was_made_by_a_model(reference) or (reference.ai_system and reference.ai_terms):
        return None
    return Hit(
        f"{_name(reference)}: a trained model made or changed it, and its system or terms are not recorded.",
        'Add ai_system = "name and version" and ai_terms = "https://..." (the terms you agreed to).',
    )


def _person(reference: Reference, _today: dt.date) -> Hit | None:
    if reference.likeness not in (Likeness.UNKNOWN, Likeness.PUBLIC_FIGURE):
        return None
    return Hit(
        f"{_name(reference)}: a person can be recognised. A licence for the picture does not clear the person.",
        'Ask that person and set likeness = "consented"; whether you need to differs by place, so ask locally.',
        key=".likeness",
    )


def _minor(reference: Reference, _today: dt.date) -> Hit | None:
    if reference.likeness is not Likeness.MINOR:
        return None
    return Hit(
        f"{_name(reference)}: a minor is shown. This piece stays in the studio.",
        "Ask a parent or guardian before you use it, and set publish = false.",
        key=".likeness",
    )


def _name(reference: Reference) -> str:
    return reference.file or reference.source or "A reference"


_ASK, _STOP = Severity.WARNING, Severity.ERROR
RULES: tuple[Rule, ...] = (
    Rule(
        "rights.missing",
        _STOP,
        "Without a recorded right nobody can say later what was allowed.",
        _each(_missing, stops=True),
    ),
    Rule(
        "rights.no-evidence", _STOP, "A permission is worth what can be shown of it.", _each(_no_evidence, stops=True)
    ),
    Rule("rights.no-source", _ASK, "A right can only be asked for where the origin is known.", _each(_no_source)),
    Rule("rights.no-credit", _ASK, "CC licences that ask for credit end when it is left out.", _each(_no_credit)),
    Rule("rights.ask", _ASK, "Some rights leave open whether a tattoo may be made or shown.", _each(_ask)),
    Rule("rights.not-allowed", _STOP, "What a right excludes must not be shown.", _each(_not_allowed, stops=True)),
    Rule("rights.not-for-skin", _ASK, "What a right excludes must not be drawn after.", _each(_not_for_skin)),
    Rule("rights.expired", _ASK, "A right with an end allows no new use after it.", _each(_expired)),
    Rule("rights.ai-terms", _ASK, "What a system's terms allow differs by version.", _each(_made_by_a_model)),
    Rule(
        "rights.person", _STOP, "People have rights in their likeness beside the picture's.", _each(_person, stops=True)
    ),
    Rule("rights.minor", _ASK, "Pictures of minors are never made public here.", _each(_minor)),
)
