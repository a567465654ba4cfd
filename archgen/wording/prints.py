"""Say what a print will be, and name its file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from archgen.printing.stencil_plan import Plan, PlannedDrawing
from archgen.wording.counts import count_words

if TYPE_CHECKING:  # a plan in words needs no library of pictures
    from archgen.stencils.stroke_width import NarrowPlace
    from archgen.stencils.thickening.lines import Thickened

_NAMED = 3


def hand_words(*, mirrored: bool) -> str:
    """Say which way round something is printed."""
    return "mirrored" if mirrored else "not mirrored"


def plan_words(plan: Plan) -> Iterator[str]:
    """Say what is printed, how large, which way round, and on how many sheets."""
    method = plan.job.printer.method
    hand = hand_words(mirrored=plan.mirrored)
    for drawing in plan.drawings:
        label = drawing.stencil.label
        name = label if plan.is_ganged else ", ".join(filter(None, [plan.job.title, label.lower()]))
        changed = "".join(f", {words}" for words in drawing.changed_words)
        yield f"{name}: {drawing.size_words}{_part(drawing)}{changed}, {hand} for {method}"
    sheets = len(plan.pages)
    tile = next((page.tile for page in plan.pages if page.tile), None)
    tiled = f", {tile.columns} across and {tile.rows} down, to be joined at the crosses" if tile else ""
    stencils = sum(len(page.placements) for page in plan.pages if not page.tile)
    together = f", {stencils} stencils to cut apart" if stencils > 1 else ""
    yield (
        f"{sheets} sheet{'s' if sheets > 1 else ''} of {plan.sheet.paper.name}{tiled}{together}. "
        f"Printer {plan.job.printer.name}{_corrected(plan)}. Print at actual size, 100 %."
    )


def file_name(stem: str, plan: Plan) -> str:
    """Name the PDF after the piece, the versions and the size."""
    versions = [drawing.stencil.label.lower().replace("version ", "v") for drawing in plan.drawings]
    if stem.startswith("gang-"):
        return f"{stem}.pdf"
    parts = [stem, *(version.rpartition(".")[0] or version for version in versions if version)]
    first = plan.drawings[0]
    parts.append(f"{first.width_mm:.0f}mm")
    parts += ["part"] if first.stencil.region else []
    parts += [f"lines-{first.stencil.least_line_mm:g}mm"] if first.stencil.least_line_mm else []
    parts += ["without-specks"] if first.stencil.specks_left_out else []
    return "-".join(parts) + ".pdf"


def _part(drawing: PlannedDrawing) -> str:
    if not drawing.stencil.region:
        return ""
    return f", of it {drawing.window.width:.1f} × {drawing.window.height:.1f} mm"


def _corrected(plan: Plan) -> str:
    sheet = plan.sheet
    if (sheet.factor_x, sheet.factor_y) == (1.0, 1.0):
        return ", not calibrated yet (archgen ruler)"
    return f", corrected by {sheet.factor_x - 1:+.1%} across and {sheet.factor_y - 1:+.1%} along"


def thickened_words(grown: Thickened, least_mm: float) -> Iterator[str]:
    """Say how many lines grow, what is left, and which gaps would close."""
    if not grown.lines:
        yield f"No line is thinner than {least_mm:g} mm: it prints as it is."
    else:
        yield (
            f"{count_words(grown.lines, 'line')} thinner than {least_mm:g} mm would be drawn that wide, on the same "
            "centre line. Your file stays as it is."
        )
    if left := _left(grown):
        yield f"{left} thinner than that, and left so."
    if grown.closing_count:
        yield f"{count_words(grown.closing_count, 'gap')} would close: {_places(grown)}."


def _left(grown: Thickened) -> str:
    parts = []
    if grown.tapers:
        parts.append(count_words(grown.tapers, "stroke runs out", "strokes run out"))
    if grown.dots:
        parts.append(count_words(grown.dots, "dot is", "dots are"))
    return " and ".join(parts)


def _places(grown: Thickened) -> str:
    named = grown.closing[:_NAMED]
    said = [_place_words(place) for place in named]
    more = grown.closing_count - sum(place.count for place in named)
    return "; ".join(said) + (f"; and {more} more" if more else "")


def _place_words(place: NarrowPlace) -> str:
    near = f", with {place.count - 1} more beside it" if place.count > 1 else ""
    return f"{place.mm:.2f} mm wide, {place.x_mm:.0f} mm from the left and {place.y_mm:.0f} from the top{near}"
