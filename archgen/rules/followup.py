"""Rules about what comes after: the healed photo and the touch-up. All day counts are studio defaults."""

from collections.abc import Iterator

from archgen.findings import Severity
from archgen.languages.house import say
from archgen.pieces.followup import Due, DueKind, DueState
from archgen.pieces.survey import SurveyedCatalogue
from archgen.records.model import Piece, PieceRecord
from archgen.rules.rule import Hit, Rule
from archgen.units import date_words


def _due(piece: Piece, catalogue: SurveyedCatalogue, kind: DueKind) -> Iterator[Due]:
    return (item for item in catalogue.overviews[piece.id].follow_up.due if item.kind is kind)


def _no_healed_photo(piece: Piece, _record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    for item in _due(piece, catalogue, DueKind.HEALED_PHOTO):
        if item.opens <= catalogue.built_on:
            yield Hit(
                say(
                    "There is no photo of the healed piece; one can be taken since {opens}.",
                    opens=date_words(item.opens),
                ),
                say('Ask the client for a visit or a photo, then add [[photo]] with stage = "healed".'),
                key="photo.0",
                severity=Severity.NOTE if item.state is DueState.PAST else Severity.WARNING,
            )


def _touch_up(piece: Piece, record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    for item in _due(piece, catalogue, DueKind.TOUCH_UP):
        if item.since is None:
            continue
        usual = ""
        if item.closes:
            opens, closes = date_words(item.opens), date_words(item.closes)
            usual = " " + say("The usual time is {opens} to {closes}.", opens=opens, closes=closes)
        yield Hit(
            say(
                "A touch-up is wanted since {since} and none is recorded.{usual}",
                since=date_words(item.since),
                usual=usual,
            ),
            say('Make a date with the client; afterwards add [[sitting]] with kind = "touch-up".'),
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
