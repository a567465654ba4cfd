"""The answer to a recall in words, for the terminal and for paper.

Clients are codes; names and contacts are only added when asked for, since such a list is often passed on.
"""

from collections.abc import Iterable, Sequence

from archgen.languages.house import say, say_count, to_say
from archgen.tracing.book import BatchBook, BatchEntry, BatchUse, days_of
from archgen.tracing.gaps import Unrecorded
from archgen.tracing.recall import NearBatch, Trace, Wearer
from archgen.units import date_words
from archgen.values.frozen import Value
from archgen.wording.batches import (
    DIFFERENCE_WORDS,
    days_words,
    kinds_words,
    pieces_words,
    product_words,
    ruled_out_words,
    to_tell_words,
    told_words,
    wearers_words,
)
from archgen.wording.pieces import day_words, late_mark, place_of

# Why some pieces with a gap in their record stand in no list.
NOT_LISTED = to_say("Not on the list, though a number is missing")


class PieceLine(Value, frozen=True):
    """One piece that a batch is in.

    Attributes:
        batches: The numbers, where another could be meant than the one asked for.
        use: What it was used for; else what it is.
        written: The fields, where they are not simply the number.
    """

    piece: str
    title: str
    client: str
    days: str
    placement: str
    batches: str
    use: str
    written: str
    warning: str


class WearerLine(Value, frozen=True):
    """One person; contact is name and contact, empty unless asked for; how and by are only told with the day.

    Attributes:
        client: Empty where the piece does not say who wears it.
        told: Each time on its own; empty when the person is still to be told.
    """

    client: str
    spellings: str
    contact: str
    pieces: tuple[PieceLine, ...]
    told: tuple[str, ...]


class BottleLine(Value, frozen=True):
    """One bottle, box or other supply that is not used up."""

    batch: str
    product: str
    opened: str
    expires: str


class NearLine(Value, frozen=True):
    """A number that may be meant, what it is a number of, and where it was used."""

    batch: str
    difference: str
    product: str
    used: str
    pieces: tuple[PieceLine, ...]


class GapLine(Value, frozen=True):
    """A piece that cannot be ruled out."""

    piece: str
    title: str
    client: str
    days: str
    why: str


class TraceList(Value, frozen=True):
    """The whole list as words.

    Attributes:
        facts: Product, maker and day of the recall, as far as the register has them.
        summary: One or two sentences with the counts.
        beginnings: Numbers that begin with what was asked for, when it is none itself.
        ruled_out: How many pieces lack a number and why it isn't this batch.
    """

    title: str
    facts: tuple[tuple[str, str], ...]
    summary: str
    read_on: str
    wearers: tuple[WearerLine, ...]
    bottles: tuple[BottleLine, ...]
    near: tuple[NearLine, ...]
    beginnings: tuple[NearLine, ...]
    unrecorded: tuple[GapLine, ...]
    ruled_out: tuple[str, ...]


class _Names(Value, frozen=True):
    """What is shown of a client."""

    book: BatchBook
    with_names: bool

    def contact(self, code: str | None) -> str:
        person = self.book.catalogue.clients.get(self.book.people.code_of(code)) if code and self.with_names else None
        return ", ".join(text for text in (person.name, person.contact) if text) if person else ""

    def client(self, code: str | None) -> str:
        shown = self.book.people.code_of(code) if code else None
        return ", ".join(text for text in (shown, self.contact(code)) if text)


def trace_list(trace: Trace, book: BatchBook, *, with_names: bool = False) -> TraceList:
    """Write the answer in words."""
    names = _Names(book, with_names)
    return TraceList(
        title=_title(trace),
        facts=tuple(_facts(trace)),
        summary=_summary(trace),
        read_on=date_words(book.catalogue.built_on),
        wearers=tuple(_wearer(wearer, trace, names) for wearer in trace.wearers),
        bottles=tuple(_bottle(entry) for entry in trace.open),
        near=tuple(_near(near, names) for near in trace.near),
        beginnings=tuple(_near(near, names) for near in trace.beginnings),
        unrecorded=tuple(_gap(gap, names) for gap in trace.unrecorded),
        ruled_out=ruled_out_words(trace),
    )


