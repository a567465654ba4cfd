"""Every batch number of an archive: where it was used, and what the registers say of it.

How numbers are read and compared stands in records.vocabulary. Knows records, not pages; a batch is private wherever it
is shown.
"""

import datetime as dt
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from enum import Enum
from functools import cached_property
from typing import Any, TypeVar

from archgen.catalogue import Catalogue
from archgen.records.model import Box, Ink, Needle, Piece, PieceRecord, Told
from archgen.records.people import People
from archgen.records.vocabulary.batch_fields import BatchField, read_batch_field
from archgen.records.vocabulary.batch_numbers import BatchIndex, Difference
from archgen.values.frozen import Value

T = TypeVar("T")


class BatchKind(Enum):
    """What a number is the number of."""

    INK = "ink"
    NEEDLE = "needle"
    STERILISATION = "sterilisation"
    SUPPLY = "supply"


class BatchEntry(Value, frozen=True):
    """What inks.toml says of a number: a bottle, a box of needles or another supply."""

    kind: BatchKind
    batch: str
    name: str | None
    maker: str | None
    opened: dt.date | None
    closed: dt.date | None
    expiry: dt.date | None = None
    recalled: dt.date | None = None


class BatchUse(Value, frozen=True):
    """One batch in one piece.

    Attributes:
        batch: None where no number is written down.
        written: The whole field; None when it is empty or the number is the register's.
        is_certain: Whether no other batch than those written can be meant.
        name, maker: As the record says, else as the register knows the number.
        products: The words of name and maker, of the record and of the register, by which it can be asked for.
        days: Of all sittings in order, else the day the piece was finished.
        called: What the record itself calls it, whatever the number.
    """

    piece: Piece
    kind: BatchKind
    batch: str | None
    written: str | None
    is_certain: bool
    name: str | None
    maker: str | None
    products: tuple[str, ...]
    use: str | None
    expiry: dt.date | None
    days: tuple[dt.date, ...]
    called: str | None = None

    @property
    def last_day(self) -> dt.date | None:
        """Give the last of the days."""
        return self.days[-1] if self.days else None

    @property
    def was_late(self) -> bool:
        """Say whether it was past its date when it was used."""
        return self.piece.record is not None and self.piece.record.was_late(self.expiry)

    @property
    def client(self) -> str | None:
        """Give the client's code as the record spells it."""
        return self.piece.record.client if self.piece.record else None


