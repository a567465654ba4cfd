"""Gauge one stencil for the terminal or another program, and say in plain words what was measured."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from archgen.config import Limits
from archgen.errors import UsageError
from archgen.languages.house import say, within
from archgen.picture_facts.gauge_facts import GaugeFigures, PlaceFacts, gauge_figures
from archgen.pieces.materials import FinestNeedle, finest_needle
from archgen.pieces.prints import choose, read_for, version_words
from archgen.records.model import Piece
from archgen.stencils.marks import Marks, turned
from archgen.stencils.stroke_width import (
    WIDEST_GAP_MM,
    WIDEST_STROKE_MM,
    Gauge,
    GaugeLimits,
    NarrowPlace,
    WidthRow,
    Widths,
    check_width,
    measure,
)
from archgen.values.frozen import Value
from archgen.wording.stencils.readings import gauge_lines, place_words

# Vector files are drawn so fine before they are gauged.
DPI = 600


class Gauged(Value, frozen=True):
    """A stencil with its gauge; `name` says which it is."""

    name: str
    marks: Marks
    gauge: Gauge
    finest: FinestNeedle | None = None


def gauge_piece(
    root: Path, piece: Piece, version: Sequence[str], width_mm: float | None, limits: GaugeLimits
) -> Gauged:
    """Gauge the version that went on the skin, or the one named, as it reads on skin.

    Raises:
        UsageError: It is not clear which version is meant, or how wide it was printed.
        InputError: The file cannot be used.
    """
    stencil = choose(piece, version)[0]
    width = width_mm or stencil.width
    name = f"{piece.title}, {within(version_words(stencil))}"
    if width is None:
        raise UsageError(
            say("{name}: no width is recorded. Say at which width it is printed, such as --width 62mm.", name=name)
        )
    check_width(width)
    marks = read_for(root / piece.folder / stencil.file, DPI, width)
    marks = turned(marks) if stencil.mirrored else marks
    finest = finest_needle(piece.record) if piece.record else None
    return Gauged(name, marks, measure(marks, float(width), limits), finest)


def gauge_image(file: Path, width_mm: float | None, limits: GaugeLimits) -> Gauged:
    """Gauge a picture outside the archive.

    Raises:
        UsageError: No width is given.
        InputError: The file cannot be used.
    """
    if width_mm is None:
        raise UsageError(say("How wide is {file} printed? Add --width 62mm.", file=file.name))
    check_width(width_mm)
    marks = read_for(file, DPI, width_mm)
    return Gauged(file.name, marks, measure(marks, width_mm, limits))


def as_json(gauge: Gauge, rows: Sequence[WidthRow] = ()) -> dict[str, Any]:
    """Give what another program wants to know; lengths in mm, null where there is nothing to measure or to tell."""
    found = {
        "width_mm": round(gauge.width_mm, 4),
        "height_mm": round(gauge.height_mm, 4),
        "stroke_mm": _widths(gauge.stroke_mm),
        "gap_mm": _widths(gauge.gap_mm),
        "thin": [_place(place, gauge.width_mm, gauge.limits.stroke_mm) for place in gauge.thin],
        "tight": [_place(place, gauge.width_mm, gauge.limits.gap_mm) for place in gauge.tight],
        "thin_lines": gauge.thin_lines,
        "tight_gaps": gauge.tight_gaps,
        "closing_gaps": gauge.closing_gaps,
        "dots_per_inch": round(gauge.dots.per_inch, 1),
        "readable_from_mm": gauge.readable_from_mm and round(gauge.readable_from_mm, 2),
    }
    return {**found, "widths": [{**asdict(row), "readable": row.is_readable} for row in rows]} if rows else found


def _widths(widths: Widths | None) -> dict[str, float] | None:
    if widths is None:
        return None
    return {name: round(getattr(widths, name), 4) for name in ("p01", "p05", "p50", "p95", "p99")}


def _place(place: NarrowPlace, width_mm: float, limit_mm: float) -> dict[str, float]:
    """Give a place and the width of the whole design from which it keeps its limit."""
    return {
        "x_mm": round(place.x_mm, 2),
        "y_mm": round(place.y_mm, 2),
        "mm": round(place.mm, 3),
        "readable_from_mm": round(width_mm * limit_mm / place.mm, 1),
    }


def gauge_words(gauged: Gauged) -> Iterator[str]:
    """Say what was measured and what is below the limits."""
    gauge, finest = gauged.gauge, gauged.finest
    yield say("{name}: {width:g} × {height:.1f} mm", name=gauged.name, width=gauge.width_mm, height=gauge.height_mm)
    yield from gauged.marks.warnings
    yield _spread(say("Lines"), gauge.stroke_mm, WIDEST_STROKE_MM)
    yield _spread(say("Gaps"), gauge.gap_mm, WIDEST_GAP_MM)
    limits = Limits(stroke_mm=gauge.limits.stroke_mm, gap_mm=gauge.limits.gap_mm)
    figures = gauge_figures(gauge, finest.bundle_mm if finest else None)
    yield from list(gauge_lines(figures, finest, limits))[1:]
    if figures.places:
        worst = "; ".join(f"{place.tag} {words}" for place, words in _places(figures))
        yield say("Worst: {places}.", places=worst)
    if gauge.tapers:
        yield say("{tapers} tapering ends and wedges aren't counted: they are meant to run out.", tapers=gauge.tapers)


def _places(figures: GaugeFigures) -> Iterator[tuple[PlaceFacts, str]]:
    for place, (_, words) in zip(figures.places, place_words(figures), strict=True):
        yield (
            place,
            say(
                "{words}, {x_mm:.0f} mm from the left and {y_mm:.0f} from the top",
                words=words,
                x_mm=place.x_mm,
                y_mm=place.y_mm,
            ),
        )


def _spread(what: str, widths: Widths | None, widest_mm: float) -> str:
    if widths is None:
        return say("{what}: none seen up to {widest_mm:g} mm wide.", what=what, widest_mm=widest_mm)
    return say(
        "{what}: {p50:.2f} mm in the middle; finest 1 % {p01:.2f}, 5 % {p05:.2f}; widest 5 % "
        "{p95:.2f}, 1 % {p99:.2f} mm.",
        what=what,
        p50=widths.p50,
        p01=widths.p01,
        p05=widths.p05,
        p95=widths.p95,
        p99=widths.p99,
    )


def table_words(rows: Sequence[WidthRow]) -> Iterator[str]:
    """Give the table "at which size does it stay readable"."""
    yield say(
        "{value:>8} {value2:>8} {value3:>11} {value4:>11} {value5:>9}  stays readable",
        value=say("width"),
        value2=say("height"),
        value3=say("thin lines"),
        value4=say("tight gaps"),
        value5=say("close up"),
    )
    for row in rows:
        said = {True: say("yes"), False: say("no"), None: say("can't be told: the file is too coarse")}[row.is_readable]
        thin, tight = ("?" if count is None else count for count in (row.thin, row.tight))
        yield say(
            "{width_mm:>5.0f} mm {height_mm:>5.0f} mm {thin:>11} {tight:>11} {closing:>9}  {said}",
            width_mm=row.width_mm,
            height_mm=row.height_mm,
            thin=thin,
            tight=tight,
            closing=row.closing,
            said=said,
        )
