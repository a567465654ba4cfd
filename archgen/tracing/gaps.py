"""Find the pieces that a recall cannot rule out, and say what is missing in their records."""

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from archgen.plain_text import words_of
from archgen.records.model import Piece
from archgen.toml.problem import shown
from archgen.tracing.book import BatchBook, BatchEntry, BatchKind, BatchUse, days_of

# Characters of a field in a sentence.
_LONGEST_QUOTE = 40
_THINGS = {BatchKind.INK: "ink", BatchKind.NEEDLE: "needle", BatchKind.STERILISATION: "needle"}
_NUMBERS = {BatchKind.INK: "batch", BatchKind.NEEDLE: "batch", BatchKind.STERILISATION: "sterilisation batch"}


@dataclass(frozen=True, slots=True)
class Unrecorded:
    """A piece for which nobody can say whether the batch is in it, and why not."""

    piece: Piece
    why: str


def unrecorded(
    book: BatchBook, matches: Iterable[BatchUse], kinds: Sequence[BatchKind], entries: Sequence[BatchEntry]
) -> tuple[Unrecorded, ...]:
    """List the pieces without a match in which a number of these kinds is missing or in doubt."""
    return _without_match(book, matches, lambda piece: _gaps(book, piece, kinds, entries))


def unrecorded_products(
    book: BatchBook, matches: Iterable[BatchUse], kinds: Sequence[BatchKind], wanted: set[str]
) -> tuple[Unrecorded, ...]:
    """List the pieces without a match in which a product is missing, or recorded with a part of these words only."""
    return _without_match(book, matches, lambda piece: _product_gaps(book, piece, kinds, wanted))


def _without_match(
    book: BatchBook, matches: Iterable[BatchUse], gap: Callable[[Piece], str | None]
) -> tuple[Unrecorded, ...]:
    answered = {use.piece.id for use in matches}
    found = (
        Unrecorded(piece, why)
        for piece in book.catalogue.pieces
        if piece.id not in answered and (why := gap(piece) if piece.record else "the record cannot be read")
    )
    return tuple(found)


def _gaps(book: BatchBook, piece: Piece, kinds: Iterable[BatchKind], entries: Iterable[BatchEntry]) -> str | None:
    reasons = dict.fromkeys(
        why
        for kind in kinds
        if (why := _supply_gap(piece, entries) if kind is BatchKind.SUPPLY else _gap(book, piece, kind))
    )
    return "; ".join(reasons) or None


def _gap(book: BatchBook, piece: Piece, kind: BatchKind) -> str | None:
    uses = [use for use in book.uses_by_piece.get(piece.id, ()) if use.kind is kind]
    if not uses:
        return f"no {_THINGS[kind]} is recorded"
    without = f"an {_THINGS[kind]} without a name"
    doubtful = dict.fromkeys((use.name or without, use.written) for use in uses if not use.is_certain)
    silent = [name for name, written in doubtful if written is None]
    parts = [f"no {_NUMBERS[kind]} for {', '.join(silent)}"] if silent else []
    parts += [
        f"the {_NUMBERS[kind]} of {name} reads {shown(written, _LONGEST_QUOTE)}"
        for name, written in doubtful
        if written is not None
    ]
    return "; ".join(parts) or None


def _supply_gap(piece: Piece, entries: Iterable[BatchEntry]) -> str | None:
    """Say that a supply, which no record names, was open when the piece was worked on."""
    days = days_of(piece)
    for entry in entries:
        opened, closed = entry.opened or dt.date.min, entry.closed or dt.date.max
        if entry.kind is BatchKind.SUPPLY and (not days or any(opened <= day <= closed for day in days)):
            return f"worked on while {entry.name or 'it'} was open" if days else "no date is recorded"
    return None


def _product_gaps(book: BatchBook, piece: Piece, kinds: Iterable[BatchKind], wanted: set[str]) -> str | None:
    reasons = dict.fromkeys(why for kind in kinds for why in _product_gap(book, piece, kind, wanted))
    return "; ".join(reasons) or None


def _product_gap(book: BatchBook, piece: Piece, kind: BatchKind, wanted: set[str]) -> Iterator[str]:
    """Say what is recorded so vaguely that it could be the product."""
    uses = [use for use in book.uses_by_piece.get(piece.id, ()) if use.kind is kind]
    if not uses:
        yield f"no {_THINGS[kind]} is recorded"
    for use in uses:
        if not use.products:
            yield f"an {_THINGS[kind]} without name and maker"
        yield from (
            f"the {_THINGS[kind]} is recorded only as {shown(text, _LONGEST_QUOTE)}"
            for text in use.products
            if set(words_of(text).split()) < wanted
        )
