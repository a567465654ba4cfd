"""Stencils ready to print: every version with a width for the default printer, the applied one for every printer."""

import datetime as dt
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import PIL

from archgen.languages.house import house, say
from archgen.outputs.artifact import Artifact
from archgen.outputs.site_pages import file_name
from archgen.pieces.overview import PieceOverview
from archgen.pieces.prints import WantedPrint, stencil_job
from archgen.pieces.ready_prints import ReadyPrint
from archgen.pieces.survey import SurveyedCatalogue
from archgen.printing.stencil_pdf import write
from archgen.printing.stencil_plan import make_plan
from archgen.render.typst_pdf import versions
from archgen.storage.files import digest_bytes
from archgen.units import date_words

VERSION = 2
# A PDF wants a date. It is the piece's own, so that a print changes only when what stands on it does.
UNDATED = dt.date(2000, 1, 1)
# Reading a stencil at full size takes some 200 MB; two at a time took a build of the demo past 600 MB.
_ONE_AT_A_TIME = threading.Lock()


@dataclass(frozen=True)
class StencilReprints:
    """The folder ``reprints``."""

    catalogue: SurveyedCatalogue

    folder = "reprints"

    def artifacts(self) -> Iterator[Artifact]:
        """List one PDF per version and printer."""
        for overview in self.catalogue.overviews.values():
            for ready in overview.prints:
                if ready.name:
                    yield self._artifact(overview, ready)

    def _artifact(self, overview: PieceOverview, ready: ReadyPrint) -> Artifact:
        piece = overview.piece
        finished = overview.finished_on
        wanted = WantedPrint(
            printer=ready.printer,
            day=finished or UNDATED,
            # The day of printing is not known; a sheet that said today's would change with every build.
            dated=say("piece of {day}", day=date_words(finished)) if finished else "",
        )
        libraries = (*versions(), f"pillow {PIL.__version__}")
        parts = (ready.digest, piece.title, repr(ready.stencil), repr(wanted), house().state, *libraries)
        root: Path = self.catalogue.config.root

        def make() -> bytes:
            with _ONE_AT_A_TIME:
                return write(make_plan(stencil_job(root, piece, ready.stencil, wanted)))

        path = print_path(ready).removeprefix(f"{self.folder}/")
        return Artifact(
            path,
            make=make,
            key=digest_bytes("reprint", str(VERSION), *parts),
            piece=piece.id,
            made_of=f"{piece.folder}/{ready.stencil.file}",
        )


def print_path(ready: ReadyPrint) -> str:
    """Give where a print is, relative to the build folder."""
    return f"{StencilReprints.folder}/{file_name(ready.name)}.pdf"
