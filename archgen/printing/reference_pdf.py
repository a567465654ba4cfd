"""The working print that lies beside the skin: the reference in gray, true to scale, and the same in few tones.

Knows pictures, places and millimetres, not pieces. The caller makes the simplified picture from `placed_reference`,
because smoothing is no business of a page:

    gray = placed_reference(reference)
    simple = gray_wash.simplify(gray, gray_wash.WashLimits(spread_px(0.3)))
    data = write_reference(ReferenceJob(..., gray, simple.picture, simple.tones))
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from io import BytesIO
from typing import Protocol

import numpy as np
import pikepdf
from PIL import Image, ImageOps

from archgen.errors import UsageError
from archgen.languages.house import figures, say
from archgen.printing import drawing, furniture, layout, print_ready
from archgen.printing.page import Printer, Rect, Sheet, make_sheet
from archgen.printing.typesetting import SetWord, set_words
from archgen.units import MM_PER_INCH, date_words
from archgen.values.frozen import Value

# Gray pictures gain nothing beyond this on matte paper.
REFERENCE_DPI = 300
_LEAST_LANDMARKS = 2
_TONE_MM, _NAMED_TONE_MM = 17.0, 11.0
_DOTS = (0.2, 0.4, 0.6, 0.8)
_SLANTS = 5


class PrintedTone(Protocol):
    """One tone of the simplified picture."""

    @property
    def name(self) -> str: ...  # noqa: D102
    @property
    def gray(self) -> int: ...  # noqa: D102
    @property
    def share(self) -> float: ...  # noqa: D102
    @property
    def dotted(self) -> bool: ...  # noqa: D102
    @property
    def hatched(self) -> bool: ...  # noqa: D102


class PrintedLandmark(Value, frozen=True):
    """One point seen on the stencil's file and on the reference, both in pixels of the upright picture."""

    stencil: tuple[float, float]
    reference: tuple[float, float]


class PrintedReference(Value, frozen=True):
    """A reference and where it lies over the stencil.

    `stencil_box` is the box of the marks in the stencil's pixels, `width_mm` their printed width. With two landmarks or
    more the reference is turned and scaled to meet them; without, its `frame` (its own box, or None for the whole
    picture) is laid into the stencil's. `stored_mirrored` speaks of the stencil's file; the reference never is.
    """

    picture: Image.Image
    stencil_box: tuple[float, float, float, float]
    width_mm: float
    stored_mirrored: bool = False
    landmarks: tuple[PrintedLandmark, ...] = ()
    frame: tuple[float, float, float, float] | None = None

    @property
    def height_mm(self) -> float:
        """Give the printed height of the marks."""
        left, top, right, bottom = self.stencil_box
        return self.width_mm * (bottom - top) / (right - left)

    @property
    def is_exact(self) -> bool:
        """Say whether landmarks fix the scale."""
        return len(self.landmarks) >= _LEAST_LANDMARKS


class ReferenceJob(Value, frozen=True):
    """What to print: the placed reference and its simplified twin, both as large as the stencil's marks.

    `placing` says how it was laid under the stencil, `rests_on` what the tones rest on; `is_to_scale` that both
    pictures can be measured, `advice` what to do when they can't.
    """

    title: str
    label: str
    reference: PrintedReference
    placed: Image.Image
    simplified: Image.Image
    tones: Sequence[PrintedTone]
    printer: Printer
    day: dt.date
    paper: str | None = None
    placing: str = ""
    rests_on: str = ""
    is_to_scale: bool = True
    advice: str = ""


def share_words(tone: PrintedTone) -> str:
    """Say how much of the drawing a tone covers."""
    if tone.hatched:
        return say("not counted")
    return figures(f"{tone.share:.0%}") if tone.share >= 0.005 else say("under {share:.0%}", share=0.01)


def spread_px(spread_mm: float) -> float:
    """Give ink spread in pixels of a placed reference."""
    return spread_mm / MM_PER_INCH * REFERENCE_DPI


def placed_reference(reference: PrintedReference) -> Image.Image:
    """Give the part of the reference under the stencil's marks, gray, right-reading, at REFERENCE_DPI.

    Raises:
        UsageError: The landmarks lie on one spot, or one lies outside the reference.
    """
    size = tuple(
        max(round(side / MM_PER_INCH * REFERENCE_DPI), 1) for side in (reference.width_mm, reference.height_mm)
    )
    a, b, c, d = _similarity(reference, size[0]) if reference.is_exact else _framed(reference, (size[0], size[1]))
    # PIL asks where each output pixel comes from: the inverse of x' = a x - b y + c, y' = b x + a y + d.
    norm = a * a + b * b
    inverse = (a / norm, b / norm, -(a * c + b * d) / norm, -b / norm, a / norm, (b * c - a * d) / norm)
    gray = reference.picture.convert("L")
    # One source pixel in four or more would be sampled: average first, or fine detail turns to grain.
    step = max(int(1 / norm**0.5), 1)
    if step > 1:
        gray = gray.reduce(step)
        inverse = tuple(part / step for part in inverse)  # type: ignore[assignment]  # still six numbers
    return gray.transform((size[0], size[1]), Image.Transform.AFFINE, inverse, Image.Resampling.BICUBIC, fillcolor=255)


