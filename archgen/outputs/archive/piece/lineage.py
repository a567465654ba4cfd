"""The stencil versions of a piece, drawn to one common scale in the order they were made from each other."""

from collections.abc import Sequence

from archgen.languages.house import say, say_count, within
from archgen.outputs.archive.context import AlsoUsed, Context, also_used
from archgen.picture_facts.facts import Derivative, ImageFacts
from archgen.pieces.overview import PieceOverview
from archgen.pieces.versions import VersionOverview
from archgen.records.model import Stencil
from archgen.units import length_words
from archgen.values.frozen import Value
from archgen.wording.pieces import version_number, version_size

# The largest version of a piece fills this box on the page.
BOX_WIDTH_PX, BOX_HEIGHT_PX = 200, 300


class LineageDrawing(Value, frozen=True):
    """The marks of a stencil cut out of its copy: box in pixels of the copy, size on the page."""

    href: str
    copy_width: int
    copy_height: int
    view_box: str
    width: int
    height: int
    flip: str


class Version(Value, frozen=True):
    """One version.

    Attributes:
        width: Its printed width in words; empty when not recorded, then the drawing is not to scale.
        leads_on: Whether the next version shown was made from this one.
        column: How many versions it is away from a first drawing.
        starts_row: Whether it stands below its parent, not beside it, or is a first drawing.
    """

    anchor: str
    name: str
    made_from: str
    note: str
    applied: bool
    mirrored: bool
    drawing: LineageDrawing | None
    alt: str
    width: str
    size: str
    landmarks: str
    original: str
    file: str
    leads_on: bool
    described: bool
    also: tuple[AlsoUsed, ...]
    column: int
    starts_row: bool


def lineage(context: Context, overview: PieceOverview) -> tuple[Version, ...]:
    """Draw the versions of a piece, each after the one it was made from."""
    scale = _scale(overview.versions)
    return tuple(_version(context, overview, version, scale) for version in overview.versions)


def _scale(versions: Sequence[VersionOverview]) -> float:
    """Give the pixels per millimetre at which the largest version fills the box."""
    widths = [version.stencil.width for version in versions if version.stencil.width]
    heights = [version.height_mm for version in versions if version.height_mm]
    scales = [BOX_WIDTH_PX / max(widths)] if widths else [1.0]
    scales += [BOX_HEIGHT_PX / max(heights)] if heights else []
    return min(scales)


def _version(context: Context, overview: PieceOverview, version: VersionOverview, scale: float) -> Version:
    stencil, facts = version.stencil, version.facts
    name = version_number(stencil)
    sources = ", ".join(path.rpartition("/")[2] for path in stencil.from_)
    parent = say("from version {parent}", parent=stencil.parent) if stencil.parent is not None else say("first drawing")
    return Version(
        anchor=version.anchor,
        name=name,
        made_from=say("{parent}, after {sources}", parent=parent, sources=sources) if sources else parent,
        note=stencil.note or "",
        applied=version.is_applied,
        mirrored=stencil.mirrored,
        drawing=draw_marks(stencil, facts, scale) if facts else None,
        alt=say("Stencil of {title}, {name}", title=overview.title, name=within(name)),
        width=length_words(stencil.width, context.units) if stencil.width else "",
        size=version_size(version, context.units),
        landmarks=say_count("{number} landmark", "{number} landmarks", len(stencil.landmark))
        if stencil.landmark
        else "",
        original=context.original(version.path, depth=1),
        file=stencil.file.rpartition("/")[2],
        leads_on=version.leads_on,
        described=version.is_described,
        also=also_used(context, version.elsewhere),
        column=version.column,
        starts_row=version.starts_row,
    )


def draw_marks(stencil: Stencil, facts: ImageFacts, scale: float) -> LineageDrawing | None:
    """Cut the marks of a stencil out of its copy, drawn at so many pixels a millimetre."""
    copy = _copy_for(facts)
    if copy is None:
        return None
    per_px = copy.width / facts.width
    left, top, right, bottom = (side * per_px for side in facts.marks or (0, 0, facts.width, facts.height))
    wide, high = max(right - left, 1), max(bottom - top, 1)
    width = stencil.width * scale if stencil.width else min(BOX_WIDTH_PX, BOX_HEIGHT_PX * wide / high)
    return LineageDrawing(
        href=f"../img/{copy.blob}",
        copy_width=copy.width,
        copy_height=copy.height,
        view_box=f"{left:.1f} {top:.1f} {wide:.1f} {high:.1f}",
        width=max(round(width), 1),
        height=max(round(width * high / wide), 1),
        # A drawing stored mirrored is turned over, so that all versions are seen as they sit on the skin.
        flip=f"matrix(-1 0 0 1 {left + right:.1f} 0)" if stencil.mirrored else "",
    )


def _copy_for(facts: ImageFacts) -> Derivative | None:
    """Choose the smallest copy whose marks are sharp at double density."""
    left, _, right, _ = facts.marks or (0, 0, facts.width, facts.height)
    share = (right - left) / facts.width or 1
    by_width = sorted(facts.screen, key=lambda copy: copy.width)
    return next((c for c in by_width if c.width * share >= 2 * BOX_WIDTH_PX), by_width[-1] if by_width else None)
