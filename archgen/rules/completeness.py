"""Rules about what a record lacks for the pages, the sheets and an exact reprint."""

from collections.abc import Callable, Iterator

from archgen.catalogue import Catalogue
from archgen.findings import Severity
from archgen.languages.house import say, to_say
from archgen.pieces.missing import Gap, Missing
from archgen.pieces.overview import PieceOverview
from archgen.pieces.survey import SurveyedCatalogue
from archgen.publication.public_catalogue import stage_words
from archgen.records.model import Piece, PieceRecord
from archgen.rules.rule import Check, Hit, Rule
from archgen.units import MM_PER_INCH, date_words
from archgen.values.frozen import Value

# More missing than this is told as one thing, with the lines to copy.
_MOST_ALONE = 2
# Thin lines of 0.3 mm keep about three pixels at this resolution; common practice, no source.
FEWEST_DPI = 200


class _Lack(Value, frozen=True):
    """Something a record may not say at all, as a rule of its own and as a part of the longer note."""

    what: Missing
    code: str
    reason: str
    word: str
    problem: str
    remedy: str
    lines: str


# In the order in which the lines may stand: what belongs to no table first.
_LACKS = (
    _Lack(
        Missing.DATE,
        "piece.no-date",
        "Healing is counted from the day it was made.",
        to_say("a date"),
        to_say("No date is recorded."),
        to_say("Add finished = 2026-03-14, or [[sitting]] with its date."),
        "finished = 2026-03-14",
    ),
    _Lack(
        Missing.SIZE,
        "piece.no-size",
        "Size is the first thing a touch-up needs.",
        to_say("its size on skin"),
        to_say("The size on skin is not recorded."),
        to_say('Add [size] with width = "62 mm" and height = "88 mm".'),
        '[size]\nwidth = "62 mm"\nheight = "88 mm"',
    ),
    _Lack(
        Missing.PLACEMENT,
        "piece.no-placement",
        "Without a place no wrap can be worked out.",
        to_say("where on the body it is"),
        to_say("Where on the body is not recorded."),
        to_say('Add [placement] with region = "forearm-outer".'),
        '[placement]\nregion = "forearm-outer"',
    ),
    _Lack(
        Missing.PHOTO,
        "photo.none",
        "A piece without a photo cannot be shown.",
        to_say("a photo"),
        to_say("No photo is described."),
        to_say('Add [[photo]] with file = "photos/..." and stage = "fresh".'),
        '[[photo]]\nfile = "photos/..."\nstage = "fresh"',
    ),
)


def _gaps(piece: Piece, catalogue: SurveyedCatalogue, what: Missing) -> Iterator[Gap]:
    return (gap for gap in catalogue.overviews[piece.id].gaps if gap.what is what)


def _lacking(piece: Piece, catalogue: SurveyedCatalogue) -> list[_Lack]:
    """List what is missing of which the record has not even the table: its lines can be added as they are."""
    return [lack for lack in _LACKS for gap in _gaps(piece, catalogue, lack.what) if gap.key not in piece.lines]


