"""Find the pieces that a recall cannot rule out, and say what is missing in their records."""

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Sequence

from archgen.languages.house import say, to_say
from archgen.plain_text import words_of
from archgen.records.model import Piece
from archgen.toml.problem import shown
from archgen.tracing.book import BatchBook, BatchEntry, BatchKind, BatchUse, days_of
from archgen.tracing.elsewhere import OpenDays, OtherProducts, open_days
from archgen.values.frozen import Value

# Characters of a field in a sentence.
_LONGEST_QUOTE = 40
_MATERIALS = frozenset({"ink", "needle"})


class Unrecorded(Value, frozen=True):
    """A piece for which nobody can say whether the batch is in it, and why not."""

    piece: Piece
    why: str


class Gaps(Value, frozen=True):
    """The pieces without a match in whose records something is missing.

    Attributes:
        open: Nobody can say whether the batch is in them.
        ruled_out: A number is missing, but something else in the records says that it cannot be this batch.
    """

    open: tuple[Unrecorded, ...]
    ruled_out: tuple[Unrecorded, ...] = ()


def find_gaps(
    book: BatchBook, matches: Sequence[BatchUse], kinds: Sequence[BatchKind], entries: Sequence[BatchEntry]
) -> Gaps:
    """Sort the pieces without a match in which a number of these kinds is missing or in doubt."""
    products = OtherProducts(book, entries, matches)
    days = {
        kind: open_days(
            [entry for entry in entries if entry.kind is kind], [use for use in matches if use.kind is kind]
        )
        for kind in kinds
    }

    def gap(piece: Piece, kind: BatchKind) -> _Gap | None:
        if kind is BatchKind.SUPPLY:
            why = _supply_gap(piece, entries)
            return _Gap(why) if why else None
        return _gap(book, piece, kind, products, days[kind])

    return _without_match(book, matches, lambda piece: [found for kind in kinds if (found := gap(piece, kind))])


def find_product_gaps(
    book: BatchBook, matches: Sequence[BatchUse], kinds: Sequence[BatchKind], wanted: set[str]
) -> Gaps:
    """Sort the pieces without a match in which a product is missing, or recorded with a part of these words only."""
    return _without_match(
        book, matches, lambda piece: [_Gap(why) for kind in kinds for why in _product_gap(book, piece, kind, wanted)]
    )


class _Gap(Value, frozen=True):
    """What is missing, and what rules the batch out all the same."""

    why: str
    ruled_out_by: str | None = None


def _without_match(book: BatchBook, matches: Iterable[BatchUse], gaps_of: Callable[[Piece], list[_Gap]]) -> Gaps:
    answered = {use.piece.id for use in matches}
    still_open, ruled_out = [], []
    for piece in book.catalogue.pieces:
        if piece.id in answered:
            continue
        unread = _not_read(book, piece)
        gaps = [*([_Gap(unread)] if unread else []), *(gaps_of(piece) if piece.record else [])]
        if whys := dict.fromkeys(gap.why for gap in gaps if gap.ruled_out_by is None):
            still_open.append(Unrecorded(piece, "; ".join(whys)))
        elif gaps:
            whys = dict.fromkeys(gap.ruled_out_by for gap in gaps if gap.ruled_out_by)
            ruled_out.append(Unrecorded(piece, "; ".join(whys)))
    return Gaps(tuple(still_open), tuple(ruled_out))


def _not_read(book: BatchBook, piece: Piece) -> str | None:
    """Say what of a record is not read that may name a batch."""
    if piece.record is None:
        return say("the record can't be read")
    if any(finding.code == "record.broken" for finding in book.catalogue.findings_of(piece)):
        return say("some lines of the record can't be read")
    lost = next((one for one in piece.as_written if one.key.split(".")[0] in _MATERIALS), None)
    return say("{text} isn't understood", text=lost.text) if lost else None


def _gap(book: BatchBook, piece: Piece, kind: BatchKind, products: OtherProducts, days: OpenDays) -> _Gap | None:
    uses = [use for use in book.uses_by_piece.get(piece.id, ()) if use.kind is kind]
    doubtful = [use for use in uses if not use.is_certain]
    others = [use for use in doubtful if products.names(use)]
    if uses and not doubtful:
        return None
    why = _missing_numbers([use for use in doubtful if use not in others], kind) if uses else _nothing(kind)
    if not _has_unknown_days(piece) and (outside := days.rules_out(piece)):
        return _Gap(why, outside)
    if others and len(others) == len(doubtful):
        names = dict.fromkeys(use.called for use in others if use.called)
        return _Gap(why, say("{names}: another product", names=say(" and ").join(names)))
    return _Gap(why)


def _has_unknown_days(piece: Piece) -> bool:
    return any(sitting.date is None for sitting in (piece.record.sitting if piece.record else ()))


def _missing_numbers(doubtful: Iterable[BatchUse], kind: BatchKind) -> str:
    no_name = say("an ink without a name") if kind is BatchKind.INK else say("a needle without a name")
    named = dict.fromkeys((use.name or no_name, use.written) for use in doubtful)
    none, reads = to_say("no batch for {names}"), to_say("the batch of {name} reads {written}")
    if kind is BatchKind.STERILISATION:
        none = to_say("no sterilisation batch for {names}")
        reads = to_say("the sterilisation batch of {name} reads {written}")
    silent = [name for name, written in named if written is None]
    parts = [say(none, names=", ".join(silent))] if silent else []
    parts += [
        say(reads, name=name, written=shown(written, _LONGEST_QUOTE)) for name, written in named if written is not None
    ]
    return "; ".join(parts)


def _nothing(kind: BatchKind) -> str:
    return say("no ink is recorded") if kind is BatchKind.INK else say("no needle is recorded")


def _supply_gap(piece: Piece, entries: Iterable[BatchEntry]) -> str | None:
    """Say that a supply, which no record names, was open when the piece was worked on."""
    days, some_unknown = days_of(piece), _has_unknown_days(piece)
    for entry in entries:
        if entry.kind is not BatchKind.SUPPLY:
            continue
        opened, closed = entry.opened or dt.date.min, entry.closed or dt.date.max
        if any(opened <= day <= closed for day in days):
            return (
                say("worked on while {name} was open", name=entry.name)
                if entry.name
                else say("worked on while it was open")
            )
        if not days or some_unknown:
            return say("the day of a sitting is not known") if some_unknown else say("no date is recorded")
    return None


def _product_gap(book: BatchBook, piece: Piece, kind: BatchKind, wanted: set[str]) -> Iterator[str]:
    """Say what is recorded so vaguely that it could be the product."""
    uses = [use for use in book.uses_by_piece.get(piece.id, ()) if use.kind is kind]
    is_ink = kind is BatchKind.INK
    if not uses:
        yield _nothing(kind)
    for use in uses:
        if not use.products:
            yield say("an ink without name and maker") if is_ink else say("a needle without name and maker")
        only = (
            to_say("the ink is recorded only as {text}") if is_ink else to_say("the needle is recorded only as {text}")
        )
        vague = (text for text in use.products if set(words_of(text).split()) < wanted)
        yield from (say(only, text=shown(text, _LONGEST_QUOTE)) for text in vague)
