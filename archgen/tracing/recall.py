"""Answer a recall: who wears a batch, who was told, which bottles are left, and which pieces cannot be ruled out.

Asked by number (of an ink, a box of needles, a sterilisation or another supply) or by product ("all batches").
"""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence

from archgen.plain_text import words_of
from archgen.records.model import Told
from archgen.records.vocabulary.batch_numbers import NEIGHBOURS, Difference, is_same_batch
from archgen.tracing.book import BatchBook, BatchEntry, BatchKind, BatchUse, latest_first
from archgen.tracing.gaps import Gaps, Unrecorded, find_gaps, find_product_gaps
from archgen.values.frozen import Value


class NearBatch(Value, frozen=True):
    """A number that may be a slip of the pen for the one asked for.

    Attributes:
        is_registered: Whether inks.toml knows it as a batch of its own.
    """

    batch: str
    difference: Difference
    is_registered: bool
    kinds: tuple[BatchKind, ...]
    uses: tuple[BatchUse, ...]


class Wearer(Value, frozen=True):
    """Somebody who wears the batch.

    Attributes:
        client: One code for all spellings; None where the piece does not say who wears it.
        spellings: Other ways in which the records write the code.
        told: When and how the person was told; what is dated before the recall does not count.
        is_to_tell: Whether the register calls the batch recalled and nobody told the person.
    """

    client: str | None
    spellings: tuple[str, ...]
    uses: tuple[BatchUse, ...]
    told: tuple[Told, ...]
    is_to_tell: bool


class Trace(Value, frozen=True):
    """The answer.

    Attributes:
        asked: The number, or the product, as it was asked for.
        numbers: The numbers in it as they are shown; none for a product.
        kinds: What the number is the number of; empty when it is not in the archive.
        matches: Its uses, the latest first.
        wearers: The same by person, those who are still to be told first.
        entries: What inks.toml has under the number or product.
        beginnings: The numbers that begin so, when none is the one asked for.
    """

    asked: str
    numbers: tuple[str, ...]
    kinds: tuple[BatchKind, ...]
    matches: tuple[BatchUse, ...]
    wearers: tuple[Wearer, ...]
    entries: tuple[BatchEntry, ...]
    near: tuple[NearBatch, ...]
    beginnings: tuple[NearBatch, ...]
    gaps: Gaps

    @property
    def unrecorded(self) -> tuple[Unrecorded, ...]:
        """Give the pieces for which nobody can say whether the batch is in them."""
        return self.gaps.open

    @property
    def ruled_out(self) -> tuple[Unrecorded, ...]:
        """Give the pieces in whose records a number is missing, and what says that it is not this batch."""
        return self.gaps.ruled_out

    @property
    def by_product(self) -> bool:
        """Say whether a product was asked for."""
        return not self.numbers

    @property
    def open(self) -> tuple[BatchEntry, ...]:
        """Give what is not written down as used up or thrown out."""
        return tuple(entry for entry in self.entries if entry.closed is None)

    @property
    def recalled(self) -> dt.date | None:
        """Give the day of the first recall, as far as the register has one."""
        return min((entry.recalled for entry in self.entries if entry.recalled), default=None)

    @property
    def to_tell(self) -> tuple[Wearer, ...]:
        """Give who is still to be told."""
        return tuple(wearer for wearer in self.wearers if wearer.is_to_tell)

    @property
    def to_check(self) -> tuple[NearBatch, ...]:
        """Give the near numbers that are in no register: their labels are to be looked at."""
        return tuple(near for near in self.near if not near.is_registered)


def trace(book: BatchBook, asked: str, kind: BatchKind | None = None) -> Trace:
    """Find who wears a batch; without a kind all kinds are looked through."""
    numbers = book.read(asked).numbers or (asked,)
    matches = book.uses_of(*numbers, kind=kind)
    entries = book.entries_of(*numbers, kind=kind)
    near = near_batches(book, numbers, kind)
    is_known = bool(matches or entries)
    beginnings = () if is_known else _beginnings(book, numbers, kind)
    begun = {one.batch for one in beginnings}
    kinds = _kinds(matches, entries)
    near_kinds = tuple(dict.fromkeys(kind for one in near for kind in one.kinds))
    gap_kinds = (kind,) if kind else kinds or near_kinds or (BatchKind.INK, BatchKind.NEEDLE)
    return Trace(
        asked=asked,
        numbers=tuple(book.name_of(number) for number in numbers),
        kinds=kinds,
        matches=matches,
        wearers=wearers(book, matches, entries),
        entries=entries,
        near=tuple(one for one in near if one.difference is not Difference.PART or one.batch not in begun),
        beginnings=beginnings,
        gaps=find_gaps(book, matches, gap_kinds, entries),
    )


