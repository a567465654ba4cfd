"""The page of an order of work: the plan at the stencil's size, the toned picture beside it, the steps in a table."""

import datetime as dt
from collections.abc import Sequence
from io import BytesIO

import cv2
import msgspec
import numpy as np
import numpy.typing as npt
from PIL import Image

from archgen.languages.house import say
from archgen.papers import Paper
from archgen.render.sheet_templates import sheet_template
from archgen.render.typst_pdf import make_pdf
from archgen.shading.arcs import loops_of
from archgen.shading.light import gray_of
from archgen.shading.numbers import DISC_MM, Anchor, PlanNumber, place_numbers
from archgen.shading.plan import PlanLight, ShadingPlan
from archgen.units import MM_PER_INCH
from archgen.values.frozen import Value
from archgen.wording.planning.orders import NOT_A_STENCIL, PROPOSAL, OrderWords, step_numbers

_DPI = 300
# Areas under the numbers are this much of their tone, the stencil's lines this gray: black hair lines show over both.
_PALE, _LINE_GRAY, _INK = 0.42, 128, 128
_RING_MM = 0.55
# Pixels are filled between their middles to a sixteenth.
_SHIFT = 4


class OrderSheet(Value, frozen=True):
    """What stands on the page beside pictures: title, how it was laid, rows and sentences, earlier notes."""

    title: str
    detail: str
    words: OrderWords
    notes: tuple[str, ...]
    paper: Paper
    artist: str = ""


class DrawnPlan(Value, frozen=True):
    """The plan ready to be set: PNGs, an SVG of hair lines, and where numbers and questions stand, in mm."""

    size_mm: tuple[float, float]
    zones: bytes
    toned: bytes
    edges: bytes
    numbers: tuple[PlanNumber, ...]
    asked: tuple[tuple[float, float], ...]


def order_page(sheet: OrderSheet, drawn: DrawnPlan, day: dt.date) -> bytes:
    """Set one page as PDF/A-2a and PDF/UA-1."""
    template = sheet_template("order-of-work.typ")
    heights = [
        0.0,
        drawn.size_mm[1],
        *(side for one in drawn.numbers for side in (one.y - DISC_MM / 2, one.y + DISC_MM / 2)),
    ]
    data = {
        **msgspec.to_builtins(sheet),
        "size": drawn.size_mm,
        "numbers": msgspec.to_builtins(drawn.numbers),
        "asked": drawn.asked,
        "disc": DISC_MM,
        "proposal": say(PROPOSAL),
        "not_a_stencil": say(NOT_A_STENCIL),
        "top": min(heights),
        "bottom": max(heights),
    }
    pictures = {"zones.png": drawn.zones, "toned.png": drawn.toned, "edges.svg": drawn.edges}
    return make_pdf(template, data, pictures, day)


def draw_plan(plan: ShadingPlan, drawing: Image.Image) -> DrawnPlan:
    """Draw a plan; `drawing` holds the stencil as it reads on skin, of any size."""
    size = tuple(max(round(side / MM_PER_INCH * _DPI), 1) for side in plan.size_mm)
    grays = [gray_of(level) for level in plan.levels[:-1]] + [255]
    toned = _filled(plan, grays, (size[0], size[1]))
    pale = _filled(plan, [round(255 - _PALE * (255 - gray)) for gray in grays], (size[0], size[1]))
    lines = np.asarray(drawing.convert("L").resize((size[0], size[1]), Image.Resampling.LANCZOS))
    zones = np.where(lines < _INK, np.minimum(pale, _LINE_GRAY), pale).astype(np.uint8)
    _outline(toned, plan)
    for light in plan.lights:
        _dot(toned, light.x, light.y, light.radius_mm, size[0] / plan.size_mm[0])
    anchors = [
        Anchor(area.deep_x, area.deep_y, area.depth_mm, step)
        for area, step in ((plan.areas[index], step) for index, step in step_numbers(plan).items())
    ]
    return DrawnPlan(
        plan.size_mm,
        _png(zones),
        _png(toned),
        _edges(plan),
        place_numbers(anchors, plan.size_mm[0]),
        tuple((one.x, one.y) for one in plan.doubts),
    )


def edge_path(plan: ShadingPlan) -> str:
    """Give the edges of areas as the path of an SVG in mm, each edge once."""
    return "".join(_path(arc.points / plan.px_per_mm) for arc in plan.arcs)


def ring_radius(light: PlanLight) -> float:
    """Give how large the ring of a light is drawn, in mm: never too small to be seen."""
    return max(light.radius_mm, _RING_MM)


def _edges(plan: ShadingPlan) -> bytes:
    width, height = plan.size_mm
    rings = "".join(
        f'<circle cx="{light.x:.2f}" cy="{light.y:.2f}" r="{ring_radius(light):.2f}"/>' for light in plan.lights
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.3f}mm" height="{height:.3f}mm" '
        f'viewBox="0 0 {width:.3f} {height:.3f}"><g fill="none" stroke="#000" stroke-width="0.18" '
        f'stroke-linejoin="round"><path d="{edge_path(plan)}"/><g fill="#fff">{rings}</g></g></svg>'
    ).encode()


def _path(points: npt.NDArray[np.float64]) -> str:
    return "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points.tolist())


def _filled(plan: ShadingPlan, grays: Sequence[int], size: tuple[int, int]) -> npt.NDArray[np.uint8]:
    """Fill each area inside its smooth edges with the gray of its tone."""
    picture = np.full((size[1], size[0]), 255, np.uint8)
    for number, loops in loops_of(plan.arcs).items():
        curves = [_on_pixels(loop, plan, size[0]) for loop in loops]
        cv2.fillPoly(picture, curves, grays[plan.areas[number - 1].tone], cv2.LINE_8, _SHIFT)
    return picture


def _on_pixels(points: npt.NDArray[np.float64], plan: ShadingPlan, wide: int) -> npt.NDArray[np.int32]:
    scale = wide / plan.size_mm[0] / plan.px_per_mm * 2**_SHIFT
    return np.asarray(np.rint(points * scale - 2 ** (_SHIFT - 1)), np.int32)


def _outline(picture: npt.NDArray[np.uint8], plan: ShadingPlan) -> None:
    """Draw where the drawing ends, or bare skin couldn't be told from the paper."""
    around = [_on_pixels(arc.points, plan, picture.shape[1]) for arc in plan.arcs if not (arc.left and arc.right)]
    cv2.polylines(picture, around, isClosed=False, color=_LINE_GRAY, thickness=1, lineType=cv2.LINE_AA, shift=_SHIFT)


def _dot(picture: npt.NDArray[np.uint8], x: float, y: float, radius_mm: float, per_mm: float) -> None:
    middle = round(x * per_mm * 2**_SHIFT), round(y * per_mm * 2**_SHIFT)
    cv2.circle(picture, middle, round(radius_mm * per_mm * 2**_SHIFT), 255, cv2.FILLED, cv2.LINE_AA, _SHIFT)


def _png(picture: npt.NDArray[np.uint8]) -> bytes:
    out = BytesIO()
    Image.fromarray(picture).save(out, "PNG", compress_level=6)
    return out.getvalue()
