"""What is said of notes on earlier pieces."""

from collections.abc import Sequence

from archgen.languages.house import say
from archgen.quoting.earlier_notes import EarlierNote
from archgen.units import date_words
from archgen.values.frozen import Value


class NearWords(Value, frozen=True):
    """An earlier piece, and what is said of it."""

    piece: str
    title: str
    facts: str


def note_words(notes: Sequence[EarlierNote]) -> tuple[NearWords, ...]:
    """Say what was noted before."""
    return tuple(NearWords(note.piece, note.title, _note(note)) for note in notes)


def _note(note: EarlierNote) -> str:
    day = date_words(note.day) if note.day else ""
    whose = say("this client") if note.is_of_client else ""
    return f"{', '.join(filter(None, (whose, note.what, day)))}: {note.text}"
