"""Say what shows that a piece cannot have a recalled batch in it though a number is missing in its record.

Two things the studio wrote down itself do: the ink is named as another product of the register, or nobody worked on the
piece while the batch was open. Both count only as far as they are certain: a name that could be the product's, a day
that is not recorded, or a use outside the days the batch is said to have been open, and the piece stays on the list.
"""

import datetime as dt
from collections.abc import Iterable, Sequence

from archgen.languages.house import say
from archgen.plain_text import words_of
from archgen.records.model import Piece
from archgen.tracing.book import BatchBook, BatchEntry, BatchKind, BatchUse, days_of
from archgen.units import date_words
from archgen.values.frozen import Value


class OpenDays(Value, frozen=True):
    """When a batch was in the studio: from its first bottle's opening to its last one's end; None is not known."""

    opened: dt.date | None
    closed: dt.date | None

    def rules_out(self, piece: Piece) -> str | None:
        """Say in words that a piece was worked on outside these days only; None when it may have been within."""
        days = days_of(piece)
        if days and self.opened and max(days) < self.opened:
            return say("worked on before the batch was opened ({day})", day=date_words(self.opened))
        has_all_days = bool(piece.record and piece.record.sitting)  # an end alone doesn't say when it was begun
        if has_all_days and self.closed and min(days) > self.closed:
            return say("worked on after the batch was used up ({day})", day=date_words(self.closed))
        return None


def open_days(entries: Iterable[BatchEntry], matches: Iterable[BatchUse]) -> OpenDays:
    """Give when a batch was open, as far as the register says so and no use of it says otherwise."""
    entries, used = list(entries), [day for use in matches for day in use.days]
    opened = [entry.opened for entry in entries if entry.opened]
    closed = [entry.closed for entry in entries if entry.closed]
    first = min(opened) if opened and len(opened) == len(entries) else None
    last = max(closed) if closed and len(closed) == len(entries) else None
    if (first and any(day < first for day in used)) or (last and any(day > last for day in used)):
        return OpenDays(None, None)
    return OpenDays(first, last)


class OtherProducts:
    """The inks of the register that are other products than the one asked for."""

    def __init__(self, book: BatchBook, entries: Sequence[BatchEntry], matches: Iterable[BatchUse]) -> None:
        asked = [entry.name for entry in entries if entry.kind is BatchKind.INK]
        used = [text for use in matches if use.kind is BatchKind.INK for text in (use.name, *use.products)]
        # Without a name of its own anything may be the product.
        self._asked = [_words(name) for name in (*asked, *used) if name] if all(asked) and (asked or used) else None
        inks = (entry for entry in book.entries if entry.kind is BatchKind.INK)
        self._registered = {_words(entry.name) for entry in inks if entry.name}

    def names(self, use: BatchUse) -> bool:
        """Say whether an ink is surely another product: named as one, and nothing like the one asked for."""
        if self._asked is None or not use.called:
            return False
        name = _words(use.called)
        return name in self._registered and not any(name <= asked or name > asked for asked in self._asked)


def _words(text: str) -> frozenset[str]:
    return frozenset(words_of(text).split())
