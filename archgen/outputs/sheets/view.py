"""What a case sheet says: a piece and what the archive knows about it, as words in the order of the paper."""

import datetime as dt
from dataclasses import dataclass

from archgen.catalogue import Catalogue
from archgen.findings import Severity
from archgen.outputs.sheets.rows import (
    Row,
    SheetPicture,
    ink_row,
    needle_row,
    picture_of,
    reference_row,
    sitting_rows,
    version_row,
)
from archgen.papers import Paper, sheet_paper
from archgen.picture_facts.facts import ImageFacts
from archgen.publication.decision import Publication, decide_publication
from archgen.records.model import Photo, Piece, PieceRecord, ReleaseStatus, Stage, Stencil
from archgen.records.vocabulary.limb import limb_at
from archgen.records.vocabulary.placements import placement_words
from archgen.render.markdown_tree import Block, blocks_of, is_right_to_left
from archgen.stencils import cylinder
from archgen.units import add_days, date_words, hours_words, length_words, size_words
from archgen.wording.readings import gauge_lines, limb_lines, place_words

# Width in pixels that looks sharp 110 mm wide, at 230 dpi.
PHOTO_PX = 1000
CAUTIONS = (
    "Working record. It does not replace your licence conditions, your local health code or the ink maker’s "
    "instructions.",
    "Figures marked default are studio practice, not medical advice; ask a physician about any reaction, infection "
    "sign or health condition.",
    "Rights are a record of what was told to you; they are not a legal opinion.",
    "Check the 100 mm rule with a ruler before you trust a size on this sheet.",
)
_STAGES = {Stage.IN_PROGRESS: "In progress", Stage.FRESH: "Fresh", Stage.HEALED: "Healed"}
_RELEASES = {
    ReleaseStatus.GRANTED: "Granted",
    ReleaseStatus.REFUSED: "Refused",
    ReleaseStatus.WITHDRAWN: "Withdrawn",
    ReleaseStatus.NOT_ASKED: "Not asked",
}
_SEVERITIES = {Severity.ERROR: "Stops publishing", Severity.WARNING: "Ask, then record", Severity.NOTE: "Good to know"}


@dataclass(frozen=True, slots=True)
class SheetDrawing:
    """A stencil version: its picture, true width when recorded, and whether to turn it to read right."""

    picture: SheetPicture
    width_mm: float | None
    width: str | None
    height: str | None
    turned: bool
    words: str


@dataclass(frozen=True, slots=True)
class SheetCell:
    """One cell of the title block; None = not recorded."""

    label: str
    value: str | None
    wide: bool = False


@dataclass(frozen=True, slots=True)
class SheetReading:
    """How the applied stencil reads: its critical places marked, and named by their signs."""

    picture: SheetPicture
    lines: tuple[str, ...]
    places: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class SheetLimb:
    """The stencil on the limb as seen from straight ahead, and what is to be said of it."""

    picture: SheetPicture
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CaseSheet:
    """Everything on the sheets of one piece; a new section is a field here and a part in the template."""

    id: str
    title: str
    rtl: bool
    artist: str
    language: str
    paper: Paper
    dated: dt.date | None
    photos: tuple[SheetPicture, ...]
    drawing: SheetDrawing | None
    facts: tuple[SheetCell, ...]
    region: str | None
    side: str | None
    needles: tuple[Row, ...]
    inks: tuple[Row, ...]
    follow_up: tuple[str, ...]
    sittings: tuple[Row, ...]
    versions: tuple[Row, ...]
    references: tuple[Row, ...]
    notes: tuple[Block, ...]
    findings: tuple[Row, ...]
    reading: SheetReading | None = None
    limb: SheetLimb | None = None
    cautions: tuple[str, ...] = CAUTIONS

    @property
    def pictures(self) -> tuple[SheetPicture, ...]:
        """List every picture of the sheets."""
        rows = (*self.versions, *self.references)
        in_rows = tuple(row.picture for row in rows if row.picture)
        others = (part.picture for part in (self.drawing, self.reading, self.limb) if part)
        return (*self.photos, *others, *in_rows)


