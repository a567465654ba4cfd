"""The page of one piece: everything its record holds."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from markupsafe import Markup

from archgen.config import Limits
from archgen.outputs.archive.body import Body, Figure
from archgen.outputs.archive.context import Context, PageProblem, Site, problem
from archgen.outputs.archive.piece.healing import HealingRule, days_after, healing_rule, touch_up_until
from archgen.outputs.archive.piece.lineage import Version, lineage
from archgen.outputs.archive.piece.photos import PagePhoto, ShotGroup, first_shots, shot_groups, shots_of
from archgen.outputs.archive.piece.reading import (
    LimbView,
    PrintButton,
    VersionOverlay,
    VersionReading,
    on_limb,
    overlays,
    print_buttons,
    readings,
)
from archgen.outputs.archive.piece.work import InkRow, NeedleRow, ReferenceRow, ink_rows, needle_rows, reference_rows
from archgen.publication.decision import Publication
from archgen.records.model import Piece, PieceRecord, Release, SittingKind, Stage
from archgen.records.vocabulary.limb import limb_at
from archgen.render.markdown import to_html
from archgen.units import date_words, hours_words, length_words, size_words
from archgen.wording.pieces import (
    Mark,
    count_words,
    day_words,
    placement_words,
    portfolio_words,
    references_mark,
    release_mark,
)


@dataclass(frozen=True, slots=True)
class TitleCell:
    """One cell of the title block: text, or a link, or a mark; paper is the file it rests on."""

    label: str
    text: str = ""
    soft: str = ""
    href: str = ""
    mark: Mark | None = None
    kind: str = ""
    wide: bool = False
    paper: str = ""
    paper_href: str = ""


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
class Neighbour:
    """The next piece on one side."""

    href: str
    title: str


@dataclass(frozen=True, slots=True)
class ArchivePieceView:
    """Everything on the page of a piece; what has a default needs a record that can be read."""

    site: Site
    title: str
    broken: bool
    newer: Neighbour | None
    older: Neighbour | None
    first: tuple[PagePhoto, ...]
    more: tuple[ShotGroup, ...]
    versions: tuple[Version, ...]
    references: tuple[ReferenceRow, ...]
    notes: Markup | None
    story: Markup | None
    problems: tuple[PageProblem, ...]
    record_file: str
    record_href: str
    subtitle: str = "The record cannot be used until its problems are mended."
    healing: HealingRule | None = None
    cells: tuple[TitleCell, ...] = ()
    kept_out: tuple[str, ...] = ()
    sheet: str = ""
    prints: tuple[PrintButton, ...] = ()
    readings: tuple[VersionReading, ...] = ()
    overlays: tuple[VersionOverlay, ...] = ()
    limb: LimbView | None = None
    body: Body | None = None
    body_note: str = ""
    needles: tuple[NeedleRow, ...] = ()
    inks: tuple[InkRow, ...] = ()
    sittings: tuple[SittingRow, ...] = ()
    total: str = ""
    healings: tuple[HealingRow, ...] = ()
    touch_up: str = ""
    missing: tuple[str, ...] = ()


def piece_view(context: Context, piece: Piece, figure: Figure) -> ArchivePieceView:
    """Make the page of a piece."""
    newer, older = (_neighbour(context, other) for other in context.neighbours[piece.id])
    shots = shots_of(context, piece)
    first = first_shots(shots)
    view = ArchivePieceView(
        site=context.site,
        title=piece.title,
        broken=piece.record is None,
        newer=newer,
        older=older,
        first=first,
        more=shot_groups(shot for shot in shots if shot not in first),
        versions=lineage(context, piece),
        references=reference_rows(context, piece),
        notes=to_html(piece.notes) if piece.notes else None,
        story=to_html(piece.story) if piece.story else None,
        problems=tuple(problem(context, finding, depth=1) for finding in context.catalogue.findings_of(piece)),
        record_file=piece.toml,
        record_href=context.original(piece.toml, depth=1),
    )
    return _with_record(view, context, piece, piece.record, figure) if piece.record else view


def _with_record(
    view: ArchivePieceView, context: Context, piece: Piece, record: PieceRecord, figure: Figure
) -> ArchivePieceView:
    publication = context.publications[piece.id]
    place = placement_words(record.placement) or ""
    size = size_words(record.size.width, record.size.height, context.units)
    return replace(
        view,
        subtitle=", ".join(part for part in (place, size) if part),
        healing=healing_rule(context, piece, record),
        cells=tuple(_cells(context, piece, record, publication)),
        kept_out=publication.reasons if publication.wanted and not publication.shown else (),
        sheet=f"../../sheets/{piece.id}.pdf",
        prints=print_buttons(context, piece),
        readings=readings(context, piece),
        overlays=overlays(context, piece),
        limb=on_limb(context, piece),
        body=figure.body([record.placement], f"Body figure: {place}, is hatched", numbered=False),
        body_note=record.placement.note or "",
        needles=needle_rows(context, record),
        inks=ink_rows(context, record),
        sittings=_sittings(record),
        total=hours_words(record.hours) if record.hours is not None else "",
        healings=_healings(record),
        touch_up=_touch_up(context, record),
        missing=tuple(_missing(record)),
    )


def _neighbour(context: Context, piece: Piece | None) -> Neighbour | None:
    return Neighbour("../" + context.piece_pages[piece.id], piece.title) if piece else None


def _cells(context: Context, piece: Piece, record: PieceRecord, publication: Publication) -> Iterator[TitleCell]:
    yield TitleCell("Placement", placement_words(record.placement) or "Not recorded", wide=True)
    yield TitleCell(
        "Size on skin", size_words(record.size.width, record.size.height, context.units) or "Not recorded", kind="big"
    )
    yield _girth_cell(context, record)
    visits = sum(sitting.kind is SittingKind.SITTING for sitting in record.sitting)
    touch_ups = len(record.sitting) - visits
    soft = count_words(visits, "sitting") + (f", {count_words(touch_ups, 'touch-up')}" if touch_ups else "")
    time = hours_words(record.hours) if record.hours is not None else "Not recorded"
    yield TitleCell("Time", time, soft=soft if record.sitting else "")
    yield TitleCell("Finished", day_words(record.finished_on) or "Not recorded")
    if record.client:
        yield TitleCell("Client", record.client, href="../" + context.client_pages[record.client], kind="code")
    else:
        yield TitleCell("Client", "Not recorded")
    yield TitleCell("Style", ", ".join(record.styles) or "Not recorded")
    if record.subjects:
        yield TitleCell("Shows", ", ".join(record.subjects), wide=True)
    yield TitleCell("References", mark=references_mark(publication.references))
    yield _release_cell(context, piece, record.release)
    yield TitleCell("Portfolio", portfolio_words(publication), wide=True)
    if record.rights_override:
        day = day_words(record.rights_override.date)
        yield TitleCell("You decided to show it", record.rights_override.reason, soft=day or "", wide=True)
    yield TitleCell("Record", piece.id, kind="code", wide=True)


def _girth_cell(context: Context, record: PieceRecord) -> TitleCell:
    limb, width = limb_at(record.placement), record.size.width
    if limb is None or (width is None and not limb.measured):
        return TitleCell("Girth there", "Not measured")
    around = length_words(limb.girth_mm, context.units)
    turn = f"{round(360 * width / limb.girth_mm)}°" if width else ""
    if limb.measured:
        return TitleCell("Girth there", f"{around}, measured", soft=f"wraps {turn}" if turn else "")
    return TitleCell("Girth there", "Not measured", soft=f"an average of {around} would make it wrap {turn}")


def _release_cell(context: Context, piece: Piece, release: Release) -> TitleCell:
    parts = (
        f"for {', '.join(release.scope)}" if release.scope else "",
        day_words(release.date),
        f"ends {date_words(release.expires)}" if release.expires else "",
        release.note,
    )
    return TitleCell(
        "Photo release",
        mark=release_mark(release, context.catalogue.built_on),
        soft=", ".join(part for part in parts if part),
        paper=release.file.rpartition("/")[2] if release.file else "",
        paper_href=context.original(f"{piece.folder}/{release.file}", depth=1) if release.file else "",
    )


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
    is_default = limits.touch_up_until_days == Limits().touch_up_until_days
    standing = "studio default" if is_default else "your limit"
    verb = "was possible" if end < context.catalogue.built_on else "is possible"
    return f"A touch-up {verb} until {date_words(end)} (day {limits.touch_up_until_days}, {standing})."


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
