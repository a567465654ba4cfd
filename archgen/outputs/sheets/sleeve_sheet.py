"""A client's limbs laid flat on one sheet, to print for the next appointment; nobody else is on it."""

import datetime as dt
from collections.abc import Mapping, Sequence

import msgspec

from archgen.config import Config
from archgen.languages.house import say, say_count, to_say, within
from archgen.limbs.free_skin import room_for
from archgen.limbs.sleeve import Sleeve
from archgen.limbs.wishes import NotedWish
from archgen.outputs.archive.body import Callout, Figure
from archgen.outputs.limb_drawing import DrawnLimb, SleeveRow, draw_limb, sleeve_row
from archgen.papers import Paper, sheet_paper
from archgen.pieces.overview import PieceOverview
from archgen.records.model import Placement
from archgen.render.body_figure import with_outlines
from archgen.render.html import load_theme
from archgen.render.sheet_templates import sheet_template
from archgen.render.typst_pdf import make_pdf
from archgen.units import date_words, length_words, size_words
from archgen.values.frozen import Value
from archgen.wording.planning.sleeves import (
    FLAT,
    HATCHED,
    area_unit,
    counted_words,
    left_out_words,
    limb_name,
    new_piece_words,
    noted_words,
)

# How many mm of skin are one on paper, the largest drawing first.
_SCALES = (1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 12.0, 15.0, 20.0)
_EDGES_MM = (32.0, 34.0)
_STRIP_MM, _GAP_MM, _JOINT_MM, _NAME_MM, _HEAD_MM = 65.0, 6.0, 12.0, 7.0, 22.0
# Room below the drawings: a line of words, the rule with what all rests on.
_LINE_MM, _BASIS_MM = 6.0, 40.0
_FIGURE_MM, _ROW_MM, _WORDS_MM = 57.0, 19.0, 14.0
# Drawn smaller than this, limbs get a sheet of their own, on which this much is for edges and rule.
_SMALLEST, _APART_MM = 8.0, 56.0
CAUTION = to_say("Working drawing, not a measurement. Measure the limb and lay the stencil on skin before you decide.")


class FitsOnLimb(Value, frozen=True):
    """What is said of a new piece on a limb."""

    title: str
    lines: tuple[str, ...]


class SleeveSheet(Value, frozen=True):
    """Everything on the sheet.

    Attributes:
        scale: How many mm of skin are 1 mm on paper.
        rows_of_limbs: The limbs by their place, as they stand beside each other.
        is_column: Whether list and figure stand beside the drawing, not above.
        is_apart: Whether the drawings have a sheet of their own.
    """

    title: str
    said: str
    artist: str
    footer: str
    paper: Paper
    scale: float
    rows_of_limbs: tuple[tuple[int, ...], ...]
    is_column: bool
    is_apart: bool
    figure_box: tuple[float, ...]
    figure_words: str
    outlines: tuple[str, ...]
    callouts: tuple[Callout, ...]
    rows: tuple[SleeveRow, ...]
    left_out: tuple[str, ...]
    limbs: tuple[DrawnLimb, ...]
    rule_mm: int
    rule_words: str
    area_unit: str
    fits: tuple[FitsOnLimb, ...]
    plans: tuple[str, ...]
    basis: tuple[str, ...]


class SleeveWish(Value, frozen=True):
    """Whose sheet it is, and what is asked for beside the pieces: a new one in mm, the notes to print."""

    code: str
    new: tuple[float, float] | None = None
    notes: tuple[NotedWish, ...] = ()


