"""The answer to a recall for other programs: JSON, and CSV for a spreadsheet."""

import csv
import io
from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

import msgspec

from archgen.languages.house import say
from archgen.records.model import Piece
from archgen.tracing.book import BatchBook, BatchEntry, BatchUse, days_of
from archgen.tracing.recall import NearBatch, Trace, Wearer
from archgen.wording.batches import DIFFERENCE_WORDS
from archgen.wording.pieces import late_mark, place_of

# What a spreadsheet takes for a formula when a cell begins with it.
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
_COLUMNS = (
    "list", "kind", "batch", "written", "product", "maker", "client", "piece", "title", "dates", "placement", "use",
    "told", "told_how", "told_by", "told_note", "note",
)  # fmt: skip
_NAMES = ("name", "contact")


def trace_json(trace: Trace, book: BatchBook, *, with_names: bool = False) -> str:
    """Give the answer as JSON; dates as ISO 8601, null is "not recorded"."""
    kinds = [kind.value for kind in trace.kinds]
    value = {
        "batch": None if trace.by_product else trace.asked,
        "product": trace.asked if trace.by_product else None,
        "kind": kinds[0] if len(kinds) == 1 else None,
        "kinds": kinds,
        "recalled": trace.recalled,
        "clients": [_wearer(wearer, book, with_names=with_names) for wearer in trace.wearers],
        "matches": [_use(use, book, with_names=with_names) for use in trace.matches],
        "near": [_near(near, book, with_names=with_names) for near in trace.near],
        "beginnings": [_near(near, book, with_names=with_names) for near in trace.beginnings],
        "open": [{**asdict(entry), "kind": entry.kind.value} for entry in trace.open],
        "unrecorded": [{**_piece(gap.piece, book, with_names=with_names), "why": gap.why} for gap in trace.unrecorded],
        "ruled_out": [{**_piece(gap.piece, book, with_names=with_names), "why": gap.why} for gap in trace.ruled_out],
    }
    return msgspec.json.format(msgspec.json.encode(value), indent=2).decode()


def _wearer(wearer: Wearer, book: BatchBook, *, with_names: bool) -> dict[str, Any]:
    return {
        "client": wearer.client,
        "spellings": wearer.spellings,
        "pieces": list(dict.fromkeys(use.piece.id for use in wearer.uses)),
        "to_tell": wearer.is_to_tell,
        "told": [{"date": told.date, "how": told.how, "by": told.by, "note": told.note} for told in wearer.told],
        **(_contact(wearer.client, book) if with_names else {}),
    }


def _piece(piece: Piece, book: BatchBook, *, with_names: bool) -> dict[str, Any]:
    """Give what is said of a piece in every list; the client under the one code of the person."""
    record = piece.record
    client = book.people.code_of(record.client) if record and record.client else None
    return {
        "piece": piece.id,
        "title": piece.title,
        "client": client,
        "date": record.finished_on if record else None,
        "dates": days_of(piece),
        "placement": place_of(piece),
        **(_contact(client, book) if with_names else {}),
    }


def _contact(client: str | None, book: BatchBook) -> dict[str, str | None]:
    person = book.catalogue.clients.get(client or "")
    return {"name": person.name if person else None, "contact": person.contact if person else None}


def _use(use: BatchUse, book: BatchBook, *, with_names: bool) -> dict[str, Any]:
    return {
        **_piece(use.piece, book, with_names=with_names),
        "kind": use.kind.value,
        "batch": use.batch,
        "written": use.written,
        "certain": use.is_certain,
        "product": use.name,
        "maker": use.maker,
        "use": use.use,
        "expiry": use.expiry,
    }


def _near(near: NearBatch, book: BatchBook, *, with_names: bool) -> dict[str, Any]:
    return {
        "batch": near.batch,
        "kinds": [kind.value for kind in near.kinds],
        "difference": near.difference.value,
        "registered": near.is_registered,
        "pieces": list(dict.fromkeys(use.piece.id for use in near.uses)),
        "clients": list(dict.fromkeys(book.people.code_of(use.client) for use in near.uses if use.client)),
        "uses": [_use(use, book, with_names=with_names) for use in near.uses],
    }


def trace_csv(trace: Trace, book: BatchBook, *, with_names: bool = False) -> str:
    """Give the answer as CSV (RFC 4180), one row per use, bottle or missing number; a spreadsheet runs none of it."""
    result = io.StringIO()
    columns = _COLUMNS + (_NAMES if with_names else ())
    writer = csv.DictWriter(result, columns, restval="")
    writer.writeheader()
    for row in _rows(trace, book, with_names=with_names):
        writer.writerow({column: _cell(value) for column, value in row.items() if column in columns})
    return result.getvalue()


def _cell(value: Any) -> str:
    text = "" if value is None else "; ".join(map(str, value)) if isinstance(value, tuple | list) else str(value)
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text


def _rows(trace: Trace, book: BatchBook, *, with_names: bool) -> Iterator[dict[str, Any]]:
    for wearer in trace.wearers:
        for use in wearer.uses:
            row = _use(use, book, with_names=with_names) | _told_cells(wearer)
            yield {"list": "match", **row, "note": late_mark().words if use.was_late else None}
    for name, found in (("near", trace.near), ("begins", trace.beginnings)):
        for near in found:
            yield from _near_rows(name, near, book, with_names=with_names)
    for entry in trace.open:
        yield {"list": "open", **_entry_cells(entry)}
    for gap in trace.unrecorded:
        yield {"list": "unrecorded", **_piece(gap.piece, book, with_names=with_names), "note": gap.why}
    for gap in trace.ruled_out:
        yield {"list": "ruled out", **_piece(gap.piece, book, with_names=with_names), "note": gap.why}


def _told_cells(wearer: Wearer) -> dict[str, Any]:
    told = wearer.told
    return {
        "told": [one.date or "date not recorded" for one in told],
        "told_how": [one.how or "" for one in told],
        "told_by": [one.by or "" for one in told],
        "told_note": [one.note or "" for one in told],
    }


def _near_rows(name: str, near: NearBatch, book: BatchBook, *, with_names: bool) -> Iterator[dict[str, Any]]:
    words = say(DIFFERENCE_WORDS[near.difference])
    for use in near.uses:
        yield {"list": name, **_use(use, book, with_names=with_names), "note": words}
    if not near.uses:
        kinds = " and ".join(kind.value for kind in near.kinds)
        yield {"list": name, "kind": kinds, "batch": near.batch, "note": words}


def _entry_cells(entry: BatchEntry) -> dict[str, Any]:
    opened = f"opened {entry.opened.isoformat()}" if entry.opened else "not opened, or not written down"
    return {
        "kind": entry.kind.value,
        "batch": entry.batch,
        "product": entry.name,
        "maker": entry.maker,
        "note": opened,
    }
