"""Rules about batches of inks and needles: past their date when used, not recorded."""

import datetime as dt
from collections.abc import Iterator

from archgen.findings import Severity
from archgen.languages.house import say
from archgen.pieces.missing import Missing
from archgen.pieces.survey import SurveyedCatalogue
from archgen.records.model import Piece, PieceRecord
from archgen.rules.rule import Hit, Rule
from archgen.units import date_words


def _expired_ink(piece: Piece, record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    for number, use in enumerate(catalogue.overviews[piece.id].inks):
        if use.was_late:
            date, used = _days(use.ink.expiry, record.last_worked_on)
            yield Hit(
                say(
                    "Ink {batch} was past its date ({date}) when it was used on {used}.",
                    batch=use.ink.batch or use.ink.name or say("without a name"),
                    date=date,
                    used=used,
                ),
                say("Check the label. If the date is right, keep an eye on this piece and throw the bottle away."),
                key=f"ink.{number}",
            )


def _expired_needle(piece: Piece, record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    for number, use in enumerate(catalogue.overviews[piece.id].needles):
        if use.was_late:
            date, used = _days(use.needle.expiry, record.last_worked_on)
            yield Hit(
                say(
                    "Needle {code} was past its sterile date ({date}) when it was used on {used}.",
                    code=use.needle.code,
                    date=date,
                    used=used,
                ),
                say("Check the label. If the date is right, keep an eye on this piece and throw the box away."),
                key=f"needle.{number}",
            )


def _days(*days: dt.date | None) -> list[str]:
    return [date_words(day) if day else say("not recorded") for day in days]


def _not_recorded(piece: Piece, _record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    gaps = [gap for gap in catalogue.overviews[piece.id].gaps if gap.what is Missing.INK_BATCH]
    if gaps:
        names = ", ".join(gap.name or say("an ink") for gap in gaps)
        yield Hit(
            say("No batch is recorded for {names}: a recall could not be traced to this piece.", names=names),
            say('Add batch = "..." as on the label, if you still have the bottle.'),
            key="ink.0",
        )


_ASK, _NOTE = Severity.WARNING, Severity.NOTE
RULES: tuple[Rule, ...] = (
    Rule("batch.expired", _ASK, "An opened or old ink can carry germs.", _expired_ink),
    Rule("needle.expired", _ASK, "Sterility is promised up to the date on the label.", _expired_needle),
    Rule("batch.not-recorded", _NOTE, "A recall names batches.", _not_recorded),
)