def covered(reference: PrintedReference) -> Image.Image:
    """Give where a placed reference shows something: white there, black where the picture ends."""
    black = Image.new("L", reference.picture.size, 0)
    return ImageOps.invert(placed_reference(replace(reference, picture=black)))


def _similarity(reference: PrintedReference, width_px: int) -> tuple[float, float, float, float]:
    """Fit turn, scale and shift from reference pixels to output pixels by least squares."""
    left, top, right, _ = reference.stencil_box
    scale = width_px / (right - left)
    wide, high = reference.picture.size
    for x, y in (mark.reference for mark in reference.landmarks):
        if x > wide or y > high:
            raise UsageError(
                say(
                    "The landmark at = [{x}, {y}] lies outside the reference, which is {wide} pixels wide and {high} "
                    "high. Count pixels from the upper left corner of the upright picture, across first.",
                    x=f"{x:g}",
                    y=f"{y:g}",
                    wide=wide,
                    high=high,
                )
            )
    here = np.array([mark.reference for mark in reference.landmarks], dtype=np.float64)
    there = (np.array([mark.stencil for mark in reference.landmarks], dtype=np.float64) - (left, top)) * scale
    if reference.stored_mirrored:
        there[:, 0] = width_px - there[:, 0]
    middle_here, middle_there = here.mean(axis=0), there.mean(axis=0)
    p, q = here - middle_here, there - middle_there
    spread = float((p**2).sum())
    if spread < 1 or float((q**2).sum()) < 1:
        raise UsageError(say("The landmarks of the reference lie on one spot. Mark two points far apart."))
    a = float((p * q).sum()) / spread
    b = float((p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]).sum()) / spread
    c, d = middle_there - (a * middle_here[0] - b * middle_here[1], b * middle_here[0] + a * middle_here[1])
    return a, b, float(c), float(d)


def _framed(reference: PrintedReference, size: tuple[int, int]) -> tuple[float, float, float, float]:
    """Lay the frame into the output, whole and centred."""
    left, top, right, bottom = reference.frame or (0.0, 0.0, *map(float, reference.picture.size))
    scale = min(size[0] / (right - left), size[1] / (bottom - top))
    return scale, 0.0, size[0] / 2 - scale * (left + right) / 2, size[1] / 2 - scale * (top + bottom) / 2


def write_reference(job: ReferenceJob) -> bytes:
    """Give the PDF: both pictures on one sheet where they fit, else on sheets or tiles of their own."""
    sheet = make_sheet(job.printer, job.paper)
    whole = Rect(0, 0, job.reference.width_mm, job.reference.height_mm)
    pages = layout.lay_out(sheet.drawing, [layout.LayoutItem(whole), layout.LayoutItem(whole)])
    sheets = [_furnish(job, sheet, index, len(pages)) for index in range(len(pages))]
    shades, shade_words = _legend(job, sheet)
    words = [
        [*around.words, *_labels(job, sheet, page), *shade_words] for around, page in zip(sheets, pages, strict=True)
    ]
    set_pages = set_words(words, *sheet.true_mm, title=say("{title}, reference", title=job.title), day=job.day)
    with pikepdf.open(BytesIO(set_pages)) as pdf:
        images = {
            "Picture1": _add(pdf, job.placed, lossy=True),
            "Picture2": _add(pdf, job.simplified, lossy=False),
        }
        layers = []
        for around, page in zip(sheets, pages, strict=True):
            operators = [*around.operators, *shades]
            for placed in page.placements:
                operators += drawing.frame(placed.box, drawing.HAIR_MM)
            operators += drawing.lines(page.cuts, drawing.HAIR_MM, dash=1.2)
            for x, y in page.crosses:
                operators += drawing.cross(x, y)
            used = {f"Picture{placed.item + 1}" for placed in page.placements}
            figures = tuple(_figure(job, placed) for placed in page.placements)
            named = {name: images[name] for name in sorted(used)}
            layers.append(print_ready.PrintLayer(tuple(operators), figures, named))
        return print_ready.finish(pdf, sheet, layers)


