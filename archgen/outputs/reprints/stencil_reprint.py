"""Stencils ready to print: every version with a width for the default printer, the applied one for every printer."""

import datetime as dt
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import PIL
from PIL import Image

from archgen.catalogue import Catalogue
from archgen.config import PrinterSettings
from archgen.errors import ConfigError, UsageError
from archgen.outputs.artifact import Artifact
from archgen.outputs.site_pages import file_name
from archgen.picture_facts.facts import ImageFacts
from archgen.pieces.prints import WantedPrint, stencil_job, version_words
from archgen.printing import stencil_plan
from archgen.printing.stencil_pdf import write
from archgen.records.model import Piece, Stencil
from archgen.render.typst_pdf import versions
from archgen.storage.files import digest_bytes
from archgen.units import date_words, length_words

VERSION = 1
# A PDF wants a date. It is the piece's own, so that a print changes only when what stands on it does.
UNDATED = dt.date(2000, 1, 1)
# Reading a stencil at full size takes some 200 MB; two at a time took a build of the demo past 600 MB.
_ONE_AT_A_TIME = threading.Lock()
_PAPERS = {"ink-jet": "ink-jet transfer paper", "thermal": "thermal paper"}


@dataclass(frozen=True, slots=True)
class ReadyPrint:
    """One stencil ready to print.

    Attributes:
        path: The PDF, relative to the build folder; empty when it cannot be printed.
        words: What it is: for which paper, mirrored or not, how wide.
        soft: The sheets it takes and the printer, or why it cannot be printed.
    """

    stencil: Stencil
    printer: PrinterSettings
    path: str
    words: str
    soft: str


@dataclass(frozen=True, slots=True)
class _Box:
    """A stencil's outline, which is all that a plan looks at."""

    box: tuple[float, float, float, float]
    is_one_bit: bool = False
    warnings: tuple[str, ...] = ()

    @property
    def gray(self) -> Image.Image:
        """Give a picture of one pixel."""
        return Image.new("L", (1, 1))


@dataclass(frozen=True)
class StencilReprints:
    """The folder ``reprints``."""

    catalogue: Catalogue

    folder = "reprints"

    def artifacts(self) -> Iterator[Artifact]:
        """List one PDF per version and printer."""
        for piece in self.catalogue.pieces:
            for ready in ready_prints(self.catalogue, piece):
                if ready.path:
                    yield self._artifact(piece, ready)

    def _artifact(self, piece: Piece, ready: ReadyPrint) -> Artifact:
        facts = self.catalogue.picture(piece, ready.stencil.file)
        finished = piece.record.finished_on if piece.record else None
        wanted = WantedPrint(
            printer=ready.printer,
            day=finished or UNDATED,
            # The day of printing is not known; a sheet that said today's would change with every build.
            dated=f"piece of {date_words(finished)}" if finished else "",
        )
        libraries = (*versions(), f"pillow {PIL.__version__}")
        parts = (facts.digest if facts else "", piece.title, repr(ready.stencil), repr(wanted), *libraries)
        path = ready.path.removeprefix(f"{self.folder}/")
        root: Path = self.catalogue.config.root

        def make() -> bytes:
            with _ONE_AT_A_TIME:
                return write(stencil_plan.make_plan(stencil_job(root, piece, ready.stencil, wanted)))

        return Artifact(path, make=make, key=digest_bytes("reprint", str(VERSION), *parts))


def ready_prints(catalogue: Catalogue, piece: Piece) -> tuple[ReadyPrint, ...]:
    """List the prints of a piece: the applied version first and for every printer, then the others."""
    if piece.record is None:
        return ()
    applied = piece.record.applied_stencil
    default, *others = catalogue.config.printers
    found: dict[str, ReadyPrint] = {}
    for stencil in sorted(piece.record.stencil, key=lambda one: one != applied):
        facts = catalogue.picture(piece, stencil.file)
        if stencil.width is None or facts is None or facts.marks is None:
            continue
        for printer in (default, *(others if stencil == applied else ())):
            ready = _ready(catalogue, piece, stencil, facts, printer)
            found.setdefault(ready.path or f"{stencil.file} {printer.name}", ready)
    return tuple(found.values())


def _ready(
    catalogue: Catalogue, piece: Piece, stencil: Stencil, facts: ImageFacts, printer: PrinterSettings
) -> ReadyPrint:
    paper = _PAPERS.get(printer.method, printer.method)
    width = length_words(float(stencil.width or 0), catalogue.config.archive.units)
    box = _Box(tuple(float(side) for side in facts.marks or (0, 0, 1, 1)))  # type: ignore[arg-type]  # four of them
    wanted = stencil_plan.StencilPrint(box, width_mm=float(stencil.width or 0), stored_mirrored=stencil.mirrored)
    try:
        plan = stencil_plan.make_plan(stencil_plan.ReprintJob(piece.title, (wanted,), printer, UNDATED))
    except (UsageError, ConfigError) as error:
        return ReadyPrint(stencil, printer, "", f"Stencil for {paper}, {width} wide", str(error))
    hand = "mirrored" if plan.mirrored else "not mirrored"
    count = "1 sheet" if len(plan.pages) == 1 else f"{len(plan.pages)} sheets"
    name = f"{piece.id}-{version_words(stencil).lower().replace('version ', 'v')}"
    name += "" if printer == catalogue.config.printer else f"-{printer.name}"
    soft = f"{count} of {plan.sheet.paper.name}" + ("" if printer.name == "default" else f", printer {printer.name}")
    return ReadyPrint(
        stencil,
        printer,
        f"{StencilReprints.folder}/{file_name(name)}.pdf",
        f"Stencil for {paper}, {hand}, {width} wide",
        soft,
    )
