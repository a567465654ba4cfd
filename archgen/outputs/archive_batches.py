"""The batches of inks and needles: an index, and for each on whose skin it went."""

import datetime as dt
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from archgen.outputs.archive_context import Context, Site, pieces_words
from archgen.outputs.archive_words import Mark, count_words, day_words, late_mark, placement_words
from archgen.records.model import InkBatch, Piece, PieceRecord
from archgen.units import date_words


@dataclass(frozen=True, slots=True)
class Use:
    """One piece a batch was used on."""

    piece: Piece
    kind: str
    name: str
    use: str
    expiry: dt.date | None
    day: dt.date | None


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
    """One line of "On whose skin"."""

    date: str
    client: str
    client_href: str
    title: str
    href: str
    placement: str
    use: str
    mark: Mark | None


@dataclass(frozen=True, slots=True)
class Similar:
    """A batch number written a little differently."""

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


def uses_by_batch(context: Context) -> dict[str, list[Use]]:
    """Find the uses of every batch, the latest first."""
    uses: dict[str, list[Use]] = {}
    for piece in context.catalogue.pieces:
        if piece.record:
            for batch, use in _uses(context, piece, piece.record):
                uses.setdefault(batch, []).append(use)
    return uses


def _uses(context: Context, piece: Piece, record: PieceRecord) -> Iterator[tuple[str, Use]]:
    day = record.finished_on
    for ink in record.ink:
        if ink.batch:
            known = context.catalogue.inks.get(ink.batch)
            name = ink.name or (known.name if known else None) or ""
            expiry = ink.expiry or (known.expiry if known else None)
            yield ink.batch, Use(piece, "Ink", name, ink.use or "", expiry, day)
    for needle in record.needle:
        for batch, kind in ((needle.batch, "Needle"), (needle.sterilisation, "Sterilisation")):
            if batch:
                yield batch, Use(piece, kind, needle.code, needle.use or "", needle.expiry, day)


def batch_index(context: Context, uses: Mapping[str, Sequence[Use]]) -> BatchIndex:
    """Make the index."""
    order = sorted(context.batches, key=lambda batch: _index_order(context, batch, uses.get(batch, [])))
    return BatchIndex(context.site, tuple(_row(context, batch, uses.get(batch, [])) for batch in order))


def _index_order(context: Context, batch: str, uses: Sequence[Use]) -> tuple[bool, int, str]:
    known = context.catalogue.inks.get(batch)
    last = max((use.day for use in uses if use.day), default=None)
    return (not (known and known.recalled), -last.toordinal() if last else 0, batch)


def _row(context: Context, batch: str, uses: Sequence[Use]) -> BatchRow:
    known = context.catalogue.inks.get(batch)
    expiry = _expiry(known, uses)
    marks = []
    if known and known.recalled:
        marks.append(Mark("check-stop", f"Recalled {date_words(known.recalled)}", asks=True))
    if late := sum(late_mark(use.expiry, use.day) is not None for use in uses):
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


def _kind(known: InkBatch | None, uses: Sequence[Use]) -> str:
    kinds = dict.fromkeys((["Ink"] if known else []) + [use.kind for use in uses])
    return " and ".join(kinds).capitalize()


def _name(known: InkBatch | None, uses: Sequence[Use]) -> str:
    return (known.name if known else None) or next((use.name for use in uses if use.name), "")


def _expiry(known: InkBatch | None, uses: Sequence[Use]) -> dt.date | None:
    return (known.expiry if known else None) or next((use.expiry for use in uses if use.expiry), None)


def batch_view(context: Context, batch: str, uses: Sequence[Use]) -> BatchView:
    """Make the page of one batch."""
    known = context.catalogue.inks.get(batch)
    days = sorted(use.day for use in uses if use.day)
    clients = {use.piece.record.client for use in uses if use.piece.record and use.piece.record.client}
    cells = [
        ("Maker", known.maker if known else None),
        ("Opened", day_words(known.opened if known else None)),
        ("Expires", day_words(_expiry(known, uses))),
        ("Used up", day_words(known.finished if known else None)),
        ("First used", day_words(days[0] if days else None)),
        ("Last used", day_words(days[-1] if days else None)),
    ]
    return BatchView(
        site=context.site,
        batch=batch,
        kind=_kind(known, uses),
        name=_name(known, uses),
        recall=_recall_words(known, uses) if known and known.recalled else "",
        traced=tuple(_traced(context, use) for use in sorted(uses, key=_latest_first)),
        similar=tuple(_similar(context, batch)),
        cells=tuple((label, text) for label, text in cells if text),
        clients=len(clients),
        note=(known.note or "") if known else "",
    )


def _latest_first(use: Use) -> tuple[int, str]:
    return (-use.day.toordinal() if use.day else 0, use.piece.id)


def _recall_words(known: InkBatch, uses: Sequence[Use]) -> str:
    recalled = known.recalled
    if recalled is None:
        return ""
    before = _people_words(use for use in uses if use.day is None or use.day <= recalled)
    after = _people_words(use for use in uses if use.day and use.day > recalled)
    return f"Recalled on {date_words(recalled)}. Used on {before} until that day, on {after} after it."


def _people_words(uses: Iterable[Use]) -> str:
    """Count clients, and the pieces of which nobody knows the client."""
    records = {use.piece.id: use.piece.record for use in uses}
    clients = {record.client for record in records.values() if record and record.client}
    unknown = sum(not (record and record.client) for record in records.values())
    parts = [count_words(len(clients), "client")] if clients else []
    parts += [f"{pieces_words(unknown)} without a client"] if unknown else []
    return " and ".join(parts) or "none"


def _traced(context: Context, use: Use) -> Traced:
    record = use.piece.record
    client = (record.client if record else None) or ""
    return Traced(
        date=day_words(use.day) or "",
        client=client,
        client_href="../" + context.client_pages[client] if client else "",
        title=use.piece.title,
        href="../" + context.piece_pages[use.piece.id],
        placement=(placement_words(record.placement) if record else None) or "",
        use=use.use or (use.name if use.kind != "Ink" else ""),
        mark=late_mark(use.expiry, use.day),
    )


def _similar(context: Context, batch: str) -> Iterator[Similar]:
    plain = _plain(batch)
    for other in context.batches:
        if other == batch:
            continue
        if _plain(other) == plain:
            difference = "capitals, spaces or hyphens"
        elif _is_swapped(plain, _plain(other)):
            difference = "two characters changed round"
        else:
            continue
        yield Similar(other, "../" + context.batch_pages[other], difference)


def _plain(batch: str) -> str:
    return re.sub(r"[\W_]+", "", batch).lower()


def _is_swapped(one: str, other: str) -> bool:
    """Say whether two neighbouring characters changed places."""
    if len(one) != len(other) or one == other:
        return False
    first = next(i for i, (a, b) in enumerate(zip(one, other, strict=True)) if a != b)
    return one[:first] + one[first + 1 : first + 2] + one[first] + one[first + 2 :] == other
