"""The batches of inks and needles: an index, and for each on whose skin it went and who was told of its recall."""

import datetime as dt
from collections.abc import Iterator, Sequence
from shlex import join as command_line

from archgen.languages.house import say
from archgen.outputs.archive.context import Context, PieceOnBatch, Site, pieces_words
from archgen.outputs.archive.list_scripts import ScriptedRows
from archgen.outputs.site_pages import PageTurns
from archgen.tracing.book import BatchEntry, BatchUse
from archgen.tracing.gaps import Unrecorded
from archgen.tracing.recall import NearBatch, Trace, Wearer, near_batches, wearers
from archgen.units import date_words
from archgen.values.frozen import Value
from archgen.wording.batches import (
    DIFFERENCE_WORDS,
    kinds_words,
    ruled_out_words,
    to_tell_words,
    told_words,
    wearers_words,
)
from archgen.wording.pieces import Mark, day_words, late_mark, place_of


class BatchRow(Value, frozen=True):
    """One line of the index."""

    batch: str
    href: str
    kind: str
    name: str
    pieces: str
    last_used: str
    expiry: str
    marks: tuple[Mark, ...]


class BatchListView(Value, frozen=True):
    """A page of all batches: recalled ones first, then the latest used; parts as in the index of clients."""

    site: Site
    rows: tuple[BatchRow, ...]
    turns: PageTurns
    total: int
    parts: tuple[str, ...]


class Traced(Value, frozen=True):
    """One line of "On whose skin"; written is how the piece spells the number when it is not spelt alike.

    Attributes:
        told: When and how the client was told of the recall, each time on its own.
    """

    piece: PieceOnBatch
    placement: str
    use: str
    written: str
    mark: Mark | None
    told: tuple[str, ...]


class Similar(Value, frozen=True):
    """A number that may be a slip of the pen for this one; asks: its label is to be looked at because of a recall."""

    batch: str
    href: str
    difference: str
    asks: bool
    pieces: tuple[PieceOnBatch, ...]


class Open(Value, frozen=True):
    """A piece that a recall cannot rule out, and why."""

    piece: PieceOnBatch
    why: str


class RecallView(Value, frozen=True):
    """What a recall asks for.

    Attributes:
        asks: Whether somebody is still to be told.
        summary: On how many it was used until that day and after it.
        ruled_out: How many pieces lack a number and why it isn't this batch.
        commands: What is typed to print the list and to write down that somebody was told.
    """

    words: str
    asks: bool
    summary: str
    open: tuple[Open, ...]
    ruled_out: tuple[str, ...]
    commands: tuple[tuple[str, str], ...]


class BatchView(Value, frozen=True):
    """The page of a batch; recall is None where none is recorded."""

    site: Site
    batch: str
    kind: str
    name: str
    recall: RecallView | None
    traced: tuple[Traced, ...]
    similar: tuple[Similar, ...]
    cells: tuple[tuple[str, str], ...]
    clients: int
    pieces: int
    note: str


def batch_rows(context: Context) -> tuple[BatchRow, ...]:
    """Make a line for each batch, recalled ones first, then the latest used."""
    rows = [(_order(context, batch), _row(context, batch)) for batch in context.batches]
    return tuple(row for _, row in sorted(rows, key=lambda row: row[0]))


def batch_index(
    context: Context, listed: ScriptedRows[BatchRow], rows: Sequence[BatchRow], turns: PageTurns
) -> BatchListView:
    """Make a page of the index."""
    return BatchListView(context.site, tuple(rows), turns, len(listed.rows), listed.part_paths)


def _order(context: Context, batch: str) -> tuple[bool, int, str]:
    last = _last_day(context.book.uses_of(batch))
    return batch not in context.recalls, -last.toordinal() if last else 0, batch


def _row(context: Context, batch: str) -> BatchRow:
    uses, entries = context.book.uses_of(batch), context.book.entries_of(batch)
    marks = [recall_mark(recall)] if (recall := context.recalls.get(batch)) else []
    if late := sum(use.was_late for use in uses):
        marks.append(Mark("check-ask", say("Past its date on {pieces}", pieces=pieces_words(late)), asks=True))
    pieces = len({use.piece.id for use in uses})
    return BatchRow(
        batch=batch,
        href=context.batch_pages[batch],
        kind=_kind(uses, entries),
        name=_name(uses, entries),
        pieces=pieces_words(pieces) if pieces else say("not used"),
        last_used=day_words(_last_day(uses)) or "",
        expiry=day_words(_expiry(uses, entries)) or "",
        marks=tuple(marks),
    )


def recall_mark(recall: Trace) -> Mark:
    """Say when a batch was recalled and how many are to be told; it asks for something until everybody was."""
    words = say("Recalled {day}", day=date_words(recall.recalled)) if recall.recalled else say("Recalled")
    if recall.to_tell:
        words = say("{recalled}: {who} to tell", recalled=words, who=wearers_words(recall.to_tell))
    return Mark("check-stop", words, asks=bool(recall.to_tell or recall.to_check))


