"""Rules about what comes after: the healed photo and the touch-up. All day counts are studio defaults."""

from collections.abc import Iterator

from archgen.catalogue import Catalogue
from archgen.findings import Severity
from archgen.records.model import Piece, PieceRecord, SittingKind, Stage
from archgen.rules.rule import Hit, Rule
from archgen.units import add_days, date_words


def _no_healed_photo(_piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    finished, limits = record.finished_on, catalogue.config.limits
    if finished is None or any(photo.stage is Stage.HEALED for photo in record.photo):
        return
    age = (catalogue.built_on - finished).days
    if age < limits.healed_after_days:
        return
    since = date_words(add_days(finished, limits.healed_after_days))
    still_open = age <= limits.touch_up_until_days
    yield Hit(
        f"There is no photo of the healed piece; one can be taken since {since}.",
        'Ask the client for a visit or a photo, then add [[photo]] with stage = "healed".',
        key="photo.0",
        severity=Severity.WARNING if still_open else Severity.NOTE,
    )


def _touch_up(_piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    wanted = [seen.date for seen in record.healing if seen.touch_up]
    done = [sitting.date for sitting in record.sitting if sitting.kind is SittingKind.TOUCH_UP]
    if not wanted or (done and max(done) >= max(wanted)):
        return
    finished, limits = record.finished_on, catalogue.config.limits
    when = ""
    if finished:
        opens, ends = add_days(finished, limits.touch_up_from_days), add_days(finished, limits.touch_up_until_days)
        when = f" The usual time is {date_words(opens)} to {date_words(ends)}."
    yield Hit(
        f"A touch-up is wanted since {date_words(max(wanted))} and none is recorded.{when}",
        'Make a date with the client; afterwards add [[sitting]] with kind = "touch-up".',
        key=f"healing.{len(record.healing) - 1}",
    )


RULES: tuple[Rule, ...] = (
    Rule(
        "followup.no-healed-photo",
        Severity.WARNING,
        "Only a healed photo shows how the work holds.",
        _no_healed_photo,
    ),
    Rule("followup.touch-up", Severity.WARNING, "A promised touch-up is easily forgotten.", _touch_up),
)
