"""The answer to a recall as a list: for the terminal, for other programs (JSON, CSV), and as a PDF to write on.

Clients are codes; names and contacts are only added when asked for, since such a list is often passed on.
"""

import csv
import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import msgspec

from archgen.catalogue import Catalogue
from archgen.papers import sheet_paper
from archgen.records.model import InkBatch
from archgen.render.html import load_theme
from archgen.render.typst_pdf import make_pdf
from archgen.tracing.recall import LotKind, LotUse, Trace
from archgen.units import date_words
from archgen.wording.pieces import LATE, count_words, day_words, placement_words

# What a spreadsheet takes for a formula when a cell begins with it.
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
_COLUMNS = ("list", "kind", "lot", "product", "maker", "client", "piece", "title", "date", "placement", "use", "note")


@dataclass(frozen=True, slots=True)
class Line:
    """One piece that a lot is in; contact is the client's name and contact, empty unless asked for."""

    piece: str
    title: str
    client: str
    contact: str
    date: str
    placement: str
    kind: str
    lot: str
    product: str
    use: str
    warning: str


@dataclass(frozen=True, slots=True)
class Bottle:
    """One bottle that is not used up."""

    batch: str
    product: str
    opened: str
    expires: str
    recalled: str


@dataclass(frozen=True, slots=True)
class NearLine:
    """A number that may be meant."""

    lot: str
    difference: str
    pieces: str


@dataclass(frozen=True, slots=True)
class TraceList:
    """The whole list as words.

    Attributes:
        summary: One sentence with the counts.
        unrecorded: Pieces that cannot be answered for: id, title, date, client, why.
    """

    title: str
    summary: str
    read_on: str
    lines: tuple[Line, ...]
    bottles: tuple[Bottle, ...]
    near: tuple[NearLine, ...]
    unrecorded: tuple[tuple[str, str, str, str, str], ...]
    by_product: bool


def trace_list(trace: Trace, catalogue: Catalogue, *, with_names: bool = False) -> TraceList:
    """Write the answer in words."""
    return TraceList(
        title=_title(trace),
        summary=_summary(trace),
        read_on=date_words(catalogue.built_on),
        lines=tuple(_line(use, catalogue, with_names=with_names) for use in trace.matches),
        bottles=tuple(_bottle(batch) for batch in trace.open),
        near=tuple(NearLine(near.lot, near.difference, _pieces_words(near.uses)) for near in trace.near),
        unrecorded=tuple(_unrecorded(trace)),
        by_product=trace.by_product,
    )


def _title(trace: Trace) -> str:
    if trace.by_product:
        return f"All lots of {trace.asked}"
    kinds = " and ".join(kind.value for kind in trace.kinds)
    return f"{kinds.capitalize() or 'Lot'} {trace.asked}" if trace.kinds else f"Lot {trace.asked}"


def _summary(trace: Trace) -> str:
    if not trace.matches:
        there = "is in inks.toml and in no piece" if trace.open or trace.kinds else "is in no record"
        return f"{'This product' if trace.by_product else 'This number'} {there}."
    pieces = {use.piece.id for use in trace.matches}
    clients = {use.client for use in trace.matches if use.client}
    nameless = len({use.piece.id for use in trace.matches if not use.client})
    parts = [count_words(len(clients), "client")] if clients else []
    parts += [f"{count_words(nameless, 'piece')} without a client"] if nameless else []
    return f"Used on {count_words(len(pieces), 'piece')}: {' and '.join(parts)}."


def _pieces_words(uses: Iterable[LotUse]) -> str:
    number = len({use.piece.id for use in uses})
    return f"used on {count_words(number, 'piece')}" if number else "not used"


def _line(use: LotUse, catalogue: Catalogue, *, with_names: bool) -> Line:
    record = use.piece.record
    person = catalogue.clients.get(use.client or "") if with_names else None
    return Line(
        piece=use.piece.id,
        title=use.piece.title,
        client=use.client or "",
        contact=", ".join(text for text in (person.name, person.contact) if text) if person else "",
        date=day_words(use.day) or "",
        placement=(placement_words(record.placement) if record else None) or "",
        kind=use.kind.value,
        lot=use.lot or "",
        product=_product(use.maker, use.name),
        use=use.use or "",
        warning=LATE.words if use.was_late else "",
    )


def _product(maker: str | None, name: str | None) -> str:
    return ", ".join(text for text in (maker, name) if text)


def _bottle(batch: InkBatch) -> Bottle:
    return Bottle(
        batch=batch.batch,
        product=_product(batch.maker, batch.name),
        opened=day_words(batch.opened) or "",
        expires=day_words(batch.expiry) or "",
        recalled=day_words(batch.recalled) or "",
    )


def _unrecorded(trace: Trace) -> Iterator[tuple[str, str, str, str, str]]:
    for gap in trace.unrecorded:
        record = gap.piece.record
        day = day_words(record.finished_on) if record else None
        yield gap.piece.id, gap.piece.title, day or "", (record.client if record else None) or "", gap.why


