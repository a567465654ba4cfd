"""Answer a recall: which lots went into whom, which bottles of them are left, and which pieces cannot be answered for.

Asked by number (of an ink batch, a needle lot or a sterilisation lot) or by product ("all lots"). How numbers are
compared stands in records.lots. Knows records, not pages; a lot is private wherever it is shown.
"""

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import cached_property

from archgen.catalogue import Catalogue
from archgen.plain_text import words_of
from archgen.records.model import InkBatch, Piece, PieceRecord
from archgen.records.vocabulary.lots import LotIndex


class LotKind(Enum):
    """What a number is the number of."""

    INK = "ink"
    NEEDLE = "needle"
    STERILISATION = "sterilisation"


@dataclass(frozen=True, slots=True)
class LotUse:
    """One lot in one piece; lot is None where only the product was written down."""

    piece: Piece
    kind: LotKind
    lot: str | None
    name: str | None
    maker: str | None
    use: str | None
    expiry: dt.date | None

    @property
    def day(self) -> dt.date | None:
        """Give the day the piece was finished."""
        return self.piece.record.finished_on if self.piece.record else None

    @property
    def was_late(self) -> bool:
        """Say whether it was past its date when it was used."""
        return self.piece.record is not None and self.piece.record.was_late(self.expiry)

    @property
    def client(self) -> str | None:
        """Give the client's code."""
        return self.piece.record.client if self.piece.record else None


@dataclass(frozen=True, slots=True)
class NearLot:
    """A number that may be a slip of the pen for the one asked for."""

    lot: str
    difference: str
    kinds: tuple[LotKind, ...]
    uses: tuple[LotUse, ...]


@dataclass(frozen=True, slots=True)
class Unrecorded:
    """A piece for which nobody can say whether the lot is in it, and why not."""

    piece: Piece
    why: str


@dataclass(frozen=True, slots=True)
class Trace:
    """The answer.

    Attributes:
        asked: The number, or the product, as it was asked for.
        by_product: Whether it was a product.
        kinds: What the number is the number of; empty when it is not in the archive.
        matches: Its uses, the latest first.
        open: Bottles of inks.toml that are not written down as used up.
    """

    asked: str
    by_product: bool
    kinds: tuple[LotKind, ...]
    matches: tuple[LotUse, ...]
    near: tuple[NearLot, ...]
    open: tuple[InkBatch, ...]
    unrecorded: tuple[Unrecorded, ...]


@dataclass(frozen=True)
class LotBook:
    """All lots of an archive, ready to be asked again and again."""

    catalogue: Catalogue

    @cached_property
    def uses(self) -> tuple[LotUse, ...]:
        """List every ink and needle of every piece."""
        found = (
            use
            for piece in self.catalogue.pieces
            if piece.record
            for use in (*_inks(piece, piece.record, self.catalogue), *_needles(piece, piece.record))
        )
        return tuple(found)

    @cached_property
    def uses_by_lot(self) -> dict[str, list[LotUse]]:
        """Sort the uses by the number as written."""
        found: dict[str, list[LotUse]] = {}
        for use in self.uses:
            if use.lot:
                found.setdefault(use.lot, []).append(use)
        return found

    @cached_property
    def numbers(self) -> tuple[str, ...]:
        """List all numbers as written, of pieces and of the register."""
        return tuple(sorted(self.uses_by_lot.keys() | self.catalogue.inks.keys()))

    @cached_property
    def _index(self) -> LotIndex:
        return LotIndex(self.numbers)

    def spellings(self, number: str) -> tuple[str, ...]:
        """Give how a number is written in the archive."""
        return self._index.same(number)

    def near(self, number: str) -> tuple[tuple[str, str], ...]:
        """Give the numbers that may be meant, each with the difference."""
        return self._index.near(number)

    def uses_of(self, number: str) -> tuple[LotUse, ...]:
        """Give the uses of a number, however written, the latest first."""
        return _latest_first(use for text in self.spellings(number) for use in self.uses_by_lot.get(text, ()))

    def bottles(self, number: str) -> tuple[InkBatch, ...]:
        """Give the bottles of the register with this number, however written."""
        inks = self.catalogue.inks
        return tuple(inks[text] for text in self.spellings(number) if text in inks)


def trace(catalogue: Catalogue, number: str, kind: LotKind | None = None) -> Trace:
    """Find who wears a lot; without a kind all kinds are looked through."""
    book = LotBook(catalogue)
    matches = tuple(use for use in book.uses_of(number) if kind in (None, use.kind))
    bottles = book.bottles(number) if kind in (None, LotKind.INK) else ()
    kinds = _kinds(matches, bottles)
    asked_kinds = (kind,) if kind else kinds or (LotKind.INK, LotKind.NEEDLE)
    return Trace(
        asked=number,
        by_product=False,
        kinds=kinds,
        matches=matches,
        near=tuple(near for near in _near(book, number) if kind is None or kind in near.kinds),
        open=_open(bottles),
        unrecorded=_unrecorded(catalogue, matches, lambda _, record: _gap_of_kinds(record, asked_kinds)),
    )


