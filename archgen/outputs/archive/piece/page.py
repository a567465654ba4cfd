"""The page of one piece: everything its record holds."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace

from markupsafe import Markup

from archgen.languages.house import say, say_count
from archgen.outputs.archive.body import Body, Figure
from archgen.outputs.archive.context import Context, PageProblem, Site, problem, without_folders
from archgen.outputs.archive.piece.changes import VersionChange, changes_page, version_changes
from archgen.outputs.archive.piece.healing import HealingRule, healing_rule
from archgen.outputs.archive.piece.laid import LaidView, laid_view
from archgen.outputs.archive.piece.lineage import Version, lineage
from archgen.outputs.archive.piece.photos import PagePhoto, ShotGroup, first_shots, more_shots
from archgen.outputs.archive.piece.reading import (
    LimbView,
    PrintButton,
    VersionReading,
    on_limb,
    print_buttons,
    readings,
)
from archgen.outputs.archive.piece.work import (
    InkRow,
    NeedleRow,
    RecallNotice,
    ReferenceRow,
    ink_rows,
    needle_rows,
    recall_notices,
    reference_rows,
)
from archgen.outputs.sheets.kept_orders import order_name
from archgen.pieces.overview import Neighbour, PieceOverview
from archgen.records.model import Piece, PieceRecord, Release
from archgen.render.markdown import to_html
from archgen.units import date_words, hours_words, length_words
from archgen.values.frozen import Value
from archgen.wording.followup import look_mark, touch_up_words
from archgen.wording.missing import missing_words
from archgen.wording.pieces import (
    SITTING_WORDS,
    Mark,
    as_written_words,
    day_or_written,
    day_words,
    finished_words,
    place_of,
    portfolio_words,
    references_mark,
    release_mark,
    size_on_skin,
    time_or_written,
    visits_words,
)


class TitleCell(Value, frozen=True):
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


class SittingRow(Value, frozen=True):
    """One visit."""

    date: str
    kind: str
    hours: str
    note: str


class HealingRow(Value, frozen=True):
    """What was seen afterwards."""

    date: str
    day: int | None
    note: str
    touch_up: Mark | None


class NeighbourLink(Value, frozen=True):
    """The next piece on one side."""

    href: str
    title: str


class ArchivePieceView(Value, frozen=True):
    """Everything on the page of a piece; what has a default needs a record that can be read."""

    site: Site
    title: str
    broken: bool
    newer: NeighbourLink | None
    older: NeighbourLink | None
    first: tuple[PagePhoto, ...]
    more: tuple[ShotGroup, ...]
    versions: tuple[Version, ...]
    references: tuple[ReferenceRow, ...]
    notes: Markup | None
    story: Markup | None
    problems: tuple[PageProblem, ...]
    record_file: str
    record_href: str
    subtitle: str = ""
    recalls: tuple[RecallNotice, ...] = ()
    laid: LaidView | None = None
    healing: HealingRule | None = None
    cells: tuple[TitleCell, ...] = ()
    kept_out: tuple[str, ...] = ()
    sheet: str = ""
    order: str = ""
    prints: tuple[PrintButton, ...] = ()
    readings: tuple[VersionReading, ...] = ()
    changes: tuple[VersionChange, ...] = ()
    changes_href: str = ""
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

    @property
    def more_words(self) -> str:
        """Say which photos are folded away."""
        return ", ".join(f"{len(group.shots)} {group.within}" for group in self.more)

    @property
    def versions_words(self) -> str:
        """Say how many versions there are."""
        return (
            say_count("{number} version", "{number} versions", len(self.versions))
            if self.versions
            else say("None in this piece's folder")
        )

    @property
    def changed_words(self) -> str:
        """Say the main thing that changed between the first two versions."""
        return f"{self.changes[0].name}: {self.changes[0].words[0]}"

    @property
    def readable_words(self) -> str:
        """Say the main thing about the version that matters most."""
        first = self.readings[0]
        return f"{first.name}: {first.lines[0]}"

    @property
    def references_words(self) -> str:
        """Say how many references there are, and from whom."""
        makers = dict.fromkeys(row.creator for row in self.references if row.creator)
        count = (
            say_count("{number} reference", "{number} references", len(self.references))
            if self.references
            else say("None recorded")
        )
        return ", ".join((count, *makers))


def piece_view(context: Context, overview: PieceOverview, figure: Figure) -> ArchivePieceView:
    """Make the page of a piece."""
    piece = overview.piece
    view = ArchivePieceView(
        site=context.site,
        title=overview.title,
        broken=overview.record is None,
        newer=_neighbour(context, overview.newer),
        older=_neighbour(context, overview.older),
        first=first_shots(context, overview),
        more=more_shots(context, overview),
        versions=lineage(context, overview),
        references=reference_rows(context, overview),
        notes=to_html(piece.notes) if piece.notes else None,
        story=to_html(piece.story) if piece.story else None,
        problems=tuple(problem(context, finding, depth=1) for finding in context.catalogue.findings_of(piece)),
        record_file=piece.toml,
        record_href=context.original(piece.toml, depth=1),
    )
    return _with_record(view, context, overview, overview.record, figure) if overview.record else view


def made_of_piece(context: Context, overview: PieceOverview) -> tuple[object, ...]:
    """Give all that shapes the page of a piece but the figure, which is the theme's: what `piece_view` asks for."""
    piece, record = overview.piece, overview.record
    inks, needles = overview.inks, overview.needles
    numbers = (*(use.ink.batch for use in inks), *(use.needle.batch for use in needles))
    numbers = (*numbers, *(use.needle.sterilisation for use in needles))
    return (
        context.digest,
        context.catalogue.digest_of(overview),
        tuple(problem(context, finding, depth=1) for finding in context.catalogue.findings_of(piece)),
        _sheet(context, overview),
        _order(context, overview),
        context.catalogue.is_in_portfolio(overview.id),
        context.client_pages[record.client] if record and record.client else None,
        tuple(context.batch_pages_of(number) for number in numbers),
        tuple(bool(use.bottle and piece.id in context.pieces_to_tell(use.bottle.batch)) for use in inks),
        release_mark(record.release, context.catalogue.built_on, piece.written_release) if record else None,
    )


