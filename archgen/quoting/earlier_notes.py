"""What was noted before on a place or a client: how a stencil held, what a sitting was like, how it healed. Private."""

import datetime as dt
from collections.abc import Iterable, Iterator

from archgen.records.model import Piece, PieceRecord
from archgen.records.people import People
from archgen.values.frozen import Value

MOST = 6
# How a stencil held is worth saying unless it simply held.
_PLAIN = frozenset(("well", "good", "fine", "ok"))


class EarlierNote(Value, frozen=True):
    """A note on an earlier piece; `what` is stencil, sitting or healing."""

    piece: str
    title: str
    day: dt.date | None
    what: str
    text: str
    is_of_client: bool


def earlier_notes(pieces: Iterable[Piece], place: str | None, client: str | None = None) -> tuple[EarlierNote, ...]:
    """Give the latest notes on this place, and those of this client wherever they were; the client's first.

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
                EarlierNote(piece.id, piece.title, day, what, text, is_of_client) for what, day, text in _notes(record)
            ]
    found.sort(key=lambda note: (not note.is_of_client, -(note.day or dt.date.min).toordinal()))
    return tuple(found[:MOST])


def noted_before(piece: Piece, pieces: Iterable[Piece], *, itself: bool = False) -> tuple[EarlierNote, ...]:
    """Give what was noted where a piece is and on its client: on other pieces, on `itself` too where that is asked."""
    if piece.record is None:
        return ()
    others = [one for one in pieces if itself or one.id != piece.id]
    return earlier_notes(others, piece.record.placement.region, piece.record.client)


def _notes(record: PieceRecord) -> Iterator[tuple[str, dt.date | None, str]]:
    for stencil in record.stencil:
        if stencil.applied and stencil.held and stencil.held.strip().casefold() not in _PLAIN:
            yield "stencil", record.finished_on, stencil.held.strip()
    for sitting in record.sitting:
        if sitting.note and sitting.note.strip():
            yield "sitting", sitting.date, sitting.note.strip()
    for look in record.healing:
        if look.note and look.note.strip():
            yield "healing", look.date, look.note.strip()
