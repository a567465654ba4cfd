"""Sheet geometry for printed stencils: papers, printers, mirroring, tiles; knows millimetres, not pictures or pieces.

Everything is laid out in true millimetres, as a ruler on the paper will show them, from the upper left. A printer that
draws 100 mm as 99.4 mm has, in true millimetres, a slightly smaller sheet to offer; the page content is enlarged by
100/99.4 as a whole when it is written, so the rules on the sheet are corrected together with the stencil.
"""

import math
from enum import Enum
from typing import Protocol

from archgen.errors import ConfigError, UsageError
from archgen.languages.house import say
from archgen.papers import Paper, parse_paper
from archgen.values.frozen import Value

LARGEST_MM = 2000.0
SMALLEST_MM = 1.0
# What a printer may be off before the cause is a setting and not the machine.
LARGEST_CORRECTION = 0.05
# Room for the words above, the rules left and below; chosen so that A4 keeps 191 x 259 mm for the drawing.
HEAD_MM = 13.0
FOOT_MM = 15.0
SIDE_MM = 9.0
RULES_MM = (100.0, 50.0)
# The test letters right of the rule, with what is free before them.
LETTERS_MM = 19.0
# Two sheets share this much, room for a registration cross with its halo.
OVERLAP_MM = 12.0
CROSS_ARM_MM = 4.0
# Between stencils that are cut apart, the cut in the middle.
CUTTING_GAP_MM = 8.0


class Method(Enum):
    """How the stencil gets onto the skin."""

    INK_JET = "ink-jet"
    THERMAL = "thermal"

    @property
    def mirrors(self) -> bool:
        """Say whether the printed face itself lies on the skin, so that it must be printed mirrored."""
        return self is Method.INK_JET


class Printer(Protocol):
    """What must be known of a printer; measured_* is what a 100 mm rule measured on its paper."""

    @property
    def name(self) -> str: ...  # noqa: D102
    @property
    def paper(self) -> str: ...  # noqa: D102
    @property
    def method(self) -> str: ...  # noqa: D102
    @property
    def measured_x_mm(self) -> float: ...  # noqa: D102
    @property
    def measured_y_mm(self) -> float: ...  # noqa: D102
    @property
    def margin_mm(self) -> float: ...  # noqa: D102
    @property
    def dpi(self) -> int: ...  # noqa: D102