def case_sheet(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> CaseSheet:
    """Gather what the sheets of a piece say."""
    config = catalogue.config
    applied = record.applied_stencil
    publication = decide_publication(piece, catalogue)
    return CaseSheet(
        id=piece.id,
        title=record.title,
        rtl=is_right_to_left(record.title),
        artist=config.portfolio.artist or config.archive.title,
        language=_language(config.archive.language),
        paper=sheet_paper(config.printer.paper),
        dated=record.finished_on,
        photos=_photos(piece, record, catalogue),
        drawing=_drawing(piece, applied, catalogue) if applied else None,
        reading=_reading(piece, record, catalogue),
        limb=_limb(piece, record, catalogue),
        facts=_facts(record, publication, config.archive.units),
        region=record.placement.region,
        side=record.placement.side.value if record.placement.side else None,
        needles=tuple(needle_row(needle, record.finished_on, catalogue.built_on) for needle in record.needle),
        inks=tuple(ink_row(ink, record.finished_on, catalogue) for ink in record.ink),
        follow_up=_follow_up(record, catalogue),
        sittings=sitting_rows(record),
        versions=tuple(version_row(piece, stencil, catalogue) for stencil in record.stencil),
        references=tuple(
            reference_row(piece, reference, rights, catalogue)
            for reference, rights in zip(record.reference, publication.references, strict=True)
        ),
        notes=tuple(blocks_of(piece.notes or "")),
        findings=tuple(
            Row((_SEVERITIES[f.severity], f.problem, f.remedy, str(f.place)), code=f.code)
            for f in catalogue.findings_of(piece)
        ),
    )


def _language(tag: str) -> str:
    """Give the first part of a language tag (BCP 47), or English where it is none."""
    first = tag.partition("-")[0].lower()
    return first if first.isalpha() and first.isascii() and len(first) in (2, 3) else "en"


# ---------------------------------------------------------------- pictures


def _photos(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> tuple[SheetPicture, ...]:
    """Give at most two photos: fresh and healed, else the cover, else what there is."""
    readable = [photo for photo in record.photo if catalogue.picture(piece, photo.file)]
    covers_first = sorted(readable, key=lambda photo: not photo.cover)
    fresh = [photo for photo in covers_first if photo.stage is Stage.FRESH][:1]
    healed = [photo for photo in covers_first if photo.stage is Stage.HEALED][:1]
    others = [photo for photo in covers_first if photo not in (*fresh, *healed)][:1]
    chosen = [*fresh, *healed] or others
    if len(chosen) == 1 and others and others[0].cover:
        chosen = [*others, *chosen]
    if chosen:
        return tuple(_photo(photo, _need(catalogue.picture(piece, photo.file)), record) for photo in chosen)
    unnamed = [facts for path in piece.photos if (facts := catalogue.facts.get(path))]
    return tuple(_photo(Photo(file=facts.path), facts, record) for facts in unnamed[:1])


def _photo(photo: Photo, facts: ImageFacts, record: PieceRecord) -> SheetPicture:
    stage = _STAGES[photo.stage] if photo.stage else "Photo"
    taken = photo.taken or (facts.taken.date() if facts.taken else None)
    words = date_words(taken) if taken else "date not recorded"
    if taken and record.finished_on and photo.stage is not Stage.IN_PROGRESS and taken >= record.finished_on:
        words += f", day {(taken - record.finished_on).days}"
    return picture_of(facts, PHOTO_PX, photo.alt or f"{record.title}, {stage.lower()}", (stage, words))


def _drawing(piece: Piece, stencil: Stencil, catalogue: Catalogue) -> SheetDrawing | None:
    facts = catalogue.picture(piece, stencil.file)
    copy = facts.print_copy if facts else None
    if copy is None:
        return None
    units = catalogue.config.archive.units
    ratio = copy.height / copy.width
    width = stencil.width
    size = size_words(width, width * ratio, units) if width else None
    alt = f"Stencil of {piece.title}, {size or 'width not recorded'}"
    return SheetDrawing(
        picture=SheetPicture(copy.blob, ratio, alt),
        width_mm=float(width) if width else None,
        width=length_words(width, units) if width else None,
        height=length_words(width * ratio, units) if width else None,
        turned=stencil.mirrored,
        words=f"Version {stencil.version}, on the skin." if stencil.version else "On the skin.",
    )


def _reading(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> SheetReading | None:
    applied = record.applied_stencil
    gauge = catalogue.gauge(piece, applied) if applied else None
    if gauge is None or gauge.paper is None:
        return None
    alt = f"Stencil of {piece.title} with the critical places marked"
    picture = SheetPicture(gauge.paper.blob, gauge.paper.height / gauge.paper.width, alt)
    return SheetReading(picture, tuple(gauge_lines(gauge, record, catalogue.config.limits)), place_words(gauge))


def _limb(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> SheetLimb | None:
    applied, limb = record.applied_stencil, limb_at(record.placement)
    gauge = catalogue.gauge(piece, applied) if applied else None
    if limb is None or gauge is None or gauge.limb is None:
        return None
    alt = f"Stencil of {piece.title} on an upright limb, seen from straight ahead"
    picture = SheetPicture(gauge.limb.blob, gauge.limb.height / gauge.limb.width, alt)
    return SheetLimb(picture, tuple(limb_lines(gauge.width_mm, limb, catalogue.config.archive.units)))


def _need(facts: ImageFacts | None) -> ImageFacts:
    if facts is None:
        raise LookupError("a picture was chosen that has no facts")
    return facts


# ---------------------------------------------------------------- title block and follow-up


def _facts(record: PieceRecord, publication: Publication, units: str) -> tuple[SheetCell, ...]:
    sittings = f"{len(record.sitting)} sitting{'s' if len(record.sitting) > 1 else ''}" if record.sitting else None
    time = [hours_words(record.hours) if record.hours is not None else None, sittings]
    release = _RELEASES[record.release.status]
    if record.release.status is ReleaseStatus.GRANTED and record.release.scope:
        release += f" for {', '.join(record.release.scope)}"
    return (
        SheetCell("Placement", _placement(record), wide=True),
        SheetCell("Size on skin", size_words(record.size.width, record.size.height, units)),
        SheetCell("Round the limb", _wrap(record, units)),
        SheetCell("Time", ", ".join(part for part in time if part) or None),
        SheetCell("Finished", date_words(record.finished_on) if record.finished_on else None),
        SheetCell("Client", record.client),
        SheetCell("Style", ", ".join(record.styles) or None),
        SheetCell("Photo release", release),
        SheetCell("Portfolio", _shown(publication)),
    )


def _shown(publication: Publication) -> str:
    if publication.shown:
        return "Shown"
    return "Wanted, not shown" if publication.wanted else "Kept private"


def _placement(record: PieceRecord) -> str | None:
    place = record.placement
    words = placement_words(place.region, place.side)
    return ", ".join(part for part in (words, place.note) if part) or None


def _wrap(record: PieceRecord, units: str) -> str | None:
    """Say how far round the limb the piece goes, and whose girth that rests on."""
    limb = limb_at(record.placement)
    if limb is None:
        return None
    words = f"girth {length_words(limb.girth_mm, units)}, {limb.source}"
    applied = record.applied_stencil
    width = record.size.width or (applied.width if applied else None)
    if width is None or not limb.is_believable:
        return words
    round_it = cylinder.fit(float(width), limb.girth_mm)
    hidden = "; not all of it is seen from one side" if round_it.hidden_mm > 0 else ""
    return f"wraps {round_it.angle_deg:.0f}°{hidden}; {words}"


def _follow_up(record: PieceRecord, catalogue: Catalogue) -> tuple[str, ...]:
    limits = catalogue.config.limits
    seen = [
        ": ".join(part for part in (date_words(healing.date), healing.note) if part)
        + (" (touch-up wanted)" if healing.touch_up else "")
        for healing in record.healing
    ]
    if record.finished_on:
        first, last = (add_days(record.finished_on, d) for d in (limits.touch_up_from_days, limits.touch_up_until_days))
        window = f"day {limits.touch_up_from_days} to {limits.touch_up_until_days}, default"
        seen.append(f"Touch-up between {date_words(first)} and {date_words(last)} ({window}).")
    return tuple(seen)
