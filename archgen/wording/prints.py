"""Say what a print will be, and name its file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from archgen.languages.house import say, say_all, say_count, within
from archgen.printing.stencil_plan import Plan, PlannedDrawing

if TYPE_CHECKING:  # a plan in words needs no library of pictures
    from archgen.stencils.stroke_width import NarrowPlace
    from archgen.stencils.thickening.lines import Thickened

_NAMED = 3


def hand_words(*, mirrored: bool) -> str:
    """Say which way round something is printed."""
    return say("mirrored") if mirrored else say("not mirrored")


def plan_words(plan: Plan) -> Iterator[str]:
    """Say what is printed, how large, which way round, and on how many sheets."""
    method = plan.job.printer.method
    hand = hand_words(mirrored=plan.mirrored)
    for drawing in plan.drawings:
        label = drawing.stencil.label
        name = label if plan.is_ganged else ", ".join(filter(None, [plan.job.title, within(label)]))
        changed = "".join(f", {words}" for words in drawing.changed_words)
        yield say(
            "{name}: {size_words}{part}{changed}, {hand} for {method}",
            name=name,
            size_words=drawing.size_words,
            part=_part(drawing),
            changed=changed,
            hand=hand,
            method=method,
        )
    tile = next((page.tile for page in plan.pages if page.tile), None)
    said = [
        say_count(
            "{number} sheet of {paper}", "{number} sheets of {paper}", len(plan.pages), paper=plan.sheet.paper.name
        )
    ]
    if tile:
        said.append(
            say("{columns} across and {rows} down, to be joined at the crosses", columns=tile.columns, rows=tile.rows)
        )
    stencils = sum(len(page.placements) for page in plan.pages if not page.tile)
    if stencils > 1:
        said.append(say("{number} stencils to cut apart", number=stencils))
    yield say(
        "{sheets}. Printer {printer}, {corrected}. Print at actual size, 100 %.",
        sheets=", ".join(said),
        printer=plan.job.printer.name,
        corrected=_corrected(plan),
    )


def file_name(stem: str, plan: Plan) -> str:
    """Name the PDF after the piece, the versions and the size."""
    version_word = say("Version {version}", version="")
    versions = [drawing.stencil.label.replace(version_word, "v").lower() for drawing in plan.drawings]
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
    return say(", of it {width:.1f} × {height:.1f} mm", width=drawing.window.width, height=drawing.window.height)


def _corrected(plan: Plan) -> str:
    sheet = plan.sheet
    if (sheet.factor_x, sheet.factor_y) == (1.0, 1.0):
        return say("not calibrated yet (archgen ruler)")
    return say(
        "corrected by {factor_x:+.1%} across and {factor_y:+.1%} along",
        factor_x=sheet.factor_x - 1,
        factor_y=sheet.factor_y - 1,
    )


def thickened_words(grown: Thickened, least_mm: float) -> Iterator[str]:
    """Say how many lines grow, what is left, and which gaps would close."""
    if not grown.lines:
        yield say("No line is thinner than {least_mm:g} mm: it prints as it is.", least_mm=least_mm)
    else:
        yield say_count(
            "{number} line thinner than {least:g} mm would be drawn that wide, on the same centre line. Your file "
            "stays as it is.",
            "{number} lines thinner than {least:g} mm would be drawn that wide, on the same centre line. Your file "
            "stays as it is.",
            grown.lines,
            least=least_mm,
        )
    if left := _left(grown):
        yield say("{left} thinner than that, and left so.", left=left)
    if grown.closing_count:
        places = _places(grown)
        yield say_count(
            "{number} gap would close: {places}.",
            "{number} gaps would close: {places}.",
            grown.closing_count,
            places=places,
        )


def _left(grown: Thickened) -> str:
    parts = []
    if grown.tapers:
        parts.append(say_count("{number} stroke runs out", "{number} strokes run out", grown.tapers))
    if grown.dots:
        parts.append(say_count("{number} dot is", "{number} dots are", grown.dots))
    return say_all(parts)


def _places(grown: Thickened) -> str:
    named = grown.closing[:_NAMED]
    said = [_place_words(place) for place in named]
    more = grown.closing_count - sum(place.count for place in named)
    return "; ".join([*said, say("and {number} more", number=more)] if more else said)


def _place_words(place: NarrowPlace) -> str:
    values = {"width": place.mm, "left": place.x_mm, "top": place.y_mm}
    if place.count < 2:
        return say("{width:.2f} mm wide, {left:.0f} mm from the left and {top:.0f} from the top", **values)
    return say(
        "{width:.2f} mm wide, {left:.0f} mm from the left and {top:.0f} from the top, with {more} more beside it",
        more=place.count - 1,
        **values,
    )
