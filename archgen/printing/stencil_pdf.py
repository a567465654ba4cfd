"""Write the sheets of a plan as PDF: the dots once, the furniture around them; knows plans, not pieces."""

from io import BytesIO

import pikepdf

from archgen.languages.house import say, say_count, to_say
from archgen.printing import bitmap, drawing, furniture, print_ready
from archgen.printing.layout import LABEL_MM, Page, SheetPosition
from archgen.printing.page import Method, Rect
from archgen.printing.stencil_plan import COARSE_DPI, Plan, PlannedDrawing, cut_drawing, placed_size
from archgen.printing.typesetting import SetWord, set_words
from archgen.units import date_words

_MAP_WIDTH_MM, _MAP_HEIGHT_MM = 22.0, 12.5
_DASH_MM = 1.2
# The words below a stencil may be wider than it by most of the gap to the next.
_LABEL_OVER_MM = 6.0
_FACES = {
    (Method.INK_JET, True): to_say("the printed side lies on the skin"),
    (Method.INK_JET, False): to_say("not for the skin itself: for tracing, or a machine that mirrors"),
    (Method.THERMAL, False): to_say("goes through the transfer set; its back lies on the skin"),
    (Method.THERMAL, True): to_say("only for a machine that mirrors once more"),
}


def write(plan: Plan) -> bytes:
    """Give the PDF of a plan; equal plans give equal bytes."""
    sheets = [(page, _furnish(plan, index)) for index, page in enumerate(plan.pages)]
    words = [(*sheet.words, *_labels(plan, page)) for page, sheet in sheets]
    set_pages = set_words(
        words, *plan.sheet.true_mm, title=say("{title}, stencil", title=plan.job.title), day=plan.job.day
    )
    with pikepdf.open(BytesIO(set_pages)) as pdf:
        images: dict[str, pikepdf.Object] = {}
        spans: dict[int, tuple[float, float]] = {}
        for number, wanted in enumerate(plan.drawings):
            dots = cut_drawing(wanted)
            code, black_is_one = bitmap.pack(dots.image)
            images[_name(number)] = print_ready.add_mask(pdf, code, dots.image.size, black_is_one=black_is_one)
            spans[number] = placed_size(wanted, dots)
        layers = [_layer(plan, page, sheet, images, spans) for page, sheet in sheets]
        return print_ready.finish(pdf, plan.sheet, layers)


def _name(number: int) -> str:
    return f"Stencil{number + 1}"


def _furnish(plan: Plan, index: int) -> furniture.Furniture:
    page, count = plan.pages[index], len(plan.pages)
    method = Method(plan.job.printer.method)
    dated = date_words(plan.job.day) if plan.job.dated is None else plan.job.dated
    heading = furniture.Heading(
        title=plan.job.title,
        detail=" · ".join(filter(None, [*_what(plan, page), dated])),
        hand=say("MIRRORED") if plan.mirrored else say("NOT MIRRORED"),
        reason=f"{method.value}: {say(_FACES[method, plan.mirrored])}",
    )
    machine = furniture.machine_line(plan.job.printer, plan.sheet, index + 1, count) + _coarse(plan, page)
    return furniture.furnish(plan.sheet, heading, mirrored_letters=plan.mirrored, machine=machine)


def _coarse(plan: Plan, page: Page) -> str:
    """Say which file is too coarse for its size."""
    shown = [plan.drawings[number] for number in sorted({placed.item for placed in page.placements})]
    coarse = min((one.stored_dpi for one in shown), default=COARSE_DPI)
    return (
        ""
        if coarse >= COARSE_DPI
        else say(" · the file has {coarse:.0f} dots per inch: edges look stepped", coarse=coarse)
    )


def _what(plan: Plan, page: Page) -> list[str]:
    """Name version, size and part for one sheet; several drawings carry their own labels below them."""
    shown = sorted({placed.item for placed in page.placements})
    if len(shown) > 1:
        return [say_count("{number} stencil", "{number} stencils", len(shown))]
    words = _described(plan.drawings[shown[0]], page)
    return (
        words
        if len(page.placements) == 1
        else [*words, say_count("{number} copy", "{number} copies", len(page.placements))]
    )


