"""The stencil versions of a piece, drawn to one common scale in the order they were made from each other."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from archgen.outputs.archive.context import AlsoUsed, Context, also_used
from archgen.outputs.archive.stencils import stencil_height_mm, stencils_of
from archgen.picture_facts.facts import Derivative, ImageFacts
from archgen.records.model import Piece, Stencil
from archgen.units import length_words, size_words
from archgen.wording.pieces import count_words

# The largest version of a piece fills this box on the page.
BOX_WIDTH_PX, BOX_HEIGHT_PX = 200, 300


@dataclass(frozen=True, slots=True)
class LineageDrawing:
    """The marks of a stencil cut out of its copy: box in pixels of the copy, size on the page."""

    href: str
    copy_width: int
    copy_height: int
    view_box: str
    width: int
    height: int
    flip: str


@dataclass(frozen=True, slots=True)
class Version:
    """One version.

    Attributes:
        width: Its printed width in words; empty when not recorded, then the drawing is not to scale.
        leads_on: Whether the next version shown was made from this one.
        column: How many versions it is away from a first drawing.
        starts_row: Whether it stands below its parent, not beside it, or is a first drawing.
    """

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
    also: tuple[AlsoUsed, ...] = ()
    column: int = 0
    starts_row: bool = False


def lineage(context: Context, piece: Piece) -> tuple[Version, ...]:
    """List the versions of a piece, each after the one it was made from."""
    rows = list(_in_order(list(stencils_of(context, piece))))
    scale = _scale(rows)
    versions = [_version(context, piece, stencil, facts, scale) for stencil, facts in rows]
    placed: list[Version] = []
    columns: dict[int | None, int] = {}
    for version, (stencil, _) in zip(versions, rows, strict=True):
        column = columns.get(stencil.parent, -1) + 1 if stencil.parent is not None else 0
        columns.setdefault(stencil.version, column)
        beside = column > 0 and rows[len(placed) - 1][0].version == stencil.parent
        if beside:
            placed[-1] = replace(placed[-1], leads_on=True)
        placed.append(replace(version, column=column, starts_row=not beside))
    return tuple(placed)


def _in_order(rows: list[tuple[Stencil, ImageFacts | None]]) -> Iterator[tuple[Stencil, ImageFacts | None]]:
    """Walk from each first version down its children; a parent that does not exist, or a ring, hides nothing."""
    left = sorted(rows, key=lambda row: (row[0].version is None, row[0].version or 0, row[0].file))
    known = {stencil.version for stencil, _ in left}

    def children(parent: int | None) -> Iterator[tuple[Stencil, ImageFacts | None]]:
        for row in [row for row in left if row[0].parent == parent]:
            if row in left:
                left.remove(row)
                yield row
                if row[0].version is not None:
                    yield from children(row[0].version)

    while left:
        start = next((row for row in left if row[0].parent is None or row[0].parent not in known), left[0])
        left.remove(start)
        yield start
        if start[0].version is not None:
            yield from children(start[0].version)


def _scale(rows: list[tuple[Stencil, ImageFacts | None]]) -> float:
    """Give the pixels per millimetre at which the largest version fills the box."""
    widths = [stencil.width for stencil, _ in rows if stencil.width]
    heights = [height for stencil, facts in rows if (height := stencil_height_mm(stencil, facts))]
    scales = [BOX_WIDTH_PX / max(widths)] if widths else [1.0]
    scales += [BOX_HEIGHT_PX / max(heights)] if heights else []
    return min(scales)


def _version(context: Context, piece: Piece, stencil: Stencil, facts: ImageFacts | None, scale: float) -> Version:
    name = f"Version {stencil.version}" if stencil.version is not None else "No version recorded"
    sources = ", ".join(path.rpartition("/")[2] for path in stencil.from_)
    parent = f"from version {stencil.parent}" if stencil.parent is not None else "first drawing"
    record = piece.record
    height = stencil_height_mm(stencil, facts)
    return Version(
        name=name,
        made_from=f"{parent}, after {sources}" if sources else parent,
        note=stencil.note or "",
        applied=record is not None and stencil == record.applied_stencil,
        mirrored=stencil.mirrored,
        drawing=_drawing(stencil, facts, scale) if facts else None,
        alt=f"Stencil of {piece.title}, {name.lower()}",
        width=length_words(stencil.width, context.units) if stencil.width else "",
        size=size_words(stencil.width, height and round(height), context.units) or "Width not recorded",
        landmarks=count_words(len(stencil.landmark), "landmark") if stencil.landmark else "",
        original=context.original(f"{piece.folder}/{stencil.file}", depth=1),
        file=stencil.file.rpartition("/")[2],
        leads_on=False,
        described=record is not None and stencil in record.stencil,
        also=also_used(context, f"{piece.folder}/{stencil.file}"),
    )


def _drawing(stencil: Stencil, facts: ImageFacts, scale: float) -> LineageDrawing | None:
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
