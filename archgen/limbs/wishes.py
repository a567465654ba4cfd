"""What a client wants next, found in the artist's notes: sentences that say so, with the place they name. Private.

The words are few and plain (common practice, no source); a wish said otherwise is not found, and nothing is made up.
"""

import datetime as dt
import re
from collections.abc import Iterator, Sequence

from archgen.pieces.overview import PieceOverview
from archgen.records.model import Client, PieceRecord
from archgen.records.vocabulary.placements import find_placement
from archgen.values.frozen import Value

_SENTENCE = re.compile(r"(?<=[.!?;])\s+|\n\s*\n|\n\s*[-*]\s+|\A\s*[-*]\s+")
_MORE = r"(?:an?|another|one more|two|three|four|more|some more|something)"
_WORK = r"to (?:add|extend|continue|finish|cover|fill|connect|join|get|have) (?!it\b|them\b|the photo|a photo|photos)"
_WISH = r"wants?|wishes|would like|(?:s?he|they)['’]d like|hopes?|think(?:s|ing) of|dreams? of|plans?|planning"
_PAPER = r"(?:healed )?(?:photo|picture|copy|receipt|letter|call)\b"
_WISHES = tuple(
    re.compile(pattern, re.IGNORECASE)
    for pattern in (
        rf"\b(?:{_WISH})\b(?: also| now| maybe| for)? (?:{_MORE} (?!{_PAPER})|{_WORK})",
        r"\A(?:next|plan|plans|planned|idea|later|wish)(?: piece| one| time)?\s*:",
        r"\bthe other (?:arm|leg|side|wrist|forearm|calf|thigh|ankle|shoulder|foot|hand)\b.*"
        r"\b(?:next|later|some ?day|spring|summer|autumn|fall|winter)\b",
        r"\b(?:möchte|hätte gern|wünscht sich|will) (?:noch |später |auch )*(?:ein|eine|einen|etwas)\b",
        r"\b(?:veut|voudrait|aimerait|souhaite) (?:aussi |encore )*(?:une?|d['’]autres|ajouter)\b",
        r"\b(?:quiere|quisiera) (?:también |además )*(?:una?|otr[oa]|añadir)\b",
        r"\b(?:vill ha|önskar sig) (?:också |även )*(?:en|ett|fler)\b",
    )
)
_PLACE_WORDS = re.compile(r"\b(?:on|for|round|under|over|above|below|at|along|up)\s+(?:the|his|her|their)\s+([\w -]+)")
_LONGEST_PLACE = 4


class NotedWish(Value, frozen=True):
    """A plan as it is noted.

    Attributes:
        noted: Where: the title of the piece, or None for the register.
        place: The id of the one place it names.
        since: Title of a later piece on that place, which may be what was meant.
    """

    text: str
    day: dt.date | None
    noted: str | None
    place: str | None
    since: str | None


def wishes_of(pieces: Sequence[PieceOverview], client: Client | None) -> tuple[NotedWish, ...]:
    """List what a client was noted to want, the oldest first; `pieces` are theirs."""
    found = [_wish(text, overview, pieces) for overview in pieces for text in _sentences(_texts(overview))]
    register = (client.note, client.notes) if client else ()
    found += [_wish(text, None, pieces) for text in _sentences(text for text in register if text)]
    return tuple(dict.fromkeys(found))


def _texts(overview: PieceOverview) -> Iterator[str]:
    record = overview.record or PieceRecord(title="")
    notes = [overview.piece.notes, record.placement.note]
    for table in (record.sitting, record.healing, record.stencil):
        notes += [one.note for one in table]
    yield from (note for note in notes if note)


def _sentences(texts: Iterator[str]) -> Iterator[str]:
    for text in texts:
        for sentence in _SENTENCE.split(text):
            plain = " ".join(sentence.split()).strip("-*• ")
            if any(pattern.search(plain) for pattern in _WISHES):
                yield plain


def _wish(text: str, overview: PieceOverview | None, pieces: Sequence[PieceOverview]) -> NotedWish:
    day = overview.finished_on if overview else None
    place = _place(text)
    later = (one.title for one in pieces if day and place and _is_on(one, place) and (one.finished_on or day) > day)
    return NotedWish(text, day, overview.title if overview else None, place, next(later, None))


def _place(text: str) -> str | None:
    """Find the one place a sentence names behind "on the"."""
    for match in _PLACE_WORDS.finditer(text):
        words = match[1].split()
        for count in range(min(_LONGEST_PLACE, len(words)), 0, -1):
            reading = find_placement(" ".join(words[:count]))
            if reading.place:
                return reading.place.id
    return None


def _is_on(overview: PieceOverview, place: str) -> bool:
    return overview.record is not None and overview.record.placement.region == place
