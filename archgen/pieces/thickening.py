"""Thicken what is planned to be printed: the same sheets, with no line thinner than asked; nothing is written."""

from dataclasses import replace

from archgen.printing.stencil_plan import Plan, PlannedDrawing, StencilPrint, make_plan
from archgen.stencils.marks import Marks, Origin, turned
from archgen.stencils.thickening.lines import Thickened, thicken
from archgen.values.frozen import Value


class ThickenedPlan(Value, frozen=True):
    """The plan with thickened drawings, and what became of each, as it reads on skin."""

    plan: Plan
    drawings: tuple[Thickened, ...]


def thickened_plan(plan: Plan, least_mm: float) -> ThickenedPlan:
    """Thicken the lines of every drawing that are thinner than asked.

    Raises:
        UsageError: The width is none for a line, or a file is too coarse to know which lines are thinner.
    """
    grown = tuple(_thickened(drawing, least_mm) for drawing in plan.drawings)
    stencils = tuple(_print(drawing.stencil, one, least_mm) for drawing, one in zip(plan.drawings, grown, strict=True))
    return ThickenedPlan(make_plan(replace(plan.job, stencils=stencils)), grown)


def _thickened(drawing: PlannedDrawing, least_mm: float) -> Thickened:
    ink = drawing.stencil.marks
    marks = Marks(ink.gray, ink.box, Origin.ONE_BIT if ink.is_one_bit else Origin.DRAWN, ink.warnings)
    return thicken(turned(marks) if drawing.stencil.stored_mirrored else marks, drawing.width_mm, least_mm)


def _print(stencil: StencilPrint, grown: Thickened, least_mm: float) -> StencilPrint:
    return replace(
        stencil,
        marks=grown.marks,
        width_mm=grown.width_mm,
        height_mm=None,
        percent=100.0,
        stored_mirrored=False,
        least_line_mm=least_mm if grown.lines else None,
    )
