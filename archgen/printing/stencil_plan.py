"""Plan the print of stencils at their exact size; knows pictures, printers and millimetres, not pieces.

    job = ReprintJob("Barn owl", (Stencil(read_marks(path), width_mm=62.0, label="Version 2"),), printer, today)
    plan = make_plan(job)            # sizes, sheets, warnings; raises before anything is drawn
    data = stencil_pdf.write(plan)   # the bytes of the PDF

Any object with the attributes of `StencilInk` will do as marks, and any with those of `page.Printer` as printer: the
readers of pictures and of settings stay strangers to this module. For SVG and PDF stencils read the marks with
`pixels_across=printed_pixels(width_mm, printer.dpi)`.
"""

import datetime as dt
from collections.abc import Sequence
from typing import Protocol

from PIL import Image

from archgen.errors import UsageError
from archgen.languages.house import figures, say, say_count
from archgen.printing import bitmap, layout, page
from archgen.printing.page import Handedness, Printer, Rect, Sheet
from archgen.units import MM_PER_INCH
from archgen.values.frozen import Value

# One drawing's dots: 600 x 800 mm at 600 dpi is 270 million, more than a small machine holds twice.
MAX_DOTS = 120_000_000
# Below this the stairs of the pixels show on skin.
COARSE_DPI = 150
_DPI_RANGE = (72, 2400)


class StencilInk(Protocol):
    """A stencil's ink: mode L, 255 paper, 0 ink, linear in coverage; the box of the marks in its pixels.

    `box_on_sheet` is the same box in the pixels that landmarks are counted in.
    """

    @property
    def gray(self) -> Image.Image: ...  # noqa: D102
    @property
    def box(self) -> tuple[float, float, float, float]: ...  # noqa: D102
    @property
    def box_on_sheet(self) -> tuple[float, float, float, float]: ...  # noqa: D102
    @property
    def is_one_bit(self) -> bool: ...  # noqa: D102
    @property
    def warnings(self) -> tuple[str, ...]: ...  # noqa: D102


class StencilPrint(Value, frozen=True):
    """One stencil to print.

    Exactly one of `width_mm` and `height_mm` is given: that of the marks on skin. `region` is a part of the
    right-reading design in mm of the printed size. `copies` None prints as many as fit on a sheet.
    `stored_mirrored` says that the file itself is already mirrored. `label` names the version. `least_line_mm` says
    that thinner lines were thickened to it, `specks_left_out` that specks far from the drawing are not printed,
    `is_stretched` that the file's dots aren't square.
    """

    marks: StencilInk
    width_mm: float | None = None
    height_mm: float | None = None
    percent: float = 100.0
    region: Rect | None = None
    copies: int | None = 1
    stored_mirrored: bool = False
    label: str = ""
    least_line_mm: float | None = None
    specks_left_out: int = 0
    is_stretched: bool = False


class ReprintJob(Value, frozen=True):
    """What to print and on what; `mirror` None follows the printer's method, `paper` None its paper.

    `day` dates the file; `dated` is what the sheet says instead of it, such as nothing on a print kept ready.
    """

    title: str
    stencils: tuple[StencilPrint, ...]
    printer: Printer
    day: dt.date
    paper: str | None = None
    mirror: bool | None = None
    dated: str | None = None


class PlannedDrawing(Value, frozen=True):
    """A stencil with everything decided: its size on skin, the window that is printed, its grid of dots."""

    stencil: StencilPrint
    width_mm: float
    height_mm: float
    window: Rect
    hand: Handedness
    size_px: tuple[int, int]

    @property
    def size_words(self) -> str:
        """Give the size as printed on the sheet."""
        return f"{_tenth(self.width_mm)} × {_tenth(self.height_mm)} mm"

    @property
    def stored_dpi(self) -> float:
        """Give the dots per inch that the file has at this size."""
        box = self.stencil.marks.box
        return (box[2] - box[0]) / self.width_mm * MM_PER_INCH

    @property
    def words(self) -> tuple[str, ...]:
        """Name the drawing on the sheet: version, size, and what is not as in its file."""
        return tuple(filter(None, (self.stencil.label, self.size_words, *self.changed_words)))

    @property
    def changed_words(self) -> tuple[str, ...]:
        """Say what is not as in the drawing's file."""
        least, count = self.stencil.least_line_mm, self.stencil.specks_left_out
        thickened = say("lines thickened to {least:g} mm", least=least) if least else ""
        specks = say_count("{number} speck left out", "{number} specks left out", count) if count else ""
        stretched = say("stretched as its file says") if self.stencil.is_stretched else ""
        return tuple(filter(None, (thickened, specks, stretched)))


class Plan(Value, frozen=True):
    """What will be printed, before it is: one drawing per stencil, the sheets in order, sentences of warning."""

    job: ReprintJob
    sheet: Sheet
    drawings: tuple[PlannedDrawing, ...]
    pages: tuple[layout.Page, ...]
    mirrored: bool
    warnings: tuple[str, ...]

    @property
    def is_ganged(self) -> bool:
        """Say whether the stencils are of several pieces: each is then labelled with its own title."""
        titles = {drawing.stencil.label.rpartition(", ")[0] for drawing in self.drawings}
        return len(self.drawings) > 1 and all(titles)


