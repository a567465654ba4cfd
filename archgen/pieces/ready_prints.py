"""Which prints of a piece's stencils can be kept ready, on how many sheets; plans them and draws nothing."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from PIL import Image

from archgen.config import PrinterSettings
from archgen.errors import ConfigError, UsageError
from archgen.pieces.versions import VersionOverview
from archgen.printing.stencil_plan import ReprintJob, StencilPrint, make_plan
from archgen.records.model import Piece, Stencil
from archgen.values.frozen import Value

# No day stands on what is only planned.
_ANY_DAY = dt.date(2000, 1, 1)


class ReadyPrint(Value, frozen=True):
    """One version for one printer.

    Attributes:
        digest: Of the stencil's file.
        name: Of its file, unique in the archive; empty when it cannot be printed.
        sheets: How many it takes, of which paper.
        problem: Why it cannot be printed; empty when it can.
    """

    stencil: Stencil
    is_applied: bool
    digest: str
    printer: PrinterSettings
    name: str = ""
    mirrored: bool = False
    sheets: int = 0
    paper: str = ""
    problem: str = ""


class _Outline(Value, frozen=True):
    """A stencil's outline, which is all that a plan looks at."""

    box: tuple[float, float, float, float]
    is_one_bit: bool = False
    warnings: tuple[str, ...] = ()

    @property
    def box_on_sheet(self) -> tuple[float, float, float, float]:
        """Give the same."""
        return self.box

    @property
    def gray(self) -> Image.Image:
        """Give a picture of one pixel."""
        return Image.new("L", (1, 1))


def ready_prints(
    piece: Piece, versions: Sequence[VersionOverview], printers: Sequence[PrinterSettings]
) -> tuple[ReadyPrint, ...]:
    """List the prints of a piece: the applied version first and for every printer, then the others for the first."""
    found: dict[str, ReadyPrint] = {}
    for version in sorted(versions, key=lambda one: not one.is_applied):
        facts, stencil = version.facts, version.stencil
        if facts is None or facts.marks is None or version.height_mm is None:
            continue
        outline = StencilPrint(
            _Outline(facts.marks), width_mm=float(stencil.width or 0), stored_mirrored=stencil.mirrored
        )
        for printer in printers if version.is_applied else printers[:1]:
            bare = ReadyPrint(stencil, version.is_applied, facts.digest, printer)
            ready = _planned(bare, piece, outline, is_first=printer == printers[0])
            found.setdefault(ready.name or f"{version.path} {printer.name}", ready)
    return tuple(found.values())


def _planned(bare: ReadyPrint, piece: Piece, outline: StencilPrint, *, is_first: bool) -> ReadyPrint:
    try:
        plan = make_plan(ReprintJob(piece.title, (outline,), bare.printer, _ANY_DAY))
    except (UsageError, ConfigError) as error:
        return replace(bare, problem=str(error))
    version = bare.stencil.version
    name = f"{piece.id}-{bare.stencil.file.rpartition('/')[2].lower() if version is None else f'v{version}'}"
    return replace(
        bare,
        name=name if is_first else f"{name}-{bare.printer.name}",
        mirrored=plan.mirrored,
        sheets=len(plan.pages),
        paper=plan.sheet.paper.name,
    )