@dataclass(frozen=True)
class BatchBook:
    """All batches of an archive, ready to be asked again and again."""

    catalogue: Catalogue

    @cached_property
    def entries(self) -> tuple[BatchEntry, ...]:
        """List everything in inks.toml that has a number."""
        inks = (
            BatchEntry(BatchKind.INK, one.batch, one.name, one.maker, one.opened, one.closed, one.expiry, one.recalled)
            for one in self.catalogue.inks.values()
        )
        boxes = (
            BatchEntry(kind, number, box.code, None, box.opened, box.closed, box.expiry)
            for box in self.catalogue.boxes
            for kind, number in ((BatchKind.NEEDLE, box.batch), (BatchKind.STERILISATION, box.sterilisation))
            if number
        )
        supplies = (
            BatchEntry(BatchKind.SUPPLY, one.batch, one.name, one.maker, one.opened, one.closed)
            for one in self.catalogue.supplies
            if one.batch
        )
        return (*inks, *boxes, *supplies)

    @cached_property
    def uses(self) -> tuple[BatchUse, ...]:
        """List every ink and needle of every piece, once for each number; a needle's sterilisation stands by itself."""
        return tuple(use for piece in self.catalogue.pieces if piece.record for use in self._uses(piece, piece.record))

    def _uses(self, piece: Piece, record: PieceRecord) -> Iterator[BatchUse]:
        days = days_of(piece)
        for ink in record.ink:
            yield from self._ink(piece, ink, days)
        for needle in record.needle:
            yield from self._needle(piece, needle, days)

    def _ink(self, piece: Piece, ink: Ink, days: tuple[dt.date, ...]) -> Iterator[BatchUse]:
        field = self.read(ink.batch)
        for number in field.numbers or (None,):
            known = self.catalogue.bottle(number)
            products = [(ink.maker, ink.name)] + ([(known.maker, known.name)] if known else [])
            yield BatchUse(
                piece=piece,
                kind=BatchKind.INK,
                batch=number,
                written=ink.batch,
                is_certain=field.is_certain,
                name=ink.name or (known.name if known else None),
                maker=ink.maker or (known.maker if known else None),
                products=tuple(text for pair in products if (text := " ".join(filter(None, pair)))),
                use=ink.use,
                expiry=ink.expiry or (known.expiry if known else None),
                days=days,
                called=ink.name,
            )

    def _needle(self, piece: Piece, needle: Needle, days: tuple[dt.date, ...]) -> Iterator[BatchUse]:
        box = self.box(needle.batch)
        sterilisation = needle.sterilisation or (box.sterilisation if box else None)
        fields = ((BatchKind.NEEDLE, needle.batch), (BatchKind.STERILISATION, sterilisation))
        for kind, text in fields:
            field = self.read(text)
            for number in field.numbers or (None,):
                yield BatchUse(
                    piece=piece,
                    kind=kind,
                    batch=number,
                    written=text,
                    is_certain=field.is_certain,
                    name=needle.code,
                    maker=None,
                    products=(needle.code,) if needle.code else (),
                    use=needle.use,
                    expiry=needle.expiry or (box.expiry if box else None),
                    days=days,
                )

    def read(self, text: str | None) -> BatchField:
        """Read a field for a number; what the register has exactly so is one number."""
        if text is None:
            return BatchField((), is_certain=False)
        return BatchField((text,), is_certain=True) if text in self.entries_by_batch else read_batch_field(text)

    def box(self, number: str | None) -> Box | None:
        """Give the box of needles a number stands on."""
        field = self.read(number)
        found = (self._boxes.get(spelling) for one in field.numbers for spelling in self._register_index.same(one))
        return next((box for box in found if box), None)

    @cached_property
    def _boxes(self) -> dict[str, Box]:
        return {box.batch: box for box in reversed(self.catalogue.boxes) if box.batch}

    @cached_property
    def _register_index(self) -> BatchIndex:
        return BatchIndex(self.entries_by_batch)

    @cached_property
    def uses_by_batch(self) -> dict[str, list[BatchUse]]:
        """Sort the uses by the number as written."""
        found: dict[str, list[BatchUse]] = {}
        for use in self.uses:
            if use.batch:
                found.setdefault(use.batch, []).append(use)
        return found

    @cached_property
    def entries_by_batch(self) -> dict[str, list[BatchEntry]]:
        """Sort what the register has by the number as written."""
        found: dict[str, list[BatchEntry]] = {}
        for entry in self.entries:
            found.setdefault(entry.batch, []).append(entry)
        return found

    @cached_property
    def uses_by_piece(self) -> dict[str, list[BatchUse]]:
        """Sort the uses by the id of their piece."""
        found: dict[str, list[BatchUse]] = {}
        for use in self.uses:
            found.setdefault(use.piece.id, []).append(use)
        return found

    @cached_property
    def numbers(self) -> tuple[str, ...]:
        """List all numbers as written, of pieces and of the register."""
        return tuple(sorted(self.uses_by_batch.keys() | self.entries_by_batch.keys()))

    @property
    def people(self) -> People:
        """Give who is who among the clients."""
        return self.catalogue.people

    @cached_property
    def _index(self) -> BatchIndex:
        return BatchIndex(self.numbers)

    @cached_property
    def _answers(self) -> dict[tuple[object, ...], Any]:
        """Keep what was asked of a number: numbers follow each other, and each is near to dozens."""
        return {}

    def _asked(self, find: Callable[..., T], *about: object) -> T:
        key = (find.__name__, *about)
        if key not in self._answers:
            self._answers[key] = find(*about)
        found: T = self._answers[key]
        return found

    def spellings(self, number: str) -> tuple[str, ...]:
        """Give how a number is written in the archive."""
        return self._asked(self._index.same, number)

    def name_of(self, number: str) -> str:
        """Give the spelling a number is shown under: the register's, else the commonest, else this one."""
        return self._asked(self._name_of, number)

    def _name_of(self, number: str) -> str:

        def rank(text: str) -> tuple[bool, int, str]:
            return text not in self.entries_by_batch, -len(self.uses_by_batch.get(text, ())), text

        return min(self.spellings(number), key=rank, default=number)

    def near(self, number: str) -> tuple[tuple[str, Difference], ...]:
        """Give the numbers that may be meant, each with the difference."""
        return self._index.near(number)

    def beginning_with(self, start: str) -> tuple[str, ...]:
        """Give the numbers that begin so."""
        return self._index.beginning_with(start)

    def uses_of(self, *numbers: str, kind: BatchKind | None = None) -> tuple[BatchUse, ...]:
        """Give the uses of any of these numbers, however written, the latest first."""
        return self._asked(self._uses_of, numbers, kind)

    def _uses_of(self, numbers: tuple[str, ...], kind: BatchKind | None) -> tuple[BatchUse, ...]:
        same = {spelling for number in numbers for spelling in self.spellings(number)}
        found = (use for text in sorted(same) for use in self.uses_by_batch.get(text, ()))
        return latest_first(use for use in found if kind in (None, use.kind))

    def entries_of(self, *numbers: str, kind: BatchKind | None = None) -> tuple[BatchEntry, ...]:
        """Give what the register has under any of these numbers, however written."""
        return self._asked(self._entries_of, numbers, kind)

    def _entries_of(self, numbers: tuple[str, ...], kind: BatchKind | None) -> tuple[BatchEntry, ...]:
        same = {spelling for number in numbers for spelling in self.spellings(number)}
        found = (entry for text in sorted(same) for entry in self.entries_by_batch.get(text, ()))
        return tuple(entry for entry in found if kind in (None, entry.kind))

    def told_of(self, client: str) -> tuple[Told, ...]:
        """Give what a client was told, in the order of the file."""
        return tuple(self._told.get(client, ()))

    @cached_property
    def _told(self) -> dict[str, list[Told]]:
        found: dict[str, list[Told]] = {}
        for told in self.catalogue.told:
            found.setdefault(self.people.code_of(told.client), []).append(told)
        return found


def days_of(piece: Piece) -> tuple[dt.date, ...]:
    """Give the days of all sittings in order, else the day the piece was finished."""
    if piece.record is None:
        return ()
    days = sorted({sitting.date for sitting in piece.record.sitting if sitting.date})
    return tuple(days) or ((piece.record.finished,) if piece.record.finished else ())


def latest_first(uses: Iterable[BatchUse]) -> tuple[BatchUse, ...]:
    """Sort uses by their last day, the undated at the end."""
    return tuple(sorted(uses, key=lambda use: (-(use.last_day or dt.date.min).toordinal(), use.piece.id)))