def _alone(lack: _Lack) -> Check:
    def check(piece: Piece, _record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
        lacks = _lacking(piece, catalogue)
        if lack not in lacks or len(lacks) <= _MOST_ALONE:
            problem = say(lack.problem) + _proposed(lack, catalogue.overviews[piece.id])
            yield from (Hit(problem, say(lack.remedy), key=gap.key) for gap in _gaps(piece, catalogue, lack.what))

    return check


def _proposed(lack: _Lack, overview: PieceOverview) -> str:
    """Say what stands for something that is missing."""
    day = overview.proposed.finished
    if lack.what is not Missing.DATE or day is None:
        return ""
    return " " + say("Until then {day} counts, from the photo.", day=date_words(day))


def _begun(piece: Piece, _record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    lacks = _lacking(piece, catalogue)
    if len(lacks) > _MOST_ALONE:
        lines = "\n".join(lack.lines for lack in lacks)
        if piece.photos:
            lines = lines.replace("photos/...", piece.photos[0].removeprefix(f"{piece.folder}/"))
        yield Hit(
            say("Not recorded yet: {words}.", words=", ".join(say(lack.word) for lack in lacks)),
            say("Add what you know, with your own values; finished goes right below the title:\n{lines}", lines=lines),
        )


def _told(what: Missing, problem: Callable[[Gap, Piece], str], remedy: str) -> Check:
    """Tell every gap of one kind."""

    def check(piece: Piece, _record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
        return (Hit(problem(gap, piece), say(remedy), key=gap.key) for gap in _gaps(piece, catalogue, what))

    return check


_APPLIED = _told(
    Missing.APPLIED_STENCIL,
    lambda _, piece: say(
        "It is not recorded which of the {number} stencils went on the skin.", number=len(piece.drawings)
    ),
    to_say("Add applied = true to that version, and to no other."),
)
_WIDTH = _told(
    Missing.STENCIL_WIDTH,
    lambda gap, _: say(
        "{name}: its printed width is not recorded, so it cannot be reprinted at true size.", name=gap.name
    ),
    to_say('Measure the marks on an old print and add width = "62 mm".'),
)
_COVER = _told(
    Missing.COVER,
    lambda *_: say("No photo is marked as the cover; a healed one stands on the cards, else a fresh one."),
    to_say("Add cover = true to one photo."),
)
_ALT = _told(
    Missing.PHOTO_ALT,
    lambda gap, _: say(
        "{name}: there are no words for those who cannot see it; the title is read out instead.", name=gap.name
    ),
    to_say('Add alt = "what is on it, and where on the body".'),
)


def _stage(piece: Piece, _record: PieceRecord, catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    stages = catalogue.overviews[piece.id].proposed.stages
    for gap in _gaps(piece, catalogue, Missing.PHOTO_STAGE):
        problem = say("{name}: whether it shows work in progress, fresh or healed is not recorded.", name=gap.name)
        if gap.name in stages:
            problem += " " + say("By its day it is {stage}.", stage=stage_words(stages[gap.name]))
        yield Hit(
            problem,
            say('Add stage = "in-progress", "fresh" or "healed".'),
            key=gap.key,
        )


def _resolution(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    for number, stencil in enumerate(record.stencil):
        facts = catalogue.picture(piece, stencil.file)
        if facts is None or facts.marks is None or stencil.width is None:
            continue
        dpi = (facts.marks[2] - facts.marks[0]) / (stencil.width / MM_PER_INCH)
        if dpi < FEWEST_DPI:
            yield Hit(
                say(
                    "{file} has {dpi:.0f} pixels to the inch at {width:g} mm: thin lines print ragged.",
                    file=stencil.file,
                    dpi=dpi,
                    width=stencil.width,
                ),
                say("Scan or export it again with at least {number} pixels to the inch.", number=FEWEST_DPI),
                key=f"stencil.{number}.file",
            )


def _landmarks(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    for number, stencil in enumerate(record.stencil):
        for index, mark in enumerate(stencil.landmark):
            for word, file, point in (("stencil", stencil.file, mark.stencil), ("at", mark.on, mark.at)):
                facts = catalogue.picture(piece, file)
                # SVG and PDF have no pixels of their own to hold a point against.
                if facts is None or facts.file_format in {"SVG", "PDF"}:
                    continue
                if point[0] > facts.width or point[1] > facts.height:
                    yield Hit(
                        say(
                            "A landmark, {across:g} pixels across and {down:g} down, lies outside {file}, which is "
                            "{width} wide and {height} high.",
                            across=point[0],
                            down=point[1],
                            file=file,
                            width=facts.width,
                            height=facts.height,
                        ),
                        say(
                            "Count pixels from the upper left corner of the picture as it is seen upright, across "
                            "first."
                        ),
                        key=f"stencil.{number}.landmark.{index}.{word}",
                    )


def _future(_piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    dated = [("finished", record.finished)]
    dated += [(f"sitting.{n}.date", sitting.date) for n, sitting in enumerate(record.sitting)]
    dated += [(f"healing.{n}.date", healing.date) for n, healing in enumerate(record.healing)]
    dated += [(f"photo.{n}.taken", photo.taken) for n, photo in enumerate(record.photo)]
    for key, day in dated:
        if day is not None and day > catalogue.built_on:
            yield Hit(
                say("The date {day} has not come yet.", day=date_words(day)),
                say("Check the year, then correct it."),
                key=key,
            )


_ASK, _NOTE = Severity.WARNING, Severity.NOTE
RULES: tuple[Rule, ...] = (
    Rule("stencil.none-applied", _ASK, "Only one version is on the skin.", _APPLIED),
    Rule("stencil.no-width", _ASK, "A reprint at true size needs the true size.", _WIDTH),
    Rule("stencil.coarse", _NOTE, "Too few pixels cannot print a clean thin line.", _resolution, needs_pictures=True),
    Rule(
        "stencil.landmark-outside",
        _ASK,
        "A point beside the picture puts a working print in the wrong place and size.",
        _landmarks,
        needs_pictures=True,
    ),
    *(Rule(lack.code, _NOTE, lack.reason, _alone(lack)) for lack in _LACKS),
    Rule("piece.begun", _NOTE, "What is missing together is one thing to do.", _begun),
    Rule("photo.cover", _NOTE, "The cover stands for the piece on every card.", _COVER),
    Rule("photo.no-alt", _NOTE, "Visitors who cannot see the picture hear these words (WCAG 2.2, 1.1.1).", _ALT),
    Rule("photo.no-stage", _NOTE, "Healed and fresh are never to be confused.", _stage),
    Rule("piece.future-date", _ASK, "A slip in a year moves every day that is counted from it.", _future),
)