def trace_json(trace: Trace, catalogue: Catalogue, *, with_names: bool = False) -> str:
    """Give the answer as JSON; dates as ISO 8601, null is "not recorded"."""
    kinds = [kind.value for kind in trace.kinds]
    value = {
        "batch": None if trace.by_product else trace.asked,
        "product": trace.asked if trace.by_product else None,
        "kind": kinds[0] if len(kinds) == 1 else None,
        "kinds": kinds,
        "matches": [_match(use, catalogue, with_names=with_names) for use in trace.matches],
        "near": [
            {
                "batch": near.lot,
                "kinds": [kind.value for kind in near.kinds],
                "difference": near.difference,
                "pieces": list(dict.fromkeys(use.piece.id for use in near.uses)),
            }
            for near in trace.near
        ],
        "open": [
            {name: getattr(batch, name) for name in ("batch", "name", "maker", "opened", "expiry", "recalled")}
            for batch in trace.open
        ],
        "unrecorded": [
            {
                "piece": gap.piece.id,
                "client": gap.piece.record.client if gap.piece.record else None,
                "date": gap.piece.record.finished_on if gap.piece.record else None,
                "why": gap.why,
            }
            for gap in trace.unrecorded
        ],
    }
    return msgspec.json.format(msgspec.json.encode(value), indent=2).decode()


def _match(use: LotUse, catalogue: Catalogue, *, with_names: bool) -> dict[str, object]:
    record = use.piece.record
    value: dict[str, object] = {
        "piece": use.piece.id,
        "title": use.piece.title,
        "client": use.client,
        "date": use.day,
        "sittings": sorted({sitting.date for sitting in record.sitting}) if record else [],
        "placement": placement_words(record.placement) if record else None,
        "kind": use.kind.value,
        "lot": use.lot,
        "product": use.name,
        "maker": use.maker,
        "use": use.use,
        "expiry": use.expiry,
    }
    if with_names:
        person = catalogue.clients.get(use.client or "")
        value |= {"name": person.name if person else None, "contact": person.contact if person else None}
    return value


def trace_csv(trace: Trace, catalogue: Catalogue, *, with_names: bool = False) -> str:
    """Give the answer as CSV (RFC 4180), one row per piece, bottle or near number; a spreadsheet runs none of it."""
    result = io.StringIO()
    writer = csv.writer(result)
    columns = (*_COLUMNS, "name", "contact") if with_names else _COLUMNS
    writer.writerow(columns)
    for cells in _csv_rows(trace, catalogue, with_names=with_names):
        row = (*cells, *("",) * (len(columns) - len(cells)))
        writer.writerow([f"'{cell}" if cell.startswith(_FORMULA_SIGNS) else cell for cell in row])
    return result.getvalue()


def _csv_rows(trace: Trace, catalogue: Catalogue, *, with_names: bool) -> Iterator[tuple[str, ...]]:
    for use in trace.matches:
        yield (*_use_cells("match", use), *_names(use, catalogue, with_names=with_names))
    for near in trace.near:
        for use in near.uses:
            yield (*_use_cells("near", use)[:-1], near.difference, *_names(use, catalogue, with_names=with_names))
        if not near.uses:
            yield ("near", _kinds_words(near.kinds), near.lot, *("",) * 8, near.difference)
    for batch in trace.open:
        opened = f"opened {batch.opened.isoformat()}" if batch.opened else "not opened, or not written down"
        yield ("open", LotKind.INK.value, batch.batch, batch.name or "", batch.maker or "", *("",) * 6, opened)
    for gap in trace.unrecorded:
        record = gap.piece.record
        day = record.finished_on if record else None
        client = (record.client if record else None) or ""
        yield (
            "unrecorded", "", "", "", "", client, gap.piece.id, gap.piece.title, day.isoformat() if day else "", "", "",
            gap.why,
        )  # fmt: skip


def _names(use: LotUse, catalogue: Catalogue, *, with_names: bool) -> tuple[str, ...]:
    person = catalogue.clients.get(use.client or "") if with_names else None
    return (person.name or "", person.contact or "") if person else ()


def _kinds_words(kinds: Iterable[LotKind]) -> str:
    return " and ".join(kind.value for kind in kinds)


def _use_cells(name: str, use: LotUse) -> tuple[str, ...]:
    record = use.piece.record
    cells = (
        name, use.kind.value, use.lot, use.name, use.maker, use.client, use.piece.id, use.piece.title,
        use.day.isoformat() if use.day else None, placement_words(record.placement) if record else None, use.use,
        LATE.words if use.was_late else None,
    )  # fmt: skip
    return tuple(cell or "" for cell in cells)


def trace_pdf(listed: TraceList, catalogue: Catalogue) -> bytes:
    """Set the list on paper, with room to write down when each client was told."""
    template = load_theme("sheet").files["trace-list.typ"].read_text(encoding="utf-8")
    paper = sheet_paper(catalogue.config.printer.paper)
    data = {**msgspec.to_builtins(listed), "paper": msgspec.to_builtins(paper)}
    return make_pdf(template, data, {}, catalogue.built_on)
