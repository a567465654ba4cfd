"""The page of one piece: everything its record holds."""

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from archgen.audit.clearance import Publication
from archgen.findings import Finding, Place, Severity
from archgen.outputs.archive_body import Body, Figure
from archgen.outputs.archive_context import Context, Site, photo_alt, photos_of
from archgen.outputs.archive_healing import HealingRule, days_after, healing_rule, photo_day, touch_up_until
from archgen.outputs.archive_lineage import Version, lineage
from archgen.outputs.archive_words import (
    STAGE_WORDS,
    Mark,
    count_words,
    day_words,
    placement_words,
    portfolio_words,
    references_mark,
    release_mark,
)
from archgen.outputs.archive_work import InkRow, NeedleRow, ReferenceRow, ink_rows, needle_rows, reference_rows
from archgen.outputs.site_pages import Picture, picture
from archgen.records.girths import POPULATION_GIRTHS
from archgen.records.model import Photo, Piece, PieceRecord, SittingKind, Stage
from archgen.records.placements import PLACES
from archgen.render.markdown import to_html
from archgen.units import date_words, hours_words, length_words, size_words

# Kept from the widest copy on, so that a photo alone fills the sheet at double density.
_PHOTO_PX, _SMALL_PHOTO_PX = 1000, 400


@dataclass(frozen=True, slots=True)
class Shot:
    """One photo on the page.

    Attributes:
        stage: fresh, healed, in-progress, or empty.
        words: "14 May 2026 · day 61".
        picture: None when the file is missing or cannot be read.
    """

    stage: str
    stage_words: str
    words: str
    picture: Picture | None
    original: str
    file: str
    details: str