def _figure(job: ReferenceJob, placed: layout.SheetPosition) -> print_ready.PrintFigure:
    what = (say("The reference as it is"), say("The reference in tones: {tone}", tone=_tone_words(job)))[placed.item]
    whole = placed.whole(job.reference.width_mm, job.reference.height_mm)
    operators = drawing.picture(f"Picture{placed.item + 1}", whole, placed.box)
    return print_ready.PrintFigure(", ".join([f"{job.title}. {what}", *_size(job)]), tuple(operators), placed.box)


def _tone_words(job: ReferenceJob) -> str:
    return ", ".join(f"{tone.name} {share_words(tone)}" for tone in job.tones)


def _size(job: ReferenceJob) -> list[str]:
    """Give the size as words; none where it can't be measured."""
    return [f"{job.reference.width_mm:.0f} × {job.reference.height_mm:.0f} mm"] if job.is_to_scale else []


def _furnish(job: ReferenceJob, sheet: Sheet, index: int, count: int) -> furniture.Furniture:
    heading = furniture.Heading(
        title=job.title,
        detail=" · ".join(filter(None, [job.label, *_size(job), job.placing, date_words(job.day)])),
        hand=say("NOT MIRRORED") if job.is_to_scale else say("NOT TO SCALE"),
        reason=say("reference, lies beside the skin: matte paper")
        if job.is_to_scale
        else say("not mirrored; measure nothing on it: matte paper"),
        caution=say("Working print. It is not a stencil."),
    )
    machine = " · ".join(filter(None, [furniture.machine_line(job.printer, sheet, index + 1, count), job.rests_on]))
    return furniture.furnish(sheet, heading, mirrored_letters=None, machine=machine)


def _labels(job: ReferenceJob, sheet: Sheet, page: layout.Page) -> list[SetWord]:
    if page.tile:
        return []
    held = say("what will hold at this size") if job.is_to_scale else say("in few tones, its background counted")
    if not _has_cells(job, sheet):
        held = _tone_words(job)
    return [
        SetWord(
            (say("as it is"), held)[placed.item],
            placed.x + placed.window.width / 2,
            placed.box.bottom + layout.LABEL_MM - 0.8,
            8,
            "centre",
        )
        for placed in page.placements
    ]


def _has_cells(job: ReferenceJob, sheet: Sheet) -> bool:
    return _cell_mm(job, sheet) >= _NAMED_TONE_MM


def _cell_mm(job: ReferenceJob, sheet: Sheet) -> float:
    """Share the foot right of the rule among the tones; on small paper they are named below the picture instead."""
    room = sheet.content.right - sheet.drawing.left - sheet.rule_mm - 10
    return min(room / len(job.tones), _TONE_MM)


def _legend(job: ReferenceJob, sheet: Sheet) -> tuple[list[str], list[SetWord]]:
    """Show each tone with its name and share, light to dark."""
    width = _cell_mm(job, sheet)
    if width < _NAMED_TONE_MM:
        return [], []
    operators: list[str] = []
    words = []
    for index, tone in enumerate(job.tones):
        left = sheet.content.right - width * (len(job.tones) - index)
        cell = Rect(left, sheet.drawing.bottom + 2, width, 5)
        middle = left + width / 2
        operators += [*drawing.filled(cell, tone.gray / 255), *drawing.frame(cell, drawing.HAIR_MM)]
        if tone.dotted:
            spots = [(left + width * share, cell.top + cell.height * down) for share in _DOTS for down in _DOTS]
            operators += [part for x, y in spots for part in drawing.filled(Rect(x, y, 0.25, 0.25), 0.4)]
        if tone.hatched:
            slants = [
                (left + width * n / _SLANTS, cell.bottom, left + width * (n + 1) / _SLANTS, cell.top)
                for n in range(_SLANTS)
            ]
            operators += drawing.lines(slants, drawing.HAIR_MM)
        words.append(SetWord(tone.name, middle, cell.bottom + 3.2, 6.5, "centre"))
        words.append(SetWord(share_words(tone), middle, cell.bottom + 6.2, 6.5, "centre"))
    return operators, words


def _add(pdf: pikepdf.Pdf, gray: Image.Image, *, lossy: bool) -> pikepdf.Object:
    """Store a gray picture: JPEG for the continuous one, plain for the one of few tones."""
    data, more = gray.tobytes(), {}
    if lossy:
        buffer = BytesIO()
        gray.save(buffer, "JPEG", quality=90)
        data, more = buffer.getvalue(), {"Filter": pikepdf.Name.DCTDecode}
    return pdf.make_stream(
        data,
        Type=pikepdf.Name.XObject,
        Subtype=pikepdf.Name.Image,
        Width=gray.width,
        Height=gray.height,
        ColorSpace=pikepdf.Name.DeviceGray,
        BitsPerComponent=8,
        **more,
    )