def trace_product(catalogue: Catalogue, name: str) -> Trace:
    """Find who wears any lot of a product or maker: all words asked for stand in its name or maker."""
    book = LotBook(catalogue)
    matches = _latest_first(use for use in book.uses if _is_product(name, use.name, use.maker))
    bottles = tuple(batch for batch in catalogue.inks.values() if _is_product(name, batch.name, batch.maker))
    nameless = {use.piece.id for use in book.uses if use.kind is LotKind.INK and not (use.name or use.maker)}
    return Trace(
        asked=name,
        by_product=True,
        kinds=_kinds(matches, bottles),
        matches=matches,
        near=(),
        open=_open(bottles),
        unrecorded=_unrecorded(catalogue, matches, lambda piece, record: _product_gap(piece, record, nameless)),
    )


def _inks(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[LotUse]:
    for ink in map(catalogue.described, record.ink):
        yield LotUse(piece, LotKind.INK, ink.batch, ink.name, ink.maker, ink.use, ink.expiry)


def _needles(piece: Piece, record: PieceRecord) -> Iterator[LotUse]:
    for needle in record.needle:
        lots = ((LotKind.NEEDLE, needle.batch), (LotKind.STERILISATION, needle.sterilisation))
        for kind, lot in lots:
            # A label often has one lot for both.
            if lot or kind is LotKind.NEEDLE:
                yield LotUse(piece, kind, lot, needle.code, None, needle.use, needle.expiry)


def _latest_first(uses: Iterable[LotUse]) -> tuple[LotUse, ...]:
    return tuple(sorted(uses, key=lambda use: (-use.day.toordinal() if use.day else 0, use.piece.id)))


def _kinds(uses: Iterable[LotUse], bottles: Sequence[InkBatch]) -> tuple[LotKind, ...]:
    found = {use.kind for use in uses} | ({LotKind.INK} if bottles else set())
    return tuple(kind for kind in LotKind if kind in found)


def _open(bottles: Iterable[InkBatch]) -> tuple[InkBatch, ...]:
    return tuple(batch for batch in bottles if batch.closed is None)


def _near(book: LotBook, number: str) -> Iterator[NearLot]:
    for lot, difference in book.near(number):
        uses = _latest_first(book.uses_by_lot.get(lot, ()))
        bottles = [batch for key, batch in book.catalogue.inks.items() if key == lot]
        yield NearLot(lot, difference, _kinds(uses, bottles), uses)


def _is_product(asked: str, name: str | None, maker: str | None) -> bool:
    wanted = words_of(asked).split()
    return bool(wanted) and set(wanted) <= set(words_of(f"{maker or ''} {name or ''}").split())


def _unrecorded(
    catalogue: Catalogue, matches: Iterable[LotUse], gap: Callable[[Piece, PieceRecord], str | None]
) -> tuple[Unrecorded, ...]:
    """List the pieces without a match about which nobody can say anything, by what `gap` finds missing."""
    answered = {use.piece.id for use in matches}
    found = (
        Unrecorded(piece, why)
        for piece in catalogue.pieces
        if piece.id not in answered
        and (why := gap(piece, piece.record) if piece.record else "the record cannot be read")
    )
    return tuple(found)


def _gap_of_kinds(record: PieceRecord, kinds: Iterable[LotKind]) -> str | None:
    reasons = dict.fromkeys(why for kind in kinds if (why := _gap(record, kind)))
    return "; ".join(reasons) or None


def _gap(record: PieceRecord, kind: LotKind) -> str | None:
    if kind is LotKind.INK:
        without = [ink.name or "an ink without a name" for ink in record.ink if not ink.batch]
        return _gap_words("ink", "batch", bool(record.ink), without)
    if kind is LotKind.NEEDLE:
        without = [needle.code for needle in record.needle if not needle.batch]
        return _gap_words("needle", "lot", bool(record.needle), without)
    without = [needle.code for needle in record.needle if not needle.sterilisation]
    return _gap_words("needle", "sterilisation lot", bool(record.needle), without)


def _gap_words(thing: str, number: str, has_any: bool, without: Sequence[str]) -> str | None:
    if not has_any:
        return f"no {thing} is recorded"
    return f"no {number} for {', '.join(dict.fromkeys(without))}" if without else None


def _product_gap(piece: Piece, record: PieceRecord, nameless: set[str]) -> str | None:
    if not record.ink:
        return "no ink is recorded"
    return "an ink without name and maker" if piece.id in nameless else None