@dataclass(frozen=True, slots=True)
class ShotGroup:
    """Further photos of one stage."""

    words: str
    shots: tuple[Shot, ...]


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of the title block: text, or a link, or a mark."""

    label: str
    text: str = ""
    soft: str = ""
    href: str = ""
    mark: Mark | None = None
    kind: str = ""
    wide: bool = False


@dataclass(frozen=True, slots=True)
class SittingRow:
    """One visit."""

    date: str
    kind: str
    hours: str
    note: str


@dataclass(frozen=True, slots=True)
class HealingRow:
    """What was seen afterwards."""

    date: str
    day: int | None
    note: str
    touch_up: bool


@dataclass(frozen=True, slots=True)
class Problem:
    """A finding as shown: mark shape, where, what, what to do."""

    shape: str
    code: str
    where: str
    href: str
    problem: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Neighbour:
    """The next piece on one side."""

    href: str
    title: str


@dataclass(frozen=True, slots=True)
class PieceView:
    """Everything on the page of a piece; a broken one has its problems and pictures only."""

    site: Site
    title: str
    subtitle: str
    broken: bool
    newer: Neighbour | None
    older: Neighbour | None
    first: tuple[Shot, ...]
    more: tuple[ShotGroup, ...]
    healing: HealingRule | None
    cells: tuple[Cell, ...]
    kept_out: tuple[str, ...]
    sheet: str | None
    body: Body | None
    body_note: str
    versions: tuple[Version, ...]
    needles: tuple[NeedleRow, ...]
    inks: tuple[InkRow, ...]
    sittings: tuple[SittingRow, ...]
    total: str
    references: tuple[ReferenceRow, ...]
    notes: Markup | None
    story: Markup | None
    healings: tuple[HealingRow, ...]
    touch_up: str
    missing: tuple[str, ...]
    problems: tuple[Problem, ...]
    record_file: str
    record_href: str


def piece_view(context: Context, piece: Piece, figure: Figure) -> PieceView:
    """Make the page of a piece."""
    record = piece.record
    newer, older = _neighbours(context, piece)
    shots = [_shot(context, piece, photo) for photo in _by_stage(context, piece)]
    first = _first(shots)
    marked = (
        figure.body([record.placement], placement_words(record.placement) or "", numbered=False) if record else None
    )
    return PieceView(
        site=context.site,
        title=piece.title,
        subtitle=_subtitle(context, record) if record else "The record cannot be used until its problems are mended.",
        broken=record is None,
        newer=newer,
        older=older,
        first=first,
        more=_groups([shot for shot in shots if shot not in first]),
        healing=healing_rule(context, piece, record) if record else None,
        cells=tuple(_cells(context, piece, record, context.publications[piece.id])) if record else (),
        kept_out=_kept_out(context.publications[piece.id]),
        sheet=f"../../sheets/{piece.id}.pdf" if record else None,
        body=marked,
        body_note=(record.placement.note or "") if record else "",
        versions=lineage(context, piece),
        needles=needle_rows(context, record) if record else (),
        inks=ink_rows(context, record) if record else (),
        sittings=_sittings(record) if record else (),
        total=hours_words(record.hours) if record and record.hours is not None else "",
        references=reference_rows(context, piece),
        notes=to_html(piece.notes) if piece.notes else None,
        story=to_html(piece.story) if piece.story else None,
        healings=_healings(record) if record else (),
        touch_up=_touch_up(context, record) if record else "",
        missing=tuple(_missing(record)) if record else (),
        problems=tuple(problem(context, finding, depth=1) for finding in context.catalogue.findings_of(piece)),
        record_file=piece.toml,
        record_href=context.original(piece.toml, depth=1),
    )


def problem(context: Context, finding: Finding, depth: int) -> Problem:
    """Make a finding ready to be shown on a page so many folders down."""
    shapes = {Severity.ERROR: "check-stop", Severity.WARNING: "check-ask", Severity.NOTE: "check-note"}
    short = Place(finding.place.file.removeprefix(f"pieces/{finding.piece}/"), finding.place.line)
    return Problem(
        shape=shapes[finding.severity],
        code=finding.code,
        where=str(short),
        href=context.original(finding.place.file, depth),
        problem=finding.problem,
        remedy=finding.remedy,
    )


def _neighbours(context: Context, piece: Piece) -> tuple[Neighbour | None, Neighbour | None]:
    before, after = context.neighbours[piece.id]
    return tuple(  # type: ignore[return-value]  # two in, two out
        Neighbour("../" + context.piece_pages[other.id], other.title) if other else None for other in (before, after)
    )


def _subtitle(context: Context, record: PieceRecord) -> str:
    size = size_words(record.size.width, record.size.height, context.units)
    return ", ".join(part for part in (placement_words(record.placement), size) if part)


def _by_stage(context: Context, piece: Piece) -> list[Photo]:
    order = {Stage.FRESH: 0, Stage.HEALED: 1, Stage.IN_PROGRESS: 2, None: 3}
    return sorted(
        photos_of(piece),
        key=lambda photo: (
            order[photo.stage],
            not photo.cover,
            str(photo_day(context, piece, photo) or "9999"),
            photo.file,
        ),
    )


def _shot(context: Context, piece: Piece, photo: Photo) -> Shot:
    facts = context.facts(piece, photo.file)
    day = photo_day(context, piece, photo)
    after = days_after(day, piece.record)
    words = " · ".join(part for part in (day_words(day), f"day {after}" if after is not None else None) if part)
    return Shot(
        stage=photo.stage.value if photo.stage else "",
        stage_words=STAGE_WORDS[photo.stage],
        words=words,
        picture=picture(facts.screen, photo_alt(piece, photo), wanted_px=_PHOTO_PX) if facts else None,
        original=context.original(f"{piece.folder}/{photo.file}", depth=1),
        file=photo.file.rpartition("/")[2],
        details=f"{facts.file_format}, {facts.width} × {facts.height}" if facts else "",
    )


def _first(shots: list[Shot]) -> tuple[Shot, ...]:
    """Choose the photos shown large: one fresh beside one healed, else the best there is."""
    seen = [shot for shot in shots if shot.picture]
    pair = [next((s for s in seen if s.stage == stage), None) for stage in ("fresh", "healed")]
    chosen = tuple(shot for shot in pair if shot)
    return chosen or tuple(seen[:1])


def _groups(shots: list[Shot]) -> tuple[ShotGroup, ...]:
    words = dict.fromkeys(shot.stage_words for shot in shots)
    return tuple(ShotGroup(word, tuple(shot for shot in shots if shot.stage_words == word)) for word in words)


def _cells(context: Context, piece: Piece, record: PieceRecord, publication: Publication) -> Iterator[Cell]:
    yield Cell("Placement", placement_words(record.placement) or "Not recorded", wide=True)
    yield Cell(
        "Size on skin", size_words(record.size.width, record.size.height, context.units) or "Not recorded", kind="big"
    )
    yield _girth_cell(context, record)
    visits = sum(sitting.kind is SittingKind.SITTING for sitting in record.sitting)
    touch_ups = len(record.sitting) - visits
    soft = count_words(visits, "sitting") + (f", {count_words(touch_ups, 'touch-up')}" if touch_ups else "")
    time = hours_words(record.hours) if record.hours is not None else "Not recorded"
    yield Cell("Time", time, soft=soft if record.sitting else "")
    yield Cell("Finished", day_words(record.finished_on) or "Not recorded")
    if record.client:
        yield Cell("Client", record.client, href="../" + context.client_pages[record.client], kind="code")
    else:
        yield Cell("Client", "Not recorded")
    yield Cell("Style", ", ".join(record.styles) or "Not recorded")
    if record.subjects:
        yield Cell("Shows", ", ".join(record.subjects), wide=True)
    yield Cell("References", mark=references_mark(publication.references))
    yield Cell(
        "Photo release", mark=release_mark(record.release, context.catalogue.built_on), soft=_release_soft(record)
    )
    yield Cell("Portfolio", portfolio_words(publication), wide=True)
    if record.rights_override:
        day = day_words(record.rights_override.date)
        yield Cell("You decided to show it", record.rights_override.reason, soft=day or "", wide=True)
    yield Cell("Record", piece.id, kind="code", wide=True)


def _girth_cell(context: Context, record: PieceRecord) -> Cell:
    girth, width = record.placement.girth, record.size.width
    if girth is not None:
        wraps = f"wraps {round(360 * width / girth)}°" if width else ""
        return Cell("Girth there", f"{length_words(girth, context.units)}, measured", soft=wraps)
    place = PLACES.get(record.placement.region or "")
    average = POPULATION_GIRTHS.get(place.girth) if place and place.girth else None
    if average is None or width is None:
        return Cell("Girth there", "Not measured")
    around = length_words(round(average.mean_mm), context.units)
    soft = f"an average of {around} would make it wrap {round(360 * width / average.mean_mm)}°"
    return Cell("Girth there", "Not measured", soft=soft)


def _release_soft(record: PieceRecord) -> str:
    release = record.release
    scope = f"for {', '.join(release.scope)}" if release.scope else ""
    return ", ".join(part for part in (scope, day_words(release.date)) if part)


def _kept_out(publication: Publication) -> tuple[str, ...]:
    return publication.reasons if publication.wanted and not publication.shown else ()


def _sittings(record: PieceRecord) -> tuple[SittingRow, ...]:
    kinds = {SittingKind.SITTING: "Sitting", SittingKind.TOUCH_UP: "Touch-up"}
    return tuple(
        SittingRow(
            date_words(sitting.date),
            kinds[sitting.kind],
            hours_words(sitting.hours) if sitting.hours is not None else "",
            sitting.note or "",
        )
        for sitting in sorted(record.sitting, key=lambda sitting: sitting.date)
    )


def _healings(record: PieceRecord) -> tuple[HealingRow, ...]:
    return tuple(
        HealingRow(date_words(seen.date), days_after(seen.date, record), seen.note or "", seen.touch_up)
        for seen in sorted(record.healing, key=lambda seen: seen.date)
    )


def _touch_up(context: Context, record: PieceRecord) -> str:
    limits = context.catalogue.config.limits
    end = touch_up_until(record, limits)
    if end is None:
        return ""
    verb = "was possible" if end < context.catalogue.built_on else "is possible"
    return f"A touch-up {verb} until {date_words(end)} (day {limits.touch_up_until_days}, your limit)."


def _missing(record: PieceRecord) -> Iterator[str]:
    stages = {photo.stage for photo in record.photo}
    wanted = {
        "size on skin": record.size.width and record.size.height,
        "placement": record.placement.region,
        "girth of the limb": record.placement.girth,
        "client": record.client,
        "sittings": record.sitting,
        "hours": record.hours is not None,
        "needles": record.needle,
        "inks": record.ink,
        "ink batches": not record.ink or all(ink.batch for ink in record.ink),
        "fresh photo": Stage.FRESH in stages,
        "healed photo": Stage.HEALED in stages,
        "stencil": record.stencil,
        "the stencil that went on the skin": not record.stencil or record.applied_stencil,
        "references": record.reference,
        "styles": record.styles,
    }
    return (words for words, there in wanted.items() if not there)
