"""Case sheets: one PDF per piece for the table beside the chair, on the printer's own paper."""

import datetime as dt
import io
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from pathlib import Path

import msgspec
import PIL
import segno
from PIL import Image

from archgen.outputs.artifact import Artifact, failing
from archgen.outputs.known_keys import KnownKeys
from archgen.outputs.sheets.kept_orders import KeptOrders
from archgen.outputs.sheets.view import CaseSheet, case_sheet, made_of_sheet
from archgen.pieces.overview import PieceOverview
from archgen.pieces.survey import SurveyedCatalogue
from archgen.records.model import PieceRecord
from archgen.render.body_figure import for_paper
from archgen.render.html import load_theme
from archgen.render.pdf_pictures import packed
from archgen.render.sheet_templates import sheet_template
from archgen.render.typst_pdf import make_pdf, versions
from archgen.storage.files import digest_bytes

VERSION = 3
# Pictures are printed gray; a drawing keeps 300 dpi and more at the widest it can be printed.
PHOTO_QUALITY = 85
DRAWING_PX = 2400
# PDF/A wants a date. It is the piece's own, so that a sheet changes only when what stands on it does.
UNDATED = dt.date(2000, 1, 1)


@dataclass(frozen=True)
class CaseSheets:
    """The folder of case sheets; a piece whose record cannot be used has none."""

    catalogue: SurveyedCatalogue
    blobs: Path
    keys: KnownKeys = field(default_factory=KnownKeys)

    folder = "sheets"

    def artifacts(self) -> Iterator[Artifact]:
        """List one PDF per readable piece, and one per kept order of work."""
        press = Press(self.blobs)
        for overview in self.catalogue.overviews.values():
            if overview.record:
                yield self._artifact(press, overview, overview.record)
        yield from KeptOrders(self.catalogue).artifacts()

    def _artifact(self, press: "Press", overview: PieceOverview, record: PieceRecord) -> Artifact:
        path, view = f"{overview.id}.pdf", partial(case_sheet, overview, record, self.catalogue)
        try:
            made_of = (press.common_key, self._settings, made_of_sheet(overview, record, self.catalogue))
            key = self.keys.key(made_of, lambda: press.key(view()))
            planned = Artifact(path, make=lambda: press.make(view()), key=key)
        except Exception as error:  # told where it would be made
            planned = failing(path, error)
        return replace(planned, piece=overview.id, made_of=overview.piece.toml)

    @cached_property
    def _settings(self) -> str:
        return digest_bytes(repr(self.catalogue.config))


@dataclass(frozen=True)
class Press:
    """What all sheets of a build share: where the picture copies are, the template, the body figure."""

    blobs: Path

    @cached_property
    def template(self) -> str:
        """Give the typst template."""
        return sheet_template("case-sheet.typ")

    @cached_property
    def figure(self) -> str:
        """Give the unmarked body figure, which the archive's pages have too."""
        return load_theme("archive").files["figure.svg"].read_text(encoding="utf-8")

    @cached_property
    def common_key(self) -> str:
        """Give a digest of what all sheets are made with."""
        libraries = (*versions(), f"pillow {PIL.__version__}", f"segno {segno.__version__}")
        return digest_bytes(str(VERSION), self.template, self.figure, *libraries)

    def key(self, sheet: CaseSheet) -> str:
        """Give the key of one file; blobs are named by what is in them, so the view is all that differs."""
        return digest_bytes(self.common_key, msgspec.json.encode(sheet))

    def make(self, sheet: CaseSheet) -> bytes:
        """Give the bytes of one file."""
        files = {picture.blob: self._gray(picture.blob) for picture in sheet.pictures}
        files["figure.svg"] = for_paper(self.figure, sheet.region, sheet.side).encode()
        files["code.svg"] = _code(sheet.id)
        return make_pdf(self.template, msgspec.to_builtins(sheet), files, sheet.dated or UNDATED)

    def _gray(self, blob: str) -> bytes:
        drawing = blob.endswith(".png")
        result = io.BytesIO()
        with Image.open(self.blobs / blob) as picture:
            if drawing and picture.width <= DRAWING_PX and packed(content := (self.blobs / blob).read_bytes()):
                return content
            picture.draft("L", picture.size)
            gray = picture.convert("L")
        if drawing and gray.width > DRAWING_PX:
            gray = gray.resize((DRAWING_PX, round(DRAWING_PX * gray.height / gray.width)), Image.Resampling.BOX)
        gray.save(result, "PNG" if drawing else "JPEG", quality=PHOTO_QUALITY, compress_level=1)
        return result.getvalue()


def _code(text: str) -> bytes:
    """Draw a QR code (ISO/IEC 18004) with its quiet zone."""
    result = io.BytesIO()
    segno.make_qr(text, error="m").save(result, kind="svg", border=4, xmldecl=False, nl=False)
    return result.getvalue()
