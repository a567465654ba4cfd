"""What the desk's page of an order of work shows: the plan as a drawing, its rows, what may be moved."""

from base64 import b64encode
from dataclasses import dataclass
from urllib.parse import urlencode

from archgen.outputs.archive.context import Site
from archgen.outputs.reprints.order_of_work import MEANINGS, OrderOfWork
from archgen.outputs.reprints.order_page import DrawnPlan, draw_plan, edge_path, ring_radius
from archgen.shading.numbers import COLUMN_MM, DISC_MM, PlanNumber
from archgen.wording.planning.orders import OrderWords

_AIR_MM = 0.6


@dataclass(frozen=True, slots=True)
class OrderChoices:
    """What the form's fields hold, as texts; `bare_was` is the share shown, so that only a moved one counts."""

    needle: str
    tones: str
    bare: str
    is_bare_set: bool
    areas: str
    start: str
    enclosed: tuple[str, ...]

    @property
    def query(self) -> str:
        """Give what leads to the same plan."""
        return urlencode([*self.pairs, *(("enclosed", one) for one in self.enclosed)])

    @property
    def pairs(self) -> tuple[tuple[str, str], ...]:
        """Give the fields that say something, but the answers."""
        named = ("needle", self.needle), ("tones", self.tones), ("areas", self.areas), ("start", self.start)
        bare = (("bare", self.bare), ("set-bare", "yes")) if self.is_bare_set else ()
        return tuple(pair for pair in (*named, *bare) if pair[1])


@dataclass(frozen=True, slots=True)
class AskedCell:
    """A cell that may be background: where it is marked, and an address for each answer."""

    x: float
    y: float
    answers: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class ShownPlan:
    """The plan as one drawing in mm.

    Attributes:
        view_box: With the columns of numbers.
        zones: The areas under the stencil, as an address that holds the picture.
        edges: Path of the hair lines.
    """

    view_box: str
    size: tuple[float, float]
    zones: str
    toned: str
    edges: str
    rings: tuple[tuple[float, float, float], ...]
    numbers: tuple[PlanNumber, ...]
    disc: float = DISC_MM / 2


@dataclass(frozen=True, slots=True)
class OrderPageView:
    """The page.

    Attributes:
        trouble: Why there is no plan.
        look: Address of the picture of a place that is only proposed; empty where there is none.
        needles: Needles that were shaded with before.
        said: The plan in a line, which is read out when it has changed.
    """

    site: Site
    title: str
    piece: str
    page: str
    choices: OrderChoices
    needles: tuple[str, ...]
    trouble: str = ""
    look: str = ""
    shown: ShownPlan | None = None
    words: OrderWords | None = None
    detail: str = ""
    said: str = ""
    cells: tuple[AskedCell, ...] = ()
    notes: tuple[str, ...] = ()
    is_kept: bool = False
    place_seen: bool = False
    seen: str = ""


def shown_plan(order: OrderOfWork) -> ShownPlan:
    """Draw a plan for the page."""
    drawn, plan = draw_plan(order.plan, order.drawing), order.plan
    wide = plan.size_mm[0]
    beside = COLUMN_MM + DISC_MM / 2 + _AIR_MM
    top, bottom = _heights(drawn)
    return ShownPlan(
        view_box=f"{-beside:g} {top:.2f} {wide + 2 * beside:.2f} {bottom - top:.2f}",
        size=plan.size_mm,
        zones=_address(drawn.zones),
        toned=_address(drawn.toned),
        edges=edge_path(plan),
        rings=tuple((light.x, light.y, ring_radius(light)) for light in plan.lights),
        numbers=drawn.numbers,
    )


def asked_cells(order: OrderOfWork, choices: OrderChoices) -> tuple[AskedCell, ...]:
    """Give the cells to ask about, each with where its answers lead."""
    return tuple(
        AskedCell(
            doubt.x,
            doubt.y,
            tuple(
                (means, f"{choices.query}&{urlencode({'enclosed': f'{doubt.x:.1f} {doubt.y:.1f} {means}'})}")
                for means in MEANINGS
            ),
        )
        for doubt in order.plan.doubts
    )


def _heights(drawn: DrawnPlan) -> tuple[float, float]:
    heights = [one.y for one in drawn.numbers]
    return (
        min([0.0, *(height - DISC_MM / 2 - _AIR_MM for height in heights)]),
        max([drawn.size_mm[1], *(height + DISC_MM / 2 + _AIR_MM for height in heights)]),
    )


def _address(png: bytes) -> str:
    return f"data:image/png;base64,{b64encode(png).decode()}"
