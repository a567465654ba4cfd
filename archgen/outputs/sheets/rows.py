"""The rows of a case sheet's tables: needles, inks, sittings, stencil versions, references."""

import datetime as dt
from dataclasses import dataclass

from archgen.catalogue import Catalogue
from archgen.picture_facts.facts import ImageFacts
from archgen.publication.rights import Answer, Rights
from archgen.records.model import Ink, Needle, Piece, PieceRecord, Reference, Stencil
from archgen.records.vocabulary.licences import license_words
from archgen.records.vocabulary.needles import read_needles
from archgen.units import date_words, hours_words, length_words

THUMBNAIL_PX = 240  # 20 mm at 300 dpi
_ANSWERS = {Answer.YES: "Yes", Answer.HOLD: "Ask first", Answer.NO: "No"}


@dataclass(frozen=True, slots=True)
class SheetPicture:
    """A picture on the sheet: its copy's blob, height over width, and words for those who do not see it."""

    blob: str
    ratio: float
    alt: str
    caption: tuple[str, str] = ("", "")


@dataclass(frozen=True, slots=True)
class Row:
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


def needle_row(needle: Needle, used: dt.date | None, today: dt.date) -> Row:
    """Say what a needle is read as, what it was for, its lots, expiry and bundle."""
    readings = read_needles(needle.code)
    lots = [needle.batch, f"sterilisation {needle.sterilisation}" if needle.sterilisation else None]
    cells = (
        "; ".join(reading.words() for reading in readings if reading.grouping),
        needle.use or "–",
        ", ".join(lot for lot in lots if lot) or "–",
        date_words(needle.expiry) if needle.expiry else "–",
        ", ".join(f"{reading.bundle_mm:.2f} mm" for reading in readings if reading.bundle_mm is not None),
    )
    return Row(cells, code=needle.code, warning=_expired(needle.expiry, used, today))


def ink_row(ink: Ink, used: dt.date | None, catalogue: Catalogue) -> Row:
    """Say what an ink is, what it was for, when it was opened and when it expires."""
    batch = catalogue.bottle(ink.batch)
    expiry = ink.expiry or (batch.expiry if batch else None)
    name = ink.name or (batch.name if batch else None)
    maker = ink.maker or (batch.maker if batch else None)
    warnings = [
        f"recalled {date_words(batch.recalled)}" if batch and batch.recalled else "",
        _expired(expiry, used, catalogue.built_on),
        "batch not recorded" if not ink.batch else "" if batch else "batch not in inks.toml",
    ]
    opened = date_words(batch.opened) if batch and batch.opened else "–"
    words = ", ".join(part for part in (name, maker) if part) or "–"
    cells = (words, ink.use or "–", opened, date_words(expiry) if expiry else "–")
    return Row(cells, code=ink.batch or "–", warning="; ".join(word for word in warnings if word))


def _expired(expiry: dt.date | None, used: dt.date | None, today: dt.date) -> str:
    if expiry is None or expiry >= today:
        return ""
    return "expired before it was used" if used and expiry < used else "expired by now"


def sitting_rows(record: PieceRecord) -> tuple[Row, ...]:
    """List the sittings."""
    return tuple(
        Row(
            (
                date_words(sitting.date),
                "Touch-up" if sitting.kind.value == "touch-up" else "Sitting",
                hours_words(sitting.hours) if sitting.hours is not None else "–",
                sitting.note or "–",
            )
        )
        for sitting in record.sitting
    )


def version_row(piece: Piece, stencil: Stencil, catalogue: Catalogue) -> Row:
    """Say what a stencil version came from, how wide it is and what was noted."""
    origin = [f"version {stencil.parent}"] if stencil.parent is not None else [_name(file) for file in stencil.from_]
    notes = ["on the skin"] if stencil.applied else []
    notes += ["stored mirrored"] if stencil.mirrored else []
    cells = (
        str(stencil.version) if stencil.version is not None else "–",
        ", ".join(origin) or "–",
        length_words(stencil.width, catalogue.config.archive.units) if stencil.width else "–",
        "; ".join([*notes, stencil.note] if stencil.note else notes) or "–",
    )
    return Row(cells, code=_name(stencil.file), picture=_thumbnail(piece, stencil.file, catalogue))


def reference_row(piece: Piece, reference: Reference, rights: Rights, catalogue: Catalogue) -> Row:
    """Say where a reference is from, which right is recorded and what it lets one do."""
    origin = [
        reference.creator,
        reference.source,
        f"made or changed by {reference.ai_system}" if reference.ai_system else None,
        reference.note,
    ]
    right = [
        license_words(reference.license) if reference.license else None,
        f"permission in {_name(reference.permission)}" if reference.permission else None,
        f"obtained {date_words(reference.obtained)}" if reference.obtained else None,
        f"until {date_words(reference.expires)}" if reference.expires else None,
    ]
    cells = (
        "; ".join(part for part in origin if part) or "–",
        "; ".join(part for part in right if part) or "–",
        *(_ANSWERS[ruling.answer] for ruling in (rights.use, rights.show_reference, rights.show_piece)),
    )
    return Row(
        cells,
        code=_name(reference.file) if reference.file else "link only",
        warning="" if rights.is_recorded else "no right recorded",
        picture=_thumbnail(piece, reference.file, catalogue),
    )


def _name(file: str) -> str:
    return file.rpartition("/")[2]


def _thumbnail(piece: Piece, file: str | None, catalogue: Catalogue) -> SheetPicture | None:
    facts = catalogue.picture(piece, file) if file else None
    return picture_of(facts, THUMBNAIL_PX, f"Small picture of {file}") if facts else None
