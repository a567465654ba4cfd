"""Put drawing operators under set words and make the PDF print at its true size; knows PDF, not stencils."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from io import BytesIO

import pikepdf

from archgen.printing import drawing, tagging
from archgen.printing.page import Rect, Sheet
from archgen.values.frozen import Value

_PDF_VERSION = "1.7"


class PrintFigure(Value, frozen=True):
    """A drawing with a place on the sheet in true mm, and the words that are read out for it."""

    words: str
    operators: tuple[str, ...]
    box: Rect


@dataclass(frozen=True, slots=True)
class PrintLayer:
    """What is drawn on one page in true mm: lines and rules, over figures, the image resources that both name.

    `art` is the box of what matters.
    """

    operators: tuple[str, ...]
    figures: tuple[PrintFigure, ...] = ()
    images: Mapping[str, pikepdf.Object] = field(default_factory=dict)
    art: Rect | None = None


def add_mask(pdf: pikepdf.Pdf, code: bytes, size_px: tuple[int, int], *, black_is_one: bool) -> pikepdf.Object:
    """Store a Group 4 bitmap once, as a mask whose black is painted in the current colour."""
    parameters = pikepdf.Dictionary(K=-1, Columns=size_px[0], Rows=size_px[1], BlackIs1=black_is_one)
    return pdf.make_stream(
        code,
        Type=pikepdf.Name.XObject,
        Subtype=pikepdf.Name.Image,
        Width=size_px[0],
        Height=size_px[1],
        ImageMask=True,
        BitsPerComponent=1,
        Filter=pikepdf.Name.CCITTFaxDecode,
        DecodeParms=parameters,
    )


def finish(pdf: pikepdf.Pdf, sheet: Sheet, layers: Sequence[PrintLayer]) -> bytes:
    """Lay one layer over the words of each page, correct for the printer, set the boxes, and forbid scaling.

    The words were set on a sheet of true millimetres; one matrix per page turns it into the printer's sheet.
    """
    width, height = (
        sheet.paper.width_mm * drawing.POINTS_PER_MM,
        sheet.paper.height_mm * drawing.POINTS_PER_MM,
    )
    for page, layer in zip(pdf.pages, layers, strict=True):
        for name, image in layer.images.items():
            page.add_resource(image, pikepdf.Name.XObject, pikepdf.Name(f"/{name}"))
        figures = [
            tagging.DrawnFigure(one.words, one.operators, _in_points(one.box, sheet, height)) for one in layer.figures
        ]
        body = [*tagging.put_figures(pdf, page, figures), *tagging.artifact(layer.operators)]
        correct = drawing.operator("cm", sheet.factor_x, 0, 0, sheet.factor_y, 0, 0)
        page.contents_add(f"q {correct}\n".encode(), prepend=True)
        page.contents_add(b"Q\n" + drawing.in_millimetres(sheet.factor_x, sheet.factor_y, height, body))
        page.contents_coalesce()
        for box in ("MediaBox", "CropBox", "BleedBox", "TrimBox"):
            page[f"/{box}"] = tagging.rounded(0, 0, width, height)
        if layer.art:
            page.ArtBox = tagging.rounded(*_in_points(layer.art, sheet, height))
    # No is what it means when it is left out (ISO 32000-1, table 321), and poppler calls it a wrong type.
    del pdf.Root.MarkInfo.Suspects
    # Table 147 of ISO 32000-2: none of the viewer's own fitting. Viewers may ignore it, hence the rules on every page.
    pdf.Root.ViewerPreferences = pikepdf.Dictionary(
        PrintScaling=pikepdf.Name("/None"),
        Enforce=[pikepdf.Name.PrintScaling],
        PickTrayByPDFSize=True,
        Duplex=pikepdf.Name.Simplex,
        DisplayDocTitle=True,
    )
    out = BytesIO()
    # The id is a digest of the content: the same stencil gives the same bytes on every machine.
    pdf.save(
        out,
        min_version=_PDF_VERSION,
        deterministic_id=True,
        object_stream_mode=pikepdf.ObjectStreamMode.generate,
        compress_streams=True,
        recompress_flate=True,
    )
    return out.getvalue()


def _in_points(box: Rect, sheet: Sheet, height_pt: float) -> tuple[float, float, float, float]:
    across, down = sheet.factor_x * drawing.POINTS_PER_MM, sheet.factor_y * drawing.POINTS_PER_MM
    return box.left * across, height_pt - box.bottom * down, box.right * across, height_pt - box.top * down