class Rect(Value, frozen=True):
    """A rectangle in mm from the upper left."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Give the right edge."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """Give the lower edge."""
        return self.top + self.height

    def holds(self, x: float, y: float, inset: float = 0.0) -> bool:
        """Say whether a point lies inside, at least `inset` from every edge."""
        return self.left + inset <= x <= self.right - inset and self.top + inset <= y <= self.bottom - inset


class Sheet(Value, frozen=True):
    """One printer's sheet in true millimetres; `factor_*` enlarge true millimetres into the printer's own."""

    paper: Paper
    margin_mm: float
    factor_x: float
    factor_y: float

    @property
    def true_mm(self) -> tuple[float, float]:
        """Give the sides of the sheet in true millimetres."""
        return self.paper.width_mm / self.factor_x, self.paper.height_mm / self.factor_y

    @property
    def content(self) -> Rect:
        """Give what lies inside the margins."""
        left, top = self.margin_mm / self.factor_x, self.margin_mm / self.factor_y
        width, height = self.true_mm
        return Rect(left, top, width - 2 * left, height - 2 * top)

    @property
    def drawing(self) -> Rect:
        """Give the room for stencils: the content without words and rules."""
        inside = self.content
        return Rect(
            inside.left + SIDE_MM,
            inside.top + HEAD_MM,
            inside.width - SIDE_MM,
            inside.height - HEAD_MM - FOOT_MM,
        )

    @property
    def rule_mm(self) -> float:
        """Give the length of the rules to check: 100 mm, or 50 mm where the test letters have no room beside that."""
        room = min(self.content.width - SIDE_MM, self.drawing.height)
        beside = [rule for rule in RULES_MM if rule <= min(room, self.content.width - SIDE_MM - LETTERS_MM)]
        return max([*beside, *(rule for rule in RULES_MM[-1:] if rule <= room)], default=0.0)


def make_sheet(printer: Printer, paper: str | None = None) -> Sheet:
    """Give the sheet of a printer, on its own or another paper.

    Raises:
        ConfigError: The paper is unknown, the margins leave no room, or the measured rules are not believable.
    """
    if printer.margin_mm < 0:
        raise ConfigError(
            say(
                'The margin of printer "{printer}" is less than zero. Use "5 mm" or what the printer needs.',
                printer=printer.name,
            )
        )
    wanted = paper or printer.paper
    try:
        chosen = parse_paper(wanted)
    except ValueError as error:
        raise ConfigError(say('The paper "{wanted}" cannot be used: {error}.', wanted=wanted, error=error)) from error
    factor_x, factor_y = correction(printer.measured_x_mm, printer.measured_y_mm)
    sheet = Sheet(chosen, printer.margin_mm, factor_x, factor_y)
    if not sheet.rule_mm or sheet.drawing.width < 2 * OVERLAP_MM or sheet.drawing.height < 2 * OVERLAP_MM:
        raise ConfigError(
            say(
                "Margins of {margin_mm:g} mm on {chosen} leave no room for a stencil and its check rule. "
                'Choose a larger paper, or a smaller margin for printer "{printer}".',
                margin_mm=printer.margin_mm,
                chosen=chosen.name,
                printer=printer.name,
            )
        )
    return sheet


def correction(measured_x_mm: float, measured_y_mm: float, drawn_mm: float = 100.0) -> tuple[float, float]:
    """Give the factors for x and y from what a drawn rule measured on paper.

    Raises:
        ConfigError: A length is off by more than 5 %, which no printer is by itself.
    """
    for is_across, measured in ((True, measured_x_mm), (False, measured_y_mm)):
        share = measured / drawn_mm
        if abs(share - 1) > LARGEST_CORRECTION + 1e-9:
            values = {"measured": measured, "drawn": drawn_mm, "share": abs(share - 1), "cause": _likely_cause(share)}
            raise ConfigError(
                say(
                    "The rule across the paper measured {measured:g} mm instead of {drawn:g} mm, {share:.0%} off. "
                    "{cause}",
                    **values,
                )
                if is_across
                else say(
                    "The rule along the paper measured {measured:g} mm instead of {drawn:g} mm, {share:.0%} off. "
                    "{cause}",
                    **values,
                )
            )
    return drawn_mm / measured_x_mm, drawn_mm / measured_y_mm


def _likely_cause(share: float) -> str:
    if 0.35 < share < 0.45:
        return say("Was it read in inches? Measure in millimetres.")
    if share < 0.2:
        return say("Was it read in centimetres or inches? Measure in millimetres.")
    return say(
        "That much is the print dialog's doing, not the printer's: choose \"actual size\" or 100 %, "
        'switch off "fit to page", print the page again and measure again.'
    )


class Handedness(Value, frozen=True):
    """Which way round the sheet must show the drawing, and whether the stored pixels have to be turned for that."""

    mirrored: bool
    flip: bool


def decide_mirror(method: str, *, stored_mirrored: bool, mirror: bool | None = None) -> Handedness:
    """Decide from the method, unless `mirror` says otherwise; a file stored mirrored is never flipped a second time.

    Raises:
        ConfigError: The method is not known.
    """
    allowed = [known.value for known in Method]
    if method not in allowed:
        raise ConfigError(
            say('The method "{method}" is not known. Use {allowed}.', method=method, allowed=" or ".join(allowed))
        )
    wanted = Method(method).mirrors if mirror is None else mirror
    return Handedness(mirrored=wanted, flip=wanted != stored_mirrored)


def size_from(
    aspect: float, width_mm: float | None, height_mm: float | None, percent: float = 100.0
) -> tuple[float, float]:
    """Give width and height of the marks from one wanted side; `aspect` is height over width.

    Raises:
        UsageError: No side or both sides are given, or the result is no size for a stencil.
    """
    if (width_mm is None) == (height_mm is None):
        raise UsageError(
            say("Give the width or the height of the stencil, not both; the other side follows from the drawing.")
        )
    if not 0 < percent <= 2000:
        raise UsageError(
            say("Nothing can be printed at {percent:g} %. Use a percentage between 1 and 2000.", percent=percent)
        )
    side = (width_mm if width_mm is not None else height_mm or 0.0) * percent / 100
    if not math.isfinite(side) or side < SMALLEST_MM:
        raise UsageError(
            say(
                "{side:g} mm is too small to print. A stencil is at least {smallest_mm:g} mm wide and high.",
                side=side,
                smallest_mm=SMALLEST_MM,
            )
        )
    width, height = (side, side * aspect) if width_mm is not None else (side / aspect, side)
    if max(width, height) > LARGEST_MM:
        raise UsageError(
            say(
                "{width:.0f} × {height:.0f} mm is too large: a stencil can be up to 2 m. Was another unit meant?",
                width=width,
                height=height,
            )
        )
    return width, height


def printed_region(region: Rect | None, width_mm: float, height_mm: float, *, mirrored: bool) -> Rect:
    """Give the window of the sheet's drawing that shows a region of the right-reading design (None: all of it).

    Raises:
        UsageError: The region is empty or leaves the design.
    """
    if region is None:
        return Rect(0.0, 0.0, width_mm, height_mm)
    slack = 0.05
    inside = (
        min(region.left, region.top) >= -slack
        and region.right <= width_mm + slack
        and region.bottom <= height_mm + slack
    )
    if min(region.width, region.height) < SMALLEST_MM or not inside:
        raise UsageError(
            say(
                "The region {left:g}, {top:g}, {width:g}, {height:g} mm is not inside the design, which is "
                "{width_mm:.1f} × {height_mm:.1f} mm. Give left, top, width and height in mm, as the design "
                "reads on skin.",
                left=region.left,
                top=region.top,
                width=region.width,
                height=region.height,
                width_mm=width_mm,
                height_mm=height_mm,
            )
        )
    left, top = max(region.left, 0.0), max(region.top, 0.0)
    right, bottom = min(region.right, width_mm), min(region.bottom, height_mm)
    if mirrored:
        left, right = width_mm - right, width_mm - left
    return Rect(left, top, right - left, bottom - top)
