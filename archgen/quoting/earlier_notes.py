"""What was noted before on a place or a client: how a stencil held, what a sitting was like, how it healed. Private.

What went wrong or needed care comes first; notes that say no more than that all went well stay where they are.
"""

import datetime as dt
from collections.abc import Iterable, Iterator

from archgen.languages.house import say_in
from archgen.records.model import Piece, PieceRecord
from archgen.records.people import People
from archgen.records.vocabulary.care_words import needs_care, says_nothing
from archgen.values.frozen import Value

MOST = 6
# How a stencil held is worth saying unless it simply held.
_PLAIN = frozenset(("well", "good", "fine", "ok"))


class EarlierNote(Value, frozen=True):
    """A note on an earlier piece; `what` is stencil, sitting or healing.

    Attributes:
        is_warning: Whether something went wrong or needed care.
    """

    piece: str
    title: str
    day: dt.date | None
    what: str
    text: str
    is_of_client: bool
    is_warning: bool


def earlier_notes(pieces: Iterable[Piece], place: str | None, client: str | None = None) -> tuple[EarlierNote, ...]:
    """Give notes on this place, and those of this client wherever they were; warnings first, then the client's.

    Args:
        pieces: Of the archive.
        place: An id of `records.vocabulary.placements`.
        client: A code, however it is spelled.
    """
    known = [(piece, piece.record) for piece in pieces if piece.record]
    people = People((), {code for _, record in known if (code := record.client)} | ({client} if client else set()))
    person = people.code_of(client) if client else None
    found = []
    for piece, record in known:
        is_of_client = person is not None and record.client is not None and people.code_of(record.client) == person
        if is_of_client or (place is not None and record.placement.region == place):
            found += [
                EarlierNote(piece.id, piece.title, day, what, text, is_of_client, is_warning)
                for what, day, text, is_warning in _notes(record)
            ]
    found.sort(key=lambda note: (not note.is_warning, not note.is_of_client, -(note.day or dt.date.min).toordinal()))
    return tuple(found[:MOST])


def noted_before(piece: Piece, pieces: Iterable[Piece]) -> tuple[EarlierNote, ...]:
    """Give what was noted where a piece is and on its client: on the piece itself too, it may be touched up."""
    if piece.record is None:
        return ()
    return earlier_notes(pieces, piece.record.placement.region, piece.record.client)


def _notes(record: PieceRecord) -> Iterator[tuple[str, dt.date | None, str, bool]]:
    for stencil in record.stencil:
        if stencil.applied and stencil.held and stencil.held.strip().casefold() not in _PLAIN:
            yield say_in("note", "stencil"), record.finished_on, stencil.held.strip(), True
    for sitting in record.sitting:
        if sitting.note and not says_nothing(sitting.note):
            yield say_in("note", "sitting"), sitting.date, sitting.note.strip(), needs_care(sitting.note)
    for look in record.healing:
        if look.note and (look.touch_up or not says_nothing(look.note)):
            yield say_in("note", "healing"), look.date, look.note.strip(), look.touch_up or needs_care(look.note)