def sleeve_sheet(
    pieces: Sequence[PieceOverview], sleeve: Sleeve, wish: SleeveWish, config: Config, today: dt.date
) -> SleeveSheet:
    """Gather what the sheet of a client says, from their pieces, the oldest first."""
    units, paper = config.archive.units, sheet_paper(config.printer.paper)
    limbs = tuple(draw_limb(limb, units) for limb in sleeve.limbs)
    is_column = len(limbs) == 1
    fits = _fits(sleeve, wish, units)
    lines = sum(len(one.lines) + 1 for one in fits) + 2 * len(wish.notes) + len(sleeve.left_out)
    room = _room_beside(paper, len(pieces), lines, is_column=is_column)
    scale, rows_of_limbs = _arranged(limbs, room)
    if is_apart := scale > _SMALLEST:
        scale, rows_of_limbs = _arranged(limbs, (paper.width_mm - _EDGES_MM[0], paper.height_mm - _APART_MM))
    on_limb = {piece.id: limb for limb in sleeve.limbs for piece in limb.pieces}
    figure = Figure(load_theme("archive").files["figure.svg"])
    places = [overview.record.placement if overview.record else Placement() for overview in pieces]
    body = figure.numbered(places)
    by_id = {overview.id: overview for overview in pieces}
    said = [say_count("{number} piece", "{number} pieces", len(pieces)), date_words(today)]
    said += [say("drawn at 1 : {scale:g}", scale=scale)] if limbs else []
    length = 100 if units == "mm" else 127
    return SleeveSheet(
        title=say("Client {code}", code=wish.code),
        said=", ".join(said),
        artist=config.portfolio.artist or config.archive.title,
        footer=say("Private, with notes") if wish.notes else say("Private"),
        paper=paper,
        scale=scale,
        rows_of_limbs=rows_of_limbs,
        is_column=is_column,
        is_apart=is_apart,
        figure_box=tuple(float(part) for part in figure.view_box.split()),
        figure_words=body.words if body else "",
        outlines=body.outlines if body else (),
        callouts=body.callouts if body else (),
        rows=tuple(
            sleeve_row(overview, number, on_limb.get(overview.id), units)
            for number, overview in enumerate(by_id.values(), 1)
        ),
        left_out=tuple(map(left_out_words, sleeve.left_out)),
        limbs=limbs,
        rule_mm=length,
        rule_words=say("{length} of skin", length=length_words(length, units)),
        area_unit=area_unit(units),
        fits=fits,
        plans=tuple(map(noted_words, wish.notes)),
        basis=(
            *((say(FLAT),) if limbs else ()),
            *((say(HATCHED),) if any(limb.is_loose for limb in limbs) else ()),
            *((counted_words(units),) if limbs else ()),
            say(CAUTION),
        ),
    )


def make_sleeve_sheet(sheet: SleeveSheet, drawings: Mapping[str, bytes], today: dt.date) -> bytes:
    """Give the PDF; `drawings` are the stencils by their blobs."""
    figure = load_theme("archive").files["figure.svg"].read_text(encoding="utf-8")
    pictures = {**drawings, "figure.svg": with_outlines(figure, sheet.outlines).encode()}
    return make_pdf(sheet_template("sleeve-sheet.typ"), msgspec.to_builtins(sheet), pictures, today)


def _fits(sleeve: Sleeve, wish: SleeveWish, units: str) -> tuple[FitsOnLimb, ...]:
    if wish.new is None:
        return ()
    width, height = wish.new
    size = size_words(width, height, units)
    return tuple(
        FitsOnLimb(
            say("A new piece of {size} on the {limb}", size=size, limb=within(limb_name(limb))),
            tuple(new_piece_words(limb, room_for(limb, width, height))),
        )
        for limb in sleeve.limbs
    )


def _room_beside(paper: Paper, pieces: int, lines: int, *, is_column: bool) -> tuple[float, float]:
    """Give the width and height left for the drawings beside everything else, with so many lines of words below."""
    width, height = paper.width_mm - _EDGES_MM[0], paper.height_mm - _EDGES_MM[1] - _HEAD_MM - _BASIS_MM
    height -= _LINE_MM * lines
    if is_column:
        return width - _STRIP_MM, height
    height -= _WORDS_MM
    return width, height - max(_FIGURE_MM, -(-pieces // 2) * _ROW_MM)


def _arranged(limbs: Sequence[DrawnLimb], room: tuple[float, float]) -> tuple[float, tuple[tuple[int, ...], ...]]:
    """Choose the largest scale at which all limbs stand in a room, in rows."""
    width, height = room
    for scale in _SCALES:
        wide = [limb.width / scale + _JOINT_MM + _GAP_MM for limb in limbs]
        rows = _in_rows(wide, width)
        high = sum(max(limbs[number].height for number in row) / scale + _NAME_MM + _GAP_MM for row in rows)
        if high <= height and max(wide, default=0.0) <= width + _GAP_MM:
            break
    return scale, tuple(map(tuple, rows))


def _in_rows(wide: Sequence[float], most: float) -> list[list[int]]:
    rows: list[list[int]] = []
    for number, width in enumerate(wide):
        if rows and sum(wide[one] for one in rows[-1]) + width <= most + _GAP_MM:
            rows[-1].append(number)
        else:
            rows.append([number])
    return rows
