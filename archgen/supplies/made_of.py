"""Whether all that went into a piece is recorded as vegan, or free of something: the studio's record, not ours."""

import datetime as dt
import re
from collections.abc import Iterator
from enum import Enum

from archgen.catalogue import Catalogue
from archgen.languages.house import say
from archgen.records.model import InkBatch, Piece, Supply
from archgen.tracing.book import days_of
from archgen.values.frozen import Value


class ClaimAnswer(Enum):
    """Whether a claim is recorded of something."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


class Material(Value, frozen=True):
    """Something that touched the skin, and what is recorded of it.

    Attributes:
        source: Where the claim is from, in the artist's words.
    """

    name: str
    batch: str | None
    answer: ClaimAnswer
    source: str | None


class MadeOf(Value, frozen=True):
    """What is recorded of a piece: yes only when it is of everything, no when of one thing."""

    claim: str
    answer: ClaimAnswer
    materials: tuple[Material, ...]


def made_of(piece: Piece, catalogue: Catalogue, claim: str) -> MadeOf:
    """Ask whether everything recorded of a piece is recorded as vegan, say.

    Its inks, and the other supplies that were open on a day it was worked on; needles make no claims.
    """
    return _of_all(claim, tuple(_materials(piece, catalogue, claim)))


def in_use(catalogue: Catalogue, claim: str, day: dt.date) -> MadeOf:
    """Ask the same of every ink and supply that is open on a day."""
    inks = (ink for ink in catalogue.inks.values() if ink.opened and _is_open(ink, day))
    found = [_material(ink, ink.name or ink.batch, claim) for ink in inks]
    found += [_material(one, one.name, claim) for one in catalogue.supplies if _is_open(one, day)]
    return _of_all(claim, tuple(found))


def _of_all(claim: str, materials: tuple[Material, ...]) -> MadeOf:
    answers = {material.answer for material in materials}
    if ClaimAnswer.NO in answers:
        answer = ClaimAnswer.NO
    else:
        answer = ClaimAnswer.YES if answers == {ClaimAnswer.YES} else ClaimAnswer.UNKNOWN
    return MadeOf(claim, answer, materials)


def _materials(piece: Piece, catalogue: Catalogue, claim: str) -> Iterator[Material]:
    if piece.record is None:
        return
    for ink in piece.record.ink:
        bottles = catalogue.bottles(ink.batch)
        for bottle in bottles:
            yield _material(bottle, bottle.name or ink.name or bottle.batch, claim)
        if not bottles:
            yield Material(ink.name or ink.batch or say("an ink"), ink.batch, ClaimAnswer.UNKNOWN, None)
    days = days_of(piece)
    for supply in catalogue.supplies:
        if any(_is_open(supply, day) for day in days):
            yield _material(supply, supply.name, claim)


def _material(one: InkBatch | Supply, name: str, claim: str) -> Material:
    answer = _answer(one.claims, claim)
    return Material(name, one.batch, answer, one.claim_source if answer is not ClaimAnswer.UNKNOWN else None)


def _is_open(supply: InkBatch | Supply, day: dt.date) -> bool:
    return (supply.opened is None or supply.opened <= day) and (supply.closed is None or day <= supply.closed)


def _answer(claims: tuple[str, ...], claim: str) -> ClaimAnswer:
    """Look for a claim in any words; "not vegan" says no, and a claim about other things says nothing."""
    wanted = _plain(claim)
    said = {_plain(one) for one in claims}
    if said & {f"{no} {wanted}" for no in ("not", "non", "no", "isnt", "nicht", "pas")}:
        return ClaimAnswer.NO
    return ClaimAnswer.YES if wanted in said else ClaimAnswer.UNKNOWN


def _plain(words: str) -> str:
    return " ".join(re.findall(r"\w+", words.casefold().replace("'", "").replace("’", "")))
