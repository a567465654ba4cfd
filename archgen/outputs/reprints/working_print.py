"""Make the job for the working print that lies beside the skin: the reference at the very scale of the stencil."""

from collections.abc import Sequence
from pathlib import Path

from archgen.errors import UsageError
from archgen.pieces.prints import choose
from archgen.printing.reference_pdf import PrintedLandmark, PrintedReference, ReferenceJob, placed_reference, spread_px
from archgen.printing.stencil_plan import Plan
from archgen.records.model import Piece
from archgen.stencils import grey_wash, stencil_file
from archgen.stencils.stroke_width import SPREAD_MM
from archgen.values.frozen import Value


class Beside(Value, frozen=True):
    """Which reference to lay beside the stencil, and in how many tones of gray wash."""

    file: Path
    landmarks: tuple[PrintedLandmark, ...] = ()
    tones: int = 5


def reference_of(root: Path, piece: Piece, versions: Sequence[str], tones: int) -> Beside:
    """Choose the reference the stencil was made from: one with landmarks, else the first it names, else the piece's.

    Raises:
        UsageError: The piece has no picture to draw from.
    """
    stencil = choose(piece, versions)[0]
    marked = [mark.on for mark in stencil.landmark if mark.on.startswith("references/")]
    named = [reference.file for reference in (piece.record.reference if piece.record else ()) if reference.file]
    candidates = [max(marked, key=marked.count)] if marked else [*stencil.from_, *named]
    if not candidates:
        raise UsageError(
            f"{piece.title} has no reference picture to print beside the stencil. Put it into "
            f"{piece.folder}/references and name it in {piece.toml}."
        )
    landmarks = tuple(PrintedLandmark(mark.stencil, mark.at) for mark in stencil.landmark if mark.on == candidates[0])
    return Beside(root / piece.folder / candidates[0], landmarks, tones)


def working_print(plan: Plan, beside: Beside) -> ReferenceJob:
    """Make the job: as large as the first stencil of the plan, on the same printer.

    Raises:
        InputError: The reference cannot be read.
        UsageError: The landmarks lie on one spot or outside the reference, or the number of tones is none.
    """
    drawing = plan.drawings[0]
    reference = PrintedReference(
        picture=stencil_file.open_upright(beside.file),
        stencil_box=drawing.stencil.marks.box_on_sheet,
        width_mm=drawing.width_mm,
        stored_mirrored=drawing.stencil.stored_mirrored,
        landmarks=beside.landmarks,
    )
    placed = placed_reference(reference)
    simple = grey_wash.simplify(placed, spread_px(SPREAD_MM), beside.tones)
    return ReferenceJob(
        title=plan.job.title,
        label=drawing.stencil.label,
        reference=reference,
        placed=placed,
        simplified=simple.picture,
        tones=simple.tones,
        printer=plan.job.printer,
        day=plan.job.day,
        paper=plan.job.paper,
    )
