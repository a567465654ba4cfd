"""The batches of inks and needles: an index, and for each on whose skin it went."""

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from archgen.outputs.archive.context import Context, Site, pieces_words
from archgen.records.model import InkBatch
from archgen.tracing.recall import LotKind, LotUse
from archgen.units import date_words
from archgen.wording.pieces import LATE, Mark, count_words, day_words, placement_words


@dataclass(frozen=True, slots=True)
class BatchRow:
    """One line of the index."""

    batch: str
    href: str
    kind: str
    name: str
    pieces: str
    last_used: str
    expiry: str
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class BatchIndex:
    """All batches: recalled ones first, then the latest used."""

    site: Site
    rows: tuple[BatchRow, ...]


@dataclass(frozen=True, slots=True)
class Traced:
    """One line of "On whose skin"; written is how the piece spells the number when it is not spelt alike."""

    date: str
    client: str
    client_href: str
    title: str
    href: str
    placement: str
    use: str
    written: str
    mark: Mark | None


@dataclass(frozen=True, slots=True)
class Similar:
    """A number that may be a slip of the pen for this one."""

    batch: str
    href: str
    difference: str


@dataclass(frozen=True, slots=True)
class BatchView:
    """The page of a batch."""

    site: Site
    batch: str
    kind: str
    name: str
    recall: str
    traced: tuple[Traced, ...]
    similar: tuple[Similar, ...]
    cells: tuple[tuple[str, str], ...]
    clients: int
    note: str


def batch_index(context: Context) -> BatchIndex:
    """Make the index."""
    uses = {batch: context.lots.uses_of(batch) for batch in context.batches}
    order = sorted(context.batches, key=lambda batch: _index_order(context, batch, uses[batch]))
    return BatchIndex(context.site, tuple(_row(context, batch, uses[batch]) for batch in order))


def _index_order(context: Context, batch: str, uses: Sequence[LotUse]) -> tuple[bool, int, str]:
    known = context.catalogue.bottle(batch)
    last = max((use.day for use in uses if use.day), default=None)
    return (not (known and known.recalled), -last.toordinal() if last else 0, batch)


def _row(context: Context, batch: str, uses: Sequence[LotUse]) -> BatchRow:
    known = context.catalogue.bottle(batch)
    expiry = _expiry(known, uses)
    marks = []
    if known and known.recalled:
        marks.append(Mark("check-stop", f"Recalled {date_words(known.recalled)}", asks=True))
    if late := sum(use.was_late for use in uses):
        marks.append(Mark("check-ask", f"Past its date on {pieces_words(late)}", asks=True))
    last = max((use.day for use in uses if use.day), default=None)
    return BatchRow(
        batch=batch,
        href=context.batch_pages[batch],
        kind=_kind(known, uses),
        name=_name(known, uses),
        pieces=pieces_words(len({use.piece.id for use in uses})) if uses else "not used",
        last_used=day_words(last) or "",
        expiry=day_words(expiry) or "",
        marks=tuple(marks),
    )


def _kind(known: InkBatch | None, uses: Sequence[LotUse]) -> str:
    kinds = dict.fromkeys((["ink"] if known else []) + [use.kind.value for use in uses])
    return " and ".join(kinds).capitalize()


def _name(known: InkBatch | None, uses: Sequence[LotUse]) -> str:
    return (known.name if known else None) or next((use.name for use in uses if use.name), "")


def _expiry(known: InkBatch | None, uses: Sequence[LotUse]) -> dt.date | None:
    return (known.expiry if known else None) or next((use.expiry for use in uses if use.expiry), None)


def batch_view(context: Context, batch: str) -> BatchView:
    """Make the page of one batch."""
    uses = context.lots.uses_of(batch)
    known = context.catalogue.bottle(batch)
    days = sorted(use.day for use in uses if use.day)
    clients = {use.piece.record.client for use in uses if use.piece.record and use.piece.record.client}
    cells = [
        ("Maker", known.maker if known else None),
        ("Opened", day_words(known.opened if known else None)),
        ("Expires", day_words(_expiry(known, uses))),
        ("Used up", day_words(known.closed if known else None)),
        ("First used", day_words(days[0] if days else None)),
        ("Last used", day_words(days[-1] if days else None)),
    ]
    return BatchView(
        site=context.site,
        batch=batch,
        kind=_kind(known, uses),
        name=_name(known, uses),
        recall=_recall_words(known, uses) if known and known.recalled else "",
        traced=tuple(_traced(context, batch, use) for use in uses),
        similar=tuple(_similar(context, batch)),
        cells=tuple((label, text) for label, text in cells if text),
        clients=len(clients),
        note=(known.note or "") if known else "",
    )


def _recall_words(known: InkBatch, uses: Sequence[LotUse]) -> str:
    recalled = known.recalled
    if recalled is None:
        return ""
    before = _people_words(use for use in uses if use.day is None or use.day <= recalled)
    after = _people_words(use for use in uses if use.day and use.day > recalled)
    return f"Recalled on {date_words(recalled)}. Used on {before} until that day, on {after} after it."


def _people_words(uses: Iterable[LotUse]) -> str:
    """Count clients, and the pieces of which nobody knows the client."""
    records = {use.piece.id: use.piece.record for use in uses}
    clients = {record.client for record in records.values() if record and record.client}
    unknown = sum(not (record and record.client) for record in records.values())
    parts = [count_words(len(clients), "client")] if clients else []
    parts += [f"{pieces_words(unknown)} without a client"] if unknown else []
    return " and ".join(parts) or "none"


def _traced(context: Context, batch: str, use: LotUse) -> Traced:
    record = use.piece.record
    client = (record.client if record else None) or ""
    return Traced(
        date=day_words(use.day) or "",
        client=client,
        client_href="../" + context.client_pages[client] if client else "",
        title=use.piece.title,
        href="../" + context.piece_pages[use.piece.id],
        placement=(placement_words(record.placement) if record else None) or "",
        use=use.use or (use.name if use.kind is not LotKind.INK else None) or "",
        written=use.lot if use.lot and use.lot != batch else "",
        mark=LATE if use.was_late else None,
    )


def _similar(context: Context, batch: str) -> Iterator[Similar]:
    own = context.batch_pages[batch]
    for other, difference in context.lots.near(batch):
        if context.batch_pages[other] != own:
            yield Similar(other, "../" + context.batch_pages[other], difference)
