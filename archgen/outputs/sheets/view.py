"""What a case sheet says: a piece and what the archive knows about it, as words in the order of the paper."""

import datetime as dt

from archgen.catalogue import Catalogue
from archgen.config import Limits
from archgen.languages.house import house, say, to_say, within
from archgen.outputs.sheets.rows import (
    SheetPicture,
    SheetRow,
    ink_row,
    needle_row,
    picture_of,
    reference_row,
    sitting_rows,
    version_row,
)
from archgen.papers import Paper, sheet_paper
from archgen.pieces.followup import FollowUp, Look
from archgen.pieces.overview import PieceOverview
from archgen.pieces.photos import PhotoOverview
from archgen.pieces.survey import SurveyedCatalogue
from archgen.pieces.versions import VersionOverview
from archgen.records.model import PieceRecord, ReleaseStatus, Stage
from archgen.render.markdown_tree import Block, blocks_of, is_right_to_left
from archgen.units import date_words, hours_words, length_words, size_words
from archgen.values.frozen import Value
from archgen.wording.followup import look_mark, touch_up_window_words
from archgen.wording.pieces import (
    day_words,
    finished_words,
    photo_alt,
    place_of,
    portfolio_cell,
    release_words,
    size_on_skin,
    stage_words,
    visits_words,
)
from archgen.wording.stencils.readings import gauge_lines, limb_lines, place_words

# Width in pixels that looks sharp 110 mm wide, at 230 dpi.
PHOTO_PX = 1000
# The same for two beside each other, of which the wider is at most 66 mm wide.
PAIR_PX = 600
CAUTIONS = (
    to_say(
        "Working record. It does not replace your licence conditions, your local health code or the "
        "ink maker’s instructions."
    ),
    to_say(
        "Figures marked default are studio practice, not medical advice; ask a doctor about any "
        "reaction, sign of infection or health condition."
    ),
    to_say("Rights are a record of what was told to you; they are not a legal opinion."),
    to_say("Check the 100 mm rule with a ruler before you trust a size on this sheet."),
)


class SheetDrawing(Value, frozen=True):
    """A stencil version: its picture, true width when recorded, and whether to turn it to read right."""

    picture: SheetPicture
    width_mm: float | None
    width: str | None
    height: str | None
    turned: bool
    words: str


class SheetCell(Value, frozen=True):
    """One cell of the title block; None = not recorded."""

    label: str
    value: str | None
    wide: bool = False


class SheetReading(Value, frozen=True):
    """How the applied stencil reads: its critical places marked, and named by their tags."""

    picture: SheetPicture
    lines: tuple[str, ...]
    places: tuple[tuple[str, str], ...]


class SheetLimb(Value, frozen=True):
    """The stencil on the limb as seen from straight ahead, and what is to be said of it."""

    picture: SheetPicture
    lines: tuple[str, ...]


class CaseSheet(Value, frozen=True):
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
    needles: tuple[SheetRow, ...]
    inks: tuple[SheetRow, ...]
    follow_up: tuple[str, ...]
    sittings: tuple[SheetRow, ...]
    versions: tuple[SheetRow, ...]
    references: tuple[SheetRow, ...]
    notes: tuple[Block, ...]
    reading: SheetReading | None = None
    limb: SheetLimb | None = None
    cautions: tuple[str, ...] = ()

    @property
    def pictures(self) -> tuple[SheetPicture, ...]:
        """List every picture of the sheets."""
        rows = (*self.versions, *self.references)
        in_rows = tuple(row.picture for row in rows if row.picture)
        others = (part.picture for part in (self.drawing, self.reading, self.limb) if part)
        return (*self.photos, *others, *in_rows)


def case_sheet(overview: PieceOverview, record: PieceRecord, catalogue: Catalogue) -> CaseSheet:
    """Gather what the sheets of a piece say."""
    config, today = catalogue.config, catalogue.built_on
    units = config.archive.units
    described = [version for version in overview.versions if version.is_described]
    return CaseSheet(
        id=overview.id,
        title=record.title,
        rtl=is_right_to_left(record.title),
        artist=config.portfolio.artist or config.archive.title,
        language=_language(house().tag),
        paper=sheet_paper(config.printer.paper),
        dated=overview.finished_on,
        photos=_photos(overview),
        drawing=_drawing(overview.title, overview.applied, units) if overview.applied else None,
        reading=_reading(overview, config.limits),
        limb=_limb(overview, units),
        facts=_facts(overview, record, today, units),
        region=record.placement.region,
        side=record.placement.side.value if record.placement.side else None,
        needles=tuple(needle_row(use, today) for use in overview.needles),
        inks=tuple(ink_row(use, today) for use in overview.inks),
        follow_up=_follow_up(overview.follow_up, config.limits),
        sittings=sitting_rows(overview.piece, record),
        versions=tuple(version_row(version, units) for version in described),
        references=tuple(reference_row(one) for one in overview.references if one.is_described),
        notes=tuple(blocks_of(overview.piece.notes or "")),
        cautions=tuple(map(say, CAUTIONS)),
    )


def made_of_sheet(overview: PieceOverview, record: PieceRecord, catalogue: SurveyedCatalogue) -> tuple[object, ...]:
    """Give all that shapes the sheets of a piece but the settings: what `case_sheet` asks for."""
    today = catalogue.built_on
    return (
        catalogue.digest_of(overview),
        tuple(needle_row(use, today) for use in overview.needles),
        tuple(ink_row(use, today) for use in overview.inks),
        release_words(record.release, today, overview.piece.written_release),
    )


