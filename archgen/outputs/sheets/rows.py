"""The rows of a case sheet's tables: needles, inks, sittings, stencil versions, references."""

import datetime as dt

from archgen.languages.house import figures, say
from archgen.picture_facts.facts import ImageFacts
from archgen.pieces.materials import InkUse, NeedleUse
from archgen.pieces.references import ReferenceOverview
from archgen.pieces.versions import VersionOverview
from archgen.records.model import Piece, PieceRecord
from archgen.records.vocabulary.licences import license_words
from archgen.units import date_words, length_words
from archgen.values.frozen import Value
from archgen.wording.pieces import (
    SITTING_WORDS,
    as_written_words,
    day_or_written,
    ruling_mark,
    sources_words,
    time_or_written,
)

THUMBNAIL_PX = 240  # 20 mm at 300 dpi


class SheetPicture(Value, frozen=True):
    """A picture on the sheet: its copy's blob, height over width, and words for those who do not see it."""

    blob: str
    ratio: float
    alt: str
    caption: tuple[str, str] = ("", "")


class SheetRow(Value, frozen=True):
    """A row of a table: a picture when there is one, a code as written, and words; warning says what is wrong."""

    cells: tuple[str, ...]
    code: str = ""
    warning: str = ""
    picture: SheetPicture | None = None


def picture_of(facts: ImageFacts, wanted_px: int, alt: str, caption: tuple[str, str] = ("", "")) -> SheetPicture:
    """Show the smallest copy that is wide enough."""
    copies = sorted(facts.screen, key=lambda copy: copy.width)
    copy = next((copy for copy in copies if copy.width >= wanted_px), copies[-1])
    return SheetPicture(copy.blob, copy.height / copy.width, alt, caption)


def needle_row(use: NeedleUse, today: dt.date) -> SheetRow:
    """Say what a needle is read as, what it was for, its batches, expiry and bundle."""
    needle = use.needle
    batches = [
        needle.batch,
        say("sterilisation {batch}", batch=needle.sterilisation) if needle.sterilisation else None,
    ]
    cells = (
        "; ".join(reading.words() for reading in use.readings if reading.grouping),
        needle.use or "–",
        ", ".join(batch for batch in batches if batch) or "–",
        date_words(needle.expiry) if needle.expiry else "–",
        ", ".join(figures(f"{bundle[1]:.2f} mm") for bundle in use.bundles_mm if bundle),
    )
    return SheetRow(cells, code=needle.code, warning=_expired(needle.expiry, today, was_late=use.was_late))


def ink_row(use: InkUse, today: dt.date) -> SheetRow:
    """Say what an ink is, what it was for, when it was opened and when it expires."""
    ink, bottle = use.ink, use.bottle
    warnings = [
        say("recalled {day}", day=date_words(bottle.recalled)) if bottle and bottle.recalled else "",
        _expired(ink.expiry, today, was_late=use.was_late),
        say("batch not recorded") if not ink.batch else "" if bottle else say("batch not in the ink register"),
    ]
    opened = date_words(bottle.opened) if bottle and bottle.opened else "–"
    words = ", ".join(part for part in (ink.name, ink.maker) if part) or "–"
    cells = (words, ink.use or "–", opened, date_words(ink.expiry) if ink.expiry else "–")
    return SheetRow(cells, code=ink.batch or "–", warning="; ".join(word for word in warnings if word))


def _expired(expiry: dt.date | None, today: dt.date, *, was_late: bool) -> str:
    if was_late:
        return say("expired before it was used")
    return say("expired by now") if expiry and expiry < today else ""


def sitting_rows(piece: Piece, record: PieceRecord) -> tuple[SheetRow, ...]:
    """List the sittings."""
    return tuple(
        SheetRow(
            (
                day_or_written(sitting.date, piece.written(f"sitting.{number}.date")),
                as_written_words(piece.written(f"sitting.{number}.kind")) or say(SITTING_WORDS[sitting.kind]),
                time_or_written(sitting.hours, piece.written(f"sitting.{number}.hours")) or "–",
                sitting.note or "–",
            )
        )
        for number, sitting in enumerate(record.sitting)
    )


def version_row(version: VersionOverview, units: str) -> SheetRow:
    """Say what a stencil version came from, how wide it is and what was noted."""
    stencil = version.stencil
    origin = (
        [say("version {parent}", parent=stencil.parent)]
        if stencil.parent is not None
        else [_name(file) for file in stencil.from_]
    )
    notes = [say("on the skin")] if version.is_applied else []
    notes += [say("stored mirrored")] if stencil.mirrored else []
    cells = (
        str(stencil.version) if stencil.version is not None else "–",
        ", ".join(origin) or "–",
        length_words(stencil.width, units) if stencil.width else "–",
        "; ".join([*notes, stencil.note] if stencil.note else notes) or "–",
    )
    return SheetRow(cells, code=_name(stencil.file), picture=_thumbnail(stencil.file, version.facts))


def reference_row(one: ReferenceOverview) -> SheetRow:
    """Say where a reference is from, which right is recorded and what it lets one do."""
    reference, rights = one.reference, one.rights
    origin = [
        reference.creator,
        reference.source,
        say("made or changed by {system}", system=reference.ai_system) if reference.ai_system else None,
        say("made from {sources}", sources=sources_words(rights.sources)) if rights.sources else None,
        None if reference.used else say("looked at, not drawn from"),
        reference.note,
    ]
    right = [
        license_words(reference.license) if reference.license else None,
        say("permission in {file}", file=_name(reference.permission)) if reference.permission else None,
        say("obtained {day}", day=date_words(reference.obtained)) if reference.obtained else None,
        say("until {day}", day=date_words(reference.expires)) if reference.expires else None,
    ]
    rulings = (rights.use, rights.show_reference, rights.show_piece)
    cells = (
        "; ".join(part for part in origin if part) or "–",
        "; ".join(part for part in right if part) or "–",
        *(ruling_mark(ruling).words if rights.counts else "–" for ruling in rulings),
    )
    return SheetRow(
        cells,
        code=_name(reference.file) if reference.file else say("link only"),
        warning="" if rights.is_recorded or not rights.counts else say("no right recorded"),
        picture=_thumbnail(reference.file, one.facts) if reference.file else None,
    )


def _name(file: str) -> str:
    return file.rpartition("/")[2]


def _thumbnail(file: str, facts: ImageFacts | None) -> SheetPicture | None:
    return picture_of(facts, THUMBNAIL_PX, say("Small picture of {file}", file=file)) if facts else None