def _described(one: PlannedDrawing, page: Page) -> list[str]:
    words = [*one.words]
    if one.stencil.region:
        words.append(say("part of it, {width:.0f} × {height:.0f} mm", width=one.window.width, height=one.window.height))
    if page.tile:
        words.append(
            say(
                "row {row} of {rows}, column {column} of {columns}",
                row=page.tile.row,
                rows=page.tile.rows,
                column=page.tile.column,
                columns=page.tile.columns,
            )
        )
    return words


def _labels(plan: Plan, page: Page) -> list[SetWord]:
    if len(plan.drawings) < 2 or page.tile:
        return []
    return [
        SetWord(
            " · ".join(plan.drawings[placed.item].words),
            placed.x + placed.window.width / 2,
            placed.box.bottom + LABEL_MM - 0.8,
            8,
            "centre",
            width=placed.window.width + _LABEL_OVER_MM,
        )
        for placed in page.placements
    ]


def _layer(
    plan: Plan,
    page: Page,
    sheet: furniture.Furniture,
    images: dict[str, pikepdf.Object],
    spans: dict[int, tuple[float, float]],
) -> print_ready.PrintLayer:
    figures = [_figure(plan, page, placed, spans[placed.item]) for placed in page.placements]
    operators = [*sheet.operators]
    operators += drawing.lines(page.cuts, drawing.HAIR_MM, dash=_DASH_MM)
    for x, y in page.crosses:
        operators += drawing.cross(x, y)
    first = page.placements[0]
    if _is_part(first, plan.drawings[first.item]):
        operators += _map(plan, first, spans[first.item], sheet.foot_left)
    used = {_name(placed.item): images[_name(placed.item)] for placed in page.placements}
    return print_ready.PrintLayer(tuple(operators), tuple(figures), used, _around(page))


def _figure(plan: Plan, page: Page, placed: SheetPosition, span: tuple[float, float]) -> print_ready.PrintFigure:
    wanted = plan.drawings[placed.item]
    cut = placed.box if _is_part(placed, wanted) else None
    hand = say("mirrored") if plan.mirrored else say("not mirrored")
    title = [] if plan.is_ganged else [plan.job.title]
    words = say("Stencil of {what}", what=", ".join([*title, *_described(wanted, page), hand]))
    return print_ready.PrintFigure(
        words, tuple(drawing.picture(_name(placed.item), placed.whole(*span), cut)), placed.box
    )


def _is_part(placed: SheetPosition, wanted: PlannedDrawing) -> bool:
    return placed.window.width < wanted.width_mm or placed.window.height < wanted.height_mm


def _around(page: Page) -> Rect:
    boxes = [placed.box for placed in page.placements]
    left, top = min(box.left for box in boxes), min(box.top for box in boxes)
    return Rect(left, top, max(box.right for box in boxes) - left, max(box.bottom for box in boxes) - top)


def _map(plan: Plan, placed: SheetPosition, span: tuple[float, float], foot_left: float) -> list[str]:
    """Draw the whole design small, every sheet's part of it lightly framed, this sheet's heavily."""
    area = plan.sheet.drawing
    room = min(_MAP_WIDTH_MM, area.right - foot_left)
    scale = min(room / span[0], _MAP_HEIGHT_MM / span[1])
    left, top = area.right - span[0] * scale, area.bottom + 1.5
    small = Rect(left, top, span[0] * scale, span[1] * scale)
    windows = [other.window for page in plan.pages for other in page.placements if other.item == placed.item]

    def shrunk(window: Rect) -> Rect:
        return Rect(left + window.left * scale, top + window.top * scale, window.width * scale, window.height * scale)

    body = drawing.picture(_name(placed.item), small)
    for window in windows:
        body += drawing.frame(shrunk(window), drawing.HAIR_MM)
    return body + drawing.frame(shrunk(placed.window), 2 * drawing.FRAME_MM)
