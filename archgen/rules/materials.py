"""Rules about ink batches and needle lots: recalled, past their date when used, unknown, not recorded."""

import datetime as dt
from collections.abc import Iterator

from archgen.catalogue import Catalogue
from archgen.findings import Severity
from archgen.records.model import Piece, PieceRecord
from archgen.rules.rule import Hit, Rule
from archgen.units import date_words


def _last_use(record: PieceRecord) -> dt.date | None:
    return max((sitting.date for sitting in record.sitting), default=record.finished)


def _recalled(_piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    for number, ink in enumerate(record.ink):
        batch = catalogue.bottle(ink.batch)
        if batch and batch.recalled:
            yield Hit(
                f"Ink batch {batch.batch} ({batch.name or 'no name'}) was recalled on {date_words(batch.recalled)} "
                "and is in this piece.",
                "Put the bottle aside, read the recall notice, tell the client, and write down when you did.",
                key=f"ink.{number}",
            )


def _expired_ink(_piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    used = _last_use(record)
    for number, ink in enumerate(record.ink):
        batch = catalogue.bottle(ink.batch)
        expiry = ink.expiry or (batch.expiry if batch else None)
        if used and expiry and expiry < used:
            yield Hit(
                f"Ink {ink.batch or ink.name or 'without a name'} was past its date ({date_words(expiry)}) when it "
                f"was used on {date_words(used)}.",
                "Check the label. If the date is right, keep an eye on this piece and throw the bottle away.",
                key=f"ink.{number}",
            )


def _expired_needle(_piece: Piece, record: PieceRecord, _catalogue: Catalogue) -> Iterator[Hit]:
    used = _last_use(record)
    for number, needle in enumerate(record.needle):
        if used and needle.expiry and needle.expiry < used:
            yield Hit(
                f"Needle {needle.code} was past its sterile date ({date_words(needle.expiry)}) when it was used on "
                f"{date_words(used)}.",
                "Check the label. If the date is right, keep an eye on this piece and throw the box away.",
                key=f"needle.{number}",
            )


def _not_recorded(_piece: Piece, record: PieceRecord, _catalogue: Catalogue) -> Iterator[Hit]:
    without = [ink.name or "an ink" for ink in record.ink if not ink.batch]
    if without:
        yield Hit(
            f"No batch is recorded for {', '.join(without)}: a recall could not be traced to this piece.",
            'Add batch = "..." as on the label, if you still have the bottle.',
            key="ink.0",
        )


_ASK, _NOTE = Severity.WARNING, Severity.NOTE
RULES: tuple[Rule, ...] = (
    Rule("batch.recalled", _ASK, "Whoever wears a recalled ink should be told.", _recalled),
    Rule("batch.expired", _ASK, "An opened or old ink can carry germs.", _expired_ink),
    Rule("needle.expired", _ASK, "Sterility is promised up to the date on the label.", _expired_needle),
    Rule("batch.not-recorded", _NOTE, "A recall names batches.", _not_recorded),
)