def _last_day(uses: Sequence[BatchUse]) -> dt.date | None:
    return max((use.last_day for use in uses if use.last_day), default=None)


def _kind(uses: Sequence[BatchUse], entries: Sequence[BatchEntry]) -> str:
    kinds = dict.fromkeys([*(entry.kind for entry in entries), *(use.kind for use in uses)])
    return kinds_words(tuple(kinds))


def _name(uses: Sequence[BatchUse], entries: Sequence[BatchEntry]) -> str:
    names = [*(entry.name for entry in entries), *(use.name for use in uses)]
    return next(filter(None, names), "")


def _expiry(uses: Sequence[BatchUse], entries: Sequence[BatchEntry]) -> dt.date | None:
    days = [*(entry.expiry for entry in entries), *(use.expiry for use in uses)]
    return next(filter(None, days), None)


def batch_view(context: Context, batch: str) -> BatchView:
    """Make the page of one batch."""
    book = context.book
    uses, entries = book.uses_of(batch), book.entries_of(batch)
    recall = context.recalls.get(batch)
    people = wearers(book, uses, entries)
    bottle = context.catalogue.bottle(batch)
    return BatchView(
        site=context.site,
        batch=batch,
        kind=_kind(uses, entries),
        name=_name(uses, entries),
        recall=_recall(context, batch, recall) if recall else None,
        traced=tuple(_traced(context, batch, wearer, use) for use, wearer in _latest_first(people)),
        similar=tuple(_similar(context, batch, near_batches(book, [batch]), recall)),
        cells=tuple(_cells(uses, entries)),
        clients=sum(wearer.client is not None for wearer in people),
        pieces=len({use.piece.id for use in uses}),
        note=(bottle.note or "") if bottle else "",
    )


def _cells(uses: Sequence[BatchUse], entries: Sequence[BatchEntry]) -> Iterator[tuple[str, str]]:
    days = [day for use in uses for day in use.days]
    cells = (
        (say("Maker"), next((entry.maker for entry in entries if entry.maker), None)),
        (say("Opened"), day_words(min((entry.opened for entry in entries if entry.opened), default=None))),
        (say("Expires"), day_words(_expiry(uses, entries))),
        (say("Used up"), day_words(max((entry.closed for entry in entries if entry.closed), default=None))),
        (say("First used"), day_words(min(days, default=None))),
        (say("Last used"), day_words(max(days, default=None))),
    )
    yield from ((label, text) for label, text in cells if text)


def _latest_first(people: Sequence[Wearer]) -> list[tuple[BatchUse, Wearer]]:
    pairs = [(use, wearer) for wearer in people for use in wearer.uses]
    return sorted(pairs, key=lambda pair: (-pair[0].last_day.toordinal() if pair[0].last_day else 0, pair[0].piece.id))


def _recall(context: Context, batch: str, recall: Trace) -> RecallView:
    day = recall.recalled or context.catalogue.built_on
    before = [wearer for wearer in recall.wearers if any(use.days == () or use.days[0] <= day for use in wearer.uses)]
    after = [wearer for wearer in recall.wearers if any(use.last_day and use.last_day > day for use in wearer.uses)]
    client = next((wearer.client for wearer in recall.to_tell if wearer.client), None)
    commands = [(say("To print the list with names"), ["--names", "--save", "recall.pdf"])] if recall.wearers else []
    if client:
        commands.append((say("To write down that a client was told"), ["--told", client, "--how", "phone"]))
    return RecallView(
        words=" ".join(text for text in (f"Recalled {date_words(day)}.", to_tell_words(recall)) if text),
        asks=bool(recall.to_tell),
        summary=say(
            "Used on {before} until that day, on {after} after it.",
            before=wearers_words(before),
            after=wearers_words(after),
        ),
        open=tuple(_open(context, gap) for gap in recall.unrecorded),
        ruled_out=ruled_out_words(recall),
        commands=tuple((what, command_line(["archgen", "trace", batch, *options])) for what, options in commands),
    )


def _traced(context: Context, batch: str, wearer: Wearer, use: BatchUse) -> Traced:
    return Traced(
        piece=context.on_batches[use.piece.id],
        placement=place_of(use.piece) or "",
        use=use.use or "",
        written=use.written if use.written and use.written != batch else "",
        mark=late_mark() if use.was_late else None,
        told=tuple(told_words(told) for told in wearer.told),
    )


def _similar(context: Context, batch: str, near: Sequence[NearBatch], recall: Trace | None) -> Iterator[Similar]:
    to_check = {one.batch for one in recall.to_check} if recall else set()
    own = context.batch_pages[batch]
    for one in near:
        if context.batch_pages[one.batch] != own:
            pieces = dict.fromkeys(context.on_batches[use.piece.id] for use in one.uses)
            href = "../" + context.batch_pages[one.batch]
            yield Similar(one.batch, href, say(DIFFERENCE_WORDS[one.difference]), one.batch in to_check, tuple(pieces))


def _open(context: Context, gap: Unrecorded) -> Open:
    return Open(context.on_batches[gap.piece.id], gap.why)
