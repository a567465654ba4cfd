"""Make the job for the working print that lies beside the skin: the reference at the very scale of the stencil."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from PIL import Image

from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.outputs.reprints.registration import DrawnStencil, ReferencePlace, Registration, register
from archgen.pieces.prints import choose
from archgen.printing.reference_pdf import (
    PrintedLandmark,
    PrintedReference,
    ReferenceJob,
    covered,
    placed_reference,
    spread_px,
)
from archgen.printing.stencil_plan import Plan
from archgen.records.model import Piece
from archgen.shading.plan import LaidReference
from archgen.stencils import grey_wash, stencil_file
from archgen.stencils.stroke_width import SPREAD_MM
from archgen.values.frozen import Value

_INK = 128
# Lines of a drawing leave gaps; up to twice this far they still enclose what is drawn.
_REACH_MM = 2.0
# Smaller areas of one tone are no areas to a magnum; larger light within washes is skin left bare.
_LEAST_MM2, _HIGHLIGHT_MM2 = 1.0, 25.0


class Beside(Value, frozen=True):
    """Which reference to lay beside the stencil, and in how many tones of gray wash."""

    file: Path
    landmarks: tuple[PrintedLandmark, ...] = ()
    tones: int = 5


def reference_of(
    root: Path, piece: Piece, versions: Sequence[str], tones: int = 5, wanted: str | None = None
) -> Beside:
    """Choose the reference the stencil was made from: one with landmarks, else the first it names, else the piece's.

    `wanted` is the one to take where it is known.

    Raises:
        UsageError: The piece has no picture to draw from.
    """
    stencil = choose(piece, versions)[0]
    marked = [mark.on for mark in stencil.landmark if mark.on.startswith("references/")]
    named = [reference.file for reference in (piece.record.reference if piece.record else ()) if reference.file]
    candidates = [wanted] if wanted else [max(marked, key=marked.count)] if marked else [*stencil.from_, *named]
    if not candidates:
        raise UsageError(
            say(
                "{title} has no reference picture to print beside the stencil. Put it into "
                "{folder}/references and name it in {toml}.",
                title=piece.title,
                folder=piece.folder,
                toml=piece.toml,
            )
        )
    landmarks = tuple(PrintedLandmark(mark.stencil, mark.at) for mark in stencil.landmark if mark.on == candidates[0])
    return Beside(root / piece.folder / candidates[0], landmarks, tones)


def registered(plan: Plan, beside: Beside) -> Registration:
    """Find where the first stencil of a plan lies on the reference.

    Raises:
        InputError: The reference cannot be read.
        UsageError: Its points are none, or without points it is another picture.
    """
    return register(_drawn(plan), stencil_file.open_upright(beside.file), beside.landmarks)


def _drawn(plan: Plan) -> DrawnStencil:
    stencil = plan.drawings[0].stencil
    return DrawnStencil(stencil.marks.gray, stencil.marks.box, stencil.marks.box_on_sheet, stencil.stored_mirrored)


def looked_at(found: Registration) -> Registration:
    """Take a proposed place for the right one, after a yes."""
    return replace(found, placement=ReferencePlace.SEEN) if found.placement is ReferencePlace.PROPOSED else found


def laid_reference(plan: Plan, beside: Beside, found: Registration) -> LaidReference:
    """Lay reference and stencil on each other, at the stencil's size, to plan its tones.

    Raises:
        InputError: The reference cannot be read.
        UsageError: Nobody knows for sure where it lies.
    """
    if not found.placement.is_to_scale:
        raise UsageError(
            say(
                "Where the reference lies under the stencil isn't sure, so no tones are planned: {advice}",
                advice=found.placement.advice,
            )
        )
    reference = _printed(plan, beside, found)
    placed = placed_reference(reference)
    return LaidReference(placed, drawn_at(plan, placed.size), covered(reference), plan.drawings[0].width_mm)


def drawn_at(plan: Plan, size: tuple[int, int]) -> Image.Image:
    """Give the marks of a plan's first stencil as they read on skin, so many pixels large."""
    return _drawn(plan).upright.resize(size, Image.Resampling.LANCZOS)


def _printed(plan: Plan, beside: Beside, found: Registration) -> PrintedReference:
    drawing = plan.drawings[0]
    return PrintedReference(
        picture=stencil_file.open_upright(beside.file),
        stencil_box=drawing.stencil.marks.box_on_sheet,
        width_mm=drawing.width_mm,
        stored_mirrored=drawing.stencil.stored_mirrored,
        landmarks=found.landmarks if found.placement.is_to_scale else (),
    )


def working_print(plan: Plan, beside: Beside, found: Registration) -> ReferenceJob:
    """Make the job: as large as the first stencil of the plan, on the same printer, cropped to the drawing.

    A place that is only proposed counts as none, and the print says that it is not to scale.

    Raises:
        InputError: The reference cannot be read.
        UsageError: The number of tones is none.
    """
    drawing, to_scale = plan.drawings[0], found.placement.is_to_scale
    reference = _printed(plan, beside, found)
    placed = placed_reference(reference)
    ink = np.asarray(drawn_at(plan, placed.size)) < _INK
    within = np.asarray(covered(reference)) > _INK
    if to_scale:
        within &= grey_wash.inside(ink, spread_px(_REACH_MM))
    per_mm2 = spread_px(1.0) ** 2
    limits = grey_wash.WashLimits(spread_px(SPREAD_MM), _LEAST_MM2 * per_mm2, _HIGHLIGHT_MM2 * per_mm2)
    simple = grey_wash.simplify(placed, limits, beside.tones, within)
    outside = Image.fromarray((~within).astype(np.uint8) * 255)
    placed.paste(255, (0, 0), outside)
    if to_scale:
        simple.picture.paste(0, (0, 0), Image.fromarray(ink.astype(np.uint8) * 255))
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
        placing=(ReferencePlace.NOWHERE if found.placement is ReferencePlace.PROPOSED else found.placement).words,
        rests_on=say(
            "ink taken to spread {spread_mm:g} mm, no area under {least_mm2:g} mm²: common practice, no source",
            spread_mm=SPREAD_MM,
            least_mm2=_LEAST_MM2,
        ),
        is_to_scale=to_scale,
        advice="" if to_scale else found.placement.advice,
    )