def printed_pixels(width_mm: float, dpi: int) -> int:
    """Give the dots a printer has for a width."""
    return max(round(width_mm / MM_PER_INCH * dpi), 1)


def make_plan(job: ReprintJob) -> Plan:
    """Decide sizes, mirroring and sheets without drawing anything.

    Raises:
        UsageError: A size, region or number of copies makes no sense.
        ConfigError: The paper, margins, method or measured rules cannot be used.
    """
    if not job.stencils:
        raise UsageError(say("There is no stencil to print. Name a piece with a stencil, or a picture with its width."))
    if not _DPI_RANGE[0] <= job.printer.dpi <= _DPI_RANGE[1]:
        raise UsageError(
            say(
                "{dpi} dots per inch isn't a printer's resolution. Use {least} to {most}.",
                dpi=job.printer.dpi,
                least=_DPI_RANGE[0],
                most=_DPI_RANGE[1],
            )
        )
    sheet = page.make_sheet(job.printer, job.paper)
    drawings = tuple(_decide(stencil, job, sheet) for stencil in job.stencils)
    pages = layout.lay_out(sheet.drawing, [layout.LayoutItem(d.window, d.stencil.copies) for d in drawings])
    mirrored = drawings[0].hand.mirrored
    return Plan(job, sheet, drawings, pages, mirrored, tuple(_warnings(job, drawings)))


def _decide(stencil: StencilPrint, job: ReprintJob, sheet: Sheet) -> PlannedDrawing:
    left, top, right, bottom = stencil.marks.box
    aspect = (bottom - top) / (right - left)
    width, height = page.size_from(aspect, stencil.width_mm, stencil.height_mm, stencil.percent)
    hand = page.decide_mirror(job.printer.method, stored_mirrored=stencil.stored_mirrored, mirror=job.mirror)
    window = page.printed_region(stencil.region, width, height, mirrored=hand.mirrored)
    dpi = _affordable(width, height, job.printer.dpi)
    size_px = printed_pixels(width * sheet.factor_x, dpi), printed_pixels(height * sheet.factor_y, dpi)
    return PlannedDrawing(stencil, width, height, window, hand, size_px)


def _affordable(width_mm: float, height_mm: float, dpi: int) -> int:
    dots = (width_mm / MM_PER_INCH * dpi) * (height_mm / MM_PER_INCH * dpi)
    return dpi if dots <= MAX_DOTS else int(dpi * (MAX_DOTS / dots) ** 0.5)


def _warnings(job: ReprintJob, drawings: Sequence[PlannedDrawing]) -> list[str]:
    said: list[str] = []
    for drawing in drawings:
        said += drawing.stencil.marks.warnings
        if drawing.stored_dpi < COARSE_DPI:
            said.append(
                say(
                    "The picture has only {stored_dpi:.0f} dots per inch at this size, so edges will look soft "
                    "or stepped. Use a larger picture if there is one.",
                    stored_dpi=drawing.stored_dpi,
                )
            )
        used = drawing.size_px[0] / drawing.width_mm * MM_PER_INCH
        if used < 0.9 * job.printer.dpi:
            said.append(
                say(
                    "At this size it is printed with {used:.0f} dots per inch instead of {dpi}.",
                    used=used,
                    dpi=job.printer.dpi,
                )
            )
    if job.mirror is not None and job.mirror != page.Method(job.printer.method).mirrors:
        usual = say("mirrored") if page.Method(job.printer.method).mirrors else say("not mirrored")
        said.append(
            say(
                "Printed as asked, although a stencil for {method} is usually {usual}. Check the letters in "
                "the margin.",
                method=job.printer.method,
                usual=usual,
            )
        )
    return list(dict.fromkeys(said))


def cut_drawing(drawing: PlannedDrawing) -> bitmap.Bitmap:
    """Cut a drawing's dots, turned the way the sheet shows them."""
    marks = drawing.stencil.marks
    cut = bitmap.cut(marks.gray, marks.box, drawing.size_px, one_bit=marks.is_one_bit)
    if not drawing.hand.flip:
        return cut
    return bitmap.Bitmap(cut.image.transpose(Image.Transpose.FLIP_LEFT_RIGHT), cut.drawn_px)


def placed_size(drawing: PlannedDrawing, cut: bitmap.Bitmap) -> tuple[float, float]:
    """Give the true mm of the cut dots: the side that was asked for exactly, the other in proportion.

    Placing by dots instead would make 120 mm into 120.014 mm at 600 dpi.
    """
    dot_x, dot_y = drawing.width_mm / cut.drawn_px[0], drawing.height_mm / cut.drawn_px[1]
    by_width = drawing.stencil.width_mm is not None
    wanted = (
        drawing.width_mm / (cut.image.width * dot_x) if by_width else drawing.height_mm / (cut.image.height * dot_y)
    )
    return cut.image.width * dot_x * wanted, cut.image.height * dot_y * wanted


def _tenth(millimetres: float) -> str:
    return figures(f"{millimetres:.1f}".removesuffix(".0"))