def _title(trace: Trace) -> str:
    if trace.by_product:
        return say("All batches of {asked}", asked=trace.asked)
    return f"{kinds_words(trace.kinds)} {', '.join(trace.numbers)}"


def _facts(trace: Trace) -> list[tuple[str, str]]:
    recalls = [(entry.batch, date_words(entry.recalled)) for entry in trace.entries if entry.recalled]
    facts = [
        (say("Product"), _each(entry.name for entry in trace.entries)),
        (say("Maker"), _each(entry.maker for entry in trace.entries)),
        (say("Recalled"), _each(f"{batch}, {day}" if trace.by_product else day for batch, day in recalls)),
    ]
    return [(label, text) for label, text in facts if text]


def _each(texts: Iterable[str | None]) -> str:
    return ", ".join(dict.fromkeys(text for text in texts if text))


def _summary(trace: Trace) -> str:
    if trace.matches:
        used = say(
            "Used on {pieces}: {wearers}.", pieces=pieces_words(trace.matches), wearers=wearers_words(trace.wearers)
        )
        return " ".join(text for text in (used, to_tell_words(trace)) if text)
    is_product = trace.by_product
    if trace.entries:
        known = say("This product is in inks.toml and in no piece.")
        return known if is_product else say("This number is in inks.toml and in no piece.")
    nowhere = say("This product is in no record.") if is_product else say("This number is in no record.")
    if not trace.beginnings:
        return nowhere
    begin = say_count(
        "{number} number in your records begins like it.",
        "{number} numbers in your records begin like it.",
        len(trace.beginnings),
    )
    return f"{nowhere} {begin}"


def _wearer(wearer: Wearer, trace: Trace, names: _Names) -> WearerLine:
    return WearerLine(
        client=wearer.client or "",
        spellings=", ".join(wearer.spellings),
        contact=names.contact(wearer.client),
        pieces=_pieces(wearer.uses, names, trace.numbers),
        told=tuple(told_words(told) for told in wearer.told),
    )


def _pieces(uses: Iterable[BatchUse], names: _Names, numbers: Sequence[str]) -> tuple[PieceLine, ...]:
    """Write one line for each piece, with all its uses."""
    by_piece: dict[str, list[BatchUse]] = {}
    for use in uses:
        by_piece.setdefault(use.piece.id, []).append(use)
    return tuple(_piece(found, names, numbers) for found in by_piece.values())


def _piece(uses: Sequence[BatchUse], names: _Names, numbers: Sequence[str]) -> PieceLine:
    piece = uses[0].piece
    batches = [names.book.name_of(use.batch) if use.batch else say("batch not recorded") for use in uses]
    return PieceLine(
        piece=piece.id,
        title=piece.title,
        client=names.client(uses[0].client),
        days=days_words(uses[0].days),
        placement=place_of(piece) or "",
        batches=_each(batches) if len(numbers) != 1 else "",
        use=_each(use.use or product_words(use.maker, use.name) for use in uses),
        written=_each(use.written for use in uses if use.written not in batches),
        warning=late_mark().words if any(use.was_late for use in uses) else "",
    )


def _bottle(entry: BatchEntry) -> BottleLine:
    return BottleLine(
        batch=entry.batch,
        product=product_words(entry.maker, entry.name),
        opened=day_words(entry.opened) or "",
        expires=day_words(entry.expiry) or "",
    )


def _near(near: NearBatch, names: _Names) -> NearLine:
    known = names.book.entries_of(near.batch) or near.uses
    return NearLine(
        batch=near.batch,
        difference=say(DIFFERENCE_WORDS[near.difference]),
        product=_each(product_words(one.maker, one.name) for one in known),
        used=say("used on {pieces}", pieces=pieces_words(near.uses)) if near.uses else say("not used"),
        pieces=_pieces(near.uses, names, (near.batch,)),
    )


def _gap(gap: Unrecorded, names: _Names) -> GapLine:
    client = names.client(gap.piece.record.client if gap.piece.record else None)
    return GapLine(gap.piece.id, gap.piece.title, client, days_words(days_of(gap.piece)), gap.why)