def _sheet(context: Context, overview: PieceOverview) -> str:
    """Give the way to the case sheet; empty where it could not be made."""
    return _printed(context, f"sheets/{overview.id}.pdf")


def _order(context: Context, overview: PieceOverview) -> str:
    """Give the way to the order of work; empty where no plan is kept, or it could not be made."""
    is_kept = overview.record is not None and overview.record.values.cuts
    return _printed(context, f"sheets/{order_name(overview.id)}") if is_kept else ""


def _printed(context: Context, path: str) -> str:
    return "" if path in context.catalogue.not_made else f"../../{path}"


def _with_record(
    view: ArchivePieceView, context: Context, overview: PieceOverview, record: PieceRecord, figure: Figure
) -> ArchivePieceView:
    publication, limits = overview.publication, context.catalogue.config.limits
    place = place_of(overview.piece) or ""
    size = size_on_skin(overview, context.units)
    touch_up = overview.follow_up.touch_up
    return replace(
        view,
        subtitle=", ".join(part for part in (place, size) if part),
        recalls=recall_notices(context, overview),
        laid=laid_view(overview),
        healing=healing_rule(overview, record, limits),
        cells=tuple(_cells(context, overview, record)),
        kept_out=tuple(map(without_folders, publication.reasons))
        if publication.wanted and not publication.shown
        else (),
        sheet=_sheet(context, overview),
        order=_order(context, overview),
        prints=print_buttons(overview, context.units),
        readings=readings(overview, limits),
        changes=version_changes(context, overview),
        changes_href=f"../{changes_page(context, overview)}",
        limb=on_limb(overview, context.units),
        body=figure.body([record.placement], say("Body figure: {place}, is hatched", place=place), numbered=False),
        body_note=record.placement.note or "",
        needles=needle_rows(context, overview),
        inks=ink_rows(context, overview),
        sittings=_sittings(overview.piece, record),
        total=hours_words(record.hours) if record.hours is not None else "",
        healings=_healings(overview),
        touch_up=touch_up_words(touch_up, limits) if touch_up else "",
        missing=missing_words(overview.gaps),
    )


def _neighbour(context: Context, other: Neighbour | None) -> NeighbourLink | None:
    return NeighbourLink("../" + context.piece_pages[other.piece_id], other.title) if other else None