def trace_product(book: BatchBook, name: str) -> Trace:
    """Find who wears any batch of a product or maker: all words asked for stand in its name or maker."""
    wanted = set(words_of(name).split())
    matches = latest_first(
        use
        for use in book.uses
        if use.kind is not BatchKind.STERILISATION and any(_has_words(wanted, text) for text in use.products)
    )
    entries = tuple(
        entry
        for entry in book.entries
        if entry.kind is not BatchKind.STERILISATION and _has_words(wanted, f"{entry.maker or ''} {entry.name or ''}")
    )
    numbers = {*(use.batch for use in matches if use.batch), *(entry.batch for entry in entries)}
    kinds = _kinds(matches, entries)
    gap_kinds = [kind for kind in kinds if kind is not BatchKind.SUPPLY] or [BatchKind.INK]
    return Trace(
        asked=name,
        numbers=(),
        kinds=kinds,
        matches=matches,
        wearers=wearers(book, matches, entries),
        entries=entries,
        near=near_batches(book, sorted(numbers)),
        beginnings=(),
        gaps=find_product_gaps(book, matches, gap_kinds, wanted),
    )


def recalls(book: BatchBook) -> Iterator[Trace]:
    """Give the trace of every ink the register calls recalled, each number once, in the register's order."""
    done: set[str] = set()
    for entry in book.entries:
        if entry.recalled and entry.batch not in done:
            done.update(book.spellings(entry.batch))
            yield trace(book, entry.batch, BatchKind.INK)


def wearers(book: BatchBook, matches: Iterable[BatchUse], entries: Iterable[BatchEntry]) -> tuple[Wearer, ...]:
    """Put uses together by person, those still to be told first; a piece without a client stands by itself."""
    by_person: dict[tuple[str | None, str], list[BatchUse]] = {}
    for use in matches:
        person = (book.people.code_of(use.client), "") if use.client else (None, use.piece.id)
        by_person.setdefault(person, []).append(use)
    recalled = {
        spelling: entry.recalled for entry in entries if entry.recalled for spelling in book.spellings(entry.batch)
    }
    found = (_wearer(book, client, uses, recalled) for (client, _), uses in by_person.items())
    return tuple(sorted(found, key=lambda wearer: not wearer.is_to_tell))


def _wearer(book: BatchBook, client: str | None, uses: Sequence[BatchUse], recalled: Mapping[str, dt.date]) -> Wearer:
    spellings = sorted({use.client for use in uses if use.client} - {client})
    batches = {use.batch for use in uses if use.batch}
    days = [recalled[batch] for batch in batches if batch in recalled]
    told = tuple(
        told
        for told in (book.told_of(client) if client else ())
        if any(is_same_batch(told.batch, batch) for batch in batches)
        and (told.date is None or min(days, default=dt.date.min) <= told.date <= book.catalogue.built_on)
    )
    return Wearer(client, tuple(spellings), tuple(uses), told, is_to_tell=bool(days) and not told)


def _kinds(uses: Iterable[BatchUse], entries: Iterable[BatchEntry]) -> tuple[BatchKind, ...]:
    found = {use.kind for use in uses} | {entry.kind for entry in entries}
    return tuple(kind for kind in BatchKind if kind in found)


def near_batches(book: BatchBook, numbers: Sequence[str], kind: BatchKind | None = None) -> tuple[NearBatch, ...]:
    """Find the numbers that may be slips of the pen, each once however it is written, those that were used first.

    Batches are numbered one after the other: a neighbour that the register knows is another batch.
    """
    found = {other: difference for number in numbers for other, difference in book.near(number)}
    names = {book.name_of(other): difference for other, difference in sorted(found.items(), reverse=True)}
    near = sorted(_as_near(book, names, numbers, kind), key=lambda one: not one.uses)
    return tuple(one for one in near if not (one.is_registered and one.difference in NEIGHBOURS))


def _beginnings(book: BatchBook, numbers: Sequence[str], kind: BatchKind | None) -> tuple[NearBatch, ...]:
    names = {book.name_of(batch): Difference.PART for number in numbers for batch in book.beginning_with(number)}
    return tuple(_as_near(book, names, numbers, kind))


def _as_near(
    book: BatchBook, found: Mapping[str, Difference], numbers: Sequence[str], kind: BatchKind | None
) -> Iterator[NearBatch]:
    """Say of each number where it was used, without the uses that are those asked for."""
    same = {spelling for number in numbers for spelling in book.spellings(number)}
    for batch in sorted(found):
        uses = tuple(use for use in book.uses_of(batch, kind=kind) if use.batch not in same)
        entries = [entry for entry in book.entries_of(batch, kind=kind) if entry.batch not in same]
        if uses or entries:
            yield NearBatch(batch, found[batch], bool(entries), _kinds(uses, entries), uses)


def _has_words(wanted: set[str], product: str) -> bool:
    return bool(wanted) and wanted <= set(words_of(product).split())
