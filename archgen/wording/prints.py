"""Say what a print will be, and name its file."""

from collections.abc import Iterator

from archgen.pieces.ready_prints import ReadyPrint
from archgen.printing.stencil_plan import Plan, PlannedDrawing
from archgen.units import length_words
from archgen.wording.pieces import count_words

_PAPERS = {"ink-jet": "ink-jet transfer paper", "thermal": "thermal paper"}


def ready_words(ready: ReadyPrint, units: str) -> str:
    """Say what a print kept ready is: for which paper, which way round, how wide."""
    paper = _PAPERS.get(ready.printer.method, ready.printer.method)
    width = length_words(float(ready.stencil.width or 0), units)
    hand = "" if ready.problem else _hand(mirrored=ready.mirrored) + ", "
    return f"Stencil for {paper}, {hand}{width} wide"


def sheets_words(ready: ReadyPrint) -> str:
    """Say how many sheets it takes, and on which printer, or why it cannot be printed."""
    printer = "" if ready.printer.name == "default" else f", printer {ready.printer.name}"
    return ready.problem or f"{count_words(ready.sheets, 'sheet')} of {ready.paper}{printer}"


def plan_words(plan: Plan) -> Iterator[str]:
    """Say what is printed, how large, which way round, and on how many sheets."""
    method = plan.job.printer.method
    hand = _hand(mirrored=plan.mirrored)
    for drawing in plan.drawings:
        name = ", ".join(filter(None, [plan.job.title, drawing.stencil.label.lower()]))
        yield f"{name}: {drawing.size_words}{_part(drawing)}, {hand} for {method}"
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
    parts = [stem, *(version.rpartition(".")[0] or version for version in versions if version)]
    first = plan.drawings[0]
    parts.append(f"{first.width_mm:.0f}mm")
    parts += ["part"] if first.stencil.region else []
    return "-".join(parts) + ".pdf"


def _hand(*, mirrored: bool) -> str:
    return "mirrored" if mirrored else "not mirrored"


def _part(drawing: PlannedDrawing) -> str:
    if not drawing.stencil.region:
        return ""
    return f", of it {drawing.window.width:.1f} × {drawing.window.height:.1f} mm"


def _corrected(plan: Plan) -> str:
    sheet = plan.sheet
    if (sheet.factor_x, sheet.factor_y) == (1.0, 1.0):
        return ", not calibrated yet (archgen ruler)"
    return f", corrected by {sheet.factor_x - 1:+.1%} across and {sheet.factor_y - 1:+.1%} along"