def _language(tag: str) -> str:
    """Give the first part of a language tag (BCP 47), or English where it is none."""
    first = tag.partition("-")[0].lower()
    return first if first.isalpha() and first.isascii() and len(first) in (2, 3) else "en"


# ---------------------------------------------------------------- pictures


def _photos(overview: PieceOverview) -> tuple[SheetPicture, ...]:
    """Give at most two photos: fresh and healed; a cover of another stage stands in for one that is missing."""
    photos = overview.photos
    chosen = [photo for photo in (photos.fresh, photos.healed) if photo]
    cover = photos.cover
    if cover and cover not in chosen and (not chosen or (len(chosen) == 1 and cover.photo.cover)):
        chosen = [cover, *chosen]
    wanted_px = PHOTO_PX if len(chosen) == 1 else PAIR_PX
    return tuple(picture for photo in chosen if (picture := _photo(overview.title, photo, wanted_px)))


def _photo(title: str, one: PhotoOverview, wanted_px: int) -> SheetPicture | None:
    stage = stage_words(one) if one.stage else say("Photo")
    words = date_words(one.taken) if one.taken else say("date not recorded")
    if one.days_after is not None and one.stage is not Stage.IN_PROGRESS:
        words = say("{day}, day {number}", day=words, number=one.days_after)
    return picture_of(one.facts, wanted_px, photo_alt(title, one.photo), (stage, words)) if one.facts else None


def _drawing(title: str, version: VersionOverview, units: str) -> SheetDrawing | None:
    stencil, copy = version.stencil, version.facts.print_copy if version.facts else None
    if copy is None:
        return None
    ratio = copy.height / copy.width
    width = stencil.width
    size = size_words(width, width * ratio, units) if width else say("width not recorded")
    number = say("Version {version}, on the skin.", version=stencil.version)
    return SheetDrawing(
        picture=SheetPicture(copy.blob, ratio, say("Stencil of {title}, {size}", title=title, size=size or "")),
        width_mm=float(width) if width else None,
        width=length_words(width, units) if width else None,
        height=length_words(width * ratio, units) if width else None,
        turned=stencil.mirrored,
        words=number if stencil.version else say("On the skin."),
    )


def _reading(overview: PieceOverview, limits: Limits) -> SheetReading | None:
    gauge = overview.applied.gauge if overview.applied else None
    if gauge is None or gauge.paper is None:
        return None
    alt = say("Stencil of {title} with the critical places marked", title=overview.title)
    picture = SheetPicture(gauge.paper.blob, gauge.paper.height / gauge.paper.width, alt)
    return SheetReading(picture, tuple(gauge_lines(gauge, overview.finest, limits)), place_words(gauge))


def _limb(overview: PieceOverview, units: str) -> SheetLimb | None:
    gauge = overview.applied.gauge if overview.applied else None
    if gauge is None or gauge.limb is None or overview.limb is None or overview.stencil_wrap is None:
        return None
    alt = say("Stencil of {title} on an upright limb, seen from straight ahead", title=overview.title)
    picture = SheetPicture(gauge.limb.blob, gauge.limb.height / gauge.limb.width, alt)
    return SheetLimb(picture, tuple(limb_lines(overview.stencil_wrap, overview.limb, units)))


# ---------------------------------------------------------------- title block and follow-up


def _facts(overview: PieceOverview, record: PieceRecord, today: dt.date, units: str) -> tuple[SheetCell, ...]:
    hours = hours_words(record.hours) if record.hours is not None else None
    time = [hours, visits_words(overview.visits) if record.sitting else None]
    release = release_words(record.release, today, overview.piece.written_release)
    release = release[:1].upper() + release[1:]
    if record.release.status is ReleaseStatus.GRANTED and record.release.scope:
        release = say("{release} for {scope}", release=release, scope=", ".join(record.release.scope))
    place = [place_of(overview.piece), record.placement.note]
    return (
        SheetCell(say("Placement"), ", ".join(part for part in place if part) or None, wide=True),
        SheetCell(say("Size on skin"), size_on_skin(overview, units)),
        SheetCell(say("Round the limb"), _wrap(overview, units)),
        SheetCell(say("Time"), ", ".join(part for part in time if part) or None),
        SheetCell(say("Finished"), finished_words(overview)),
        SheetCell(say("Client"), record.client),
        SheetCell(say("Style"), ", ".join(record.styles) or None),
        SheetCell(say("Photo release"), release),
        SheetCell(say("Portfolio"), portfolio_cell(overview.publication)),
    )


def _wrap(overview: PieceOverview, units: str) -> str | None:
    """Say how far round the limb the piece goes, and whose girth that rests on."""
    limb, wrap = overview.limb, overview.wrap
    if limb is None:
        return None
    values = {"girth": length_words(limb.girth_mm, units), "source": say(limb.source)}
    if wrap is None:
        return say("girth {girth}, {source}", **values)
    values["angle"] = f"{wrap.angle_deg:.0f}"
    if wrap.hidden_mm > 0:
        return say("wraps {angle}°; not all of it is seen from one side; girth {girth}, {source}", **values)
    return say("wraps {angle}°; girth {girth}, {source}", **values)


def _follow_up(follow_up: FollowUp, limits: Limits) -> tuple[str, ...]:
    said = [_look_words(look) for look in follow_up.looks]
    said += [touch_up_window_words(follow_up.touch_up, limits)] if follow_up.touch_up else []
    return tuple(words for words in said if words)


def _look_words(look: Look) -> str:
    said = ": ".join(part for part in (day_words(look.seen.date), look.seen.note) if part)
    mark = look_mark(look)
    return f"{said} ({within(mark.words)})" if mark else said