def _cells(context: Context, overview: PieceOverview, record: PieceRecord) -> Iterator[TitleCell]:
    yield TitleCell(say("Placement"), place_of(overview.piece) or say("Not recorded"), wide=True)
    yield _marked_cell(say("Size on skin"), size_on_skin(overview, context.units), kind="big")
    yield _girth_cell(overview, context.units)
    time = hours_words(record.hours) if record.hours is not None else say("Not recorded")
    yield TitleCell(say("Time"), time, soft=visits_words(overview.visits) if record.sitting else "")
    yield _marked_cell(say("Finished"), finished_words(overview))
    if record.client:
        yield TitleCell(say("Client"), record.client, href="../" + context.client_pages[record.client], kind="code")
    else:
        written = as_written_words(overview.piece.written("client"))
        yield TitleCell(say("Client"), written or say("Not recorded"))
    yield TitleCell(say("Style"), ", ".join(record.styles) or say("Not recorded"))
    if record.subjects:
        yield TitleCell(say("Shows"), ", ".join(record.subjects), wide=True)
    yield TitleCell(say("References"), mark=references_mark(overview.publication))
    yield _release_cell(context, overview.piece, record.release)
    is_there = context.catalogue.is_in_portfolio(overview.id)
    yield TitleCell(
        say("Portfolio"),
        portfolio_words(overview.publication, is_there=is_there),
        wide=True,
    )
    if record.rights_override:
        day = day_words(record.rights_override.date)
        yield TitleCell(say("You decided to show it"), record.rights_override.reason, soft=day or "", wide=True)
    yield TitleCell(say("Record"), overview.id, kind="code", wide=True)


def _marked_cell(label: str, words: str | None, kind: str = "") -> TitleCell:
    """Set what a value rests on in small letters behind it."""
    text, _, mark = (words or say("Not recorded")).partition(", ")
    return TitleCell(label, text, soft=mark, kind=kind)


def _girth_cell(overview: PieceOverview, units: str) -> TitleCell:
    limb, wrap = overview.limb, overview.wrap
    if limb is None or (wrap is None and not limb.measured):
        return TitleCell(say("Girth there"), say("Not measured"))
    around = length_words(limb.girth_mm, units)
    turn = f"{wrap.angle_deg:.0f}°" if wrap else ""
    if limb.measured:
        return TitleCell(
            say("Girth there"),
            say("{around}, measured", around=around),
            soft=say("wraps {turn}", turn=turn) if turn else "",
        )
    return TitleCell(
        say("Girth there"),
        say("Not measured"),
        soft=say("an average of {around} would make it wrap {turn}", around=around, turn=turn),
    )


def _release_cell(context: Context, piece: Piece, release: Release) -> TitleCell:
    parts = (
        say("for {scope}", scope=", ".join(release.scope)) if release.scope else "",
        day_words(release.date),
        say("ends {day}", day=date_words(release.expires)) if release.expires else "",
        release.note,
    )
    return TitleCell(
        say("Photo release"),
        mark=release_mark(release, context.catalogue.built_on, piece.written_release),
        soft=", ".join(part for part in parts if part),
        paper=release.file.rpartition("/")[2] if release.file else "",
        paper_href=context.original(f"{piece.folder}/{release.file}", depth=1) if release.file else "",
    )


def _sittings(piece: Piece, record: PieceRecord) -> tuple[SittingRow, ...]:
    numbered = sorted(enumerate(record.sitting), key=lambda one: one[1].date or dt.date.max)
    return tuple(
        SittingRow(
            day_or_written(sitting.date, piece.written(f"sitting.{number}.date")),
            as_written_words(piece.written(f"sitting.{number}.kind")) or say(SITTING_WORDS[sitting.kind]),
            time_or_written(sitting.hours, piece.written(f"sitting.{number}.hours")) or "",
            sitting.note or "",
        )
        for number, sitting in numbered
    )


def _healings(overview: PieceOverview) -> tuple[HealingRow, ...]:
    return tuple(
        HealingRow(
            day_words(look.seen.date) or say("Date not recorded"),
            look.days_after,
            look.seen.note or "",
            look_mark(look),
        )
        for look in overview.follow_up.looks
    )
