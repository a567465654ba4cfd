"""How a piece's stencils read: their gauges, what changed between versions, how the design sits on the limb."""

from archgen.config import Limits
from archgen.outputs.reprints.stencil_reprint import print_path
from archgen.picture_facts.facts import Derivative, ImageFacts
from archgen.picture_facts.gauge_facts import GaugeFacts
from archgen.pieces.overview import PieceOverview
from archgen.pieces.prints import version_words
from archgen.pieces.versions import VersionOverview, VersionPair
from archgen.values.frozen import Value
from archgen.wording.readings import gauge_lines, limb_lines, place_words
from archgen.wording.ready_prints import ready_words, sheets_words, short_print_words

# The larger of two overlaid versions fills this box on the page.
OVERLAY_PX = 560


class PrintButton(Value, frozen=True):
    """A way to print: an address, or none and the reason; short is the same in two words."""

    href: str
    words: str
    short: str
    soft: str
    applied: bool


class VersionReading(Value, frozen=True):
    """The gauge of one version: the marked picture, what was measured, the worst places by their tags."""

    name: str
    applied: bool
    src: str
    width: int
    height: int
    lines: tuple[str, ...]
    places: tuple[tuple[str, str], ...]


class Laid(Value, frozen=True):
    """One version in an overlay: its copy, placed in the common canvas, turned over when stored mirrored."""

    href: str
    transform: str
    width: int
    height: int
    clip: tuple[str, str, str, str]


class VersionOverlay(Value, frozen=True):
    """Two versions over each other; canvas in tenths of a millimetre, size on the page in pixels."""

    number: int
    first_name: str
    second_name: str
    view_box: str
    width: int
    height: int
    first: Laid
    second: Laid
    to_scale: bool


class LimbView(Value, frozen=True):
    """The design as it looks from straight ahead, and the sentences beside it."""

    src: str
    width: int
    height: int
    alt: str
    lines: tuple[str, ...]


def print_buttons(overview: PieceOverview, units: str) -> tuple[PrintButton, ...]:
    """List the ways to print the stencils of a piece."""
    several = len({one.stencil.file for one in overview.prints}) > 1
    return tuple(
        PrintButton(
            href=f"../../{print_path(one)}" if one.name else "",
            words=ready_words(one, units),
            short=short_print_words(one, units),
            soft=f"{version_words(one.stencil)} · {sheets_words(one)}" if several else sheets_words(one),
            applied=one.is_applied,
        )
        for one in overview.prints
    )


def readings(overview: PieceOverview, limits: Limits) -> tuple[VersionReading, ...]:
    """List the gauges of a piece's versions, the applied one first."""
    ordered = sorted(overview.versions, key=lambda version: not version.is_applied)
    return tuple(_reading(overview, version, version.gauge, limits) for version in ordered if version.gauge)


def _reading(overview: PieceOverview, version: VersionOverview, gauge: GaugeFacts, limits: Limits) -> VersionReading:
    return VersionReading(
        name=version_words(version.stencil),
        applied=version.is_applied,
        src=f"../img/{gauge.screen.blob}",
        width=gauge.screen.width,
        height=gauge.screen.height,
        lines=tuple(gauge_lines(gauge, overview.finest, limits)),
        places=place_words(gauge),
    )


def overlays(overview: PieceOverview) -> tuple[VersionOverlay, ...]:
    """Lay each version over the one it was made from."""
    found: list[VersionOverlay] = []
    for pair in overview.overlays:
        versions = overview.versions[pair.parent], overview.versions[pair.child]
        facts = versions[0].facts, versions[1].facts
        if facts[0] and facts[1]:
            found.append(_overlay(len(found) + 1, pair, versions, (facts[0], facts[1])))
    return tuple(found)


def _overlay(
    number: int,
    pair: VersionPair,
    versions: tuple[VersionOverview, VersionOverview],
    facts: tuple[ImageFacts, ImageFacts],
) -> VersionOverlay:
    widths = pair.parent_mm, pair.child_mm
    heights = [width * _aspect(fact) for width, fact in zip(widths, facts, strict=True)]
    left, top = min(0.0, pair.right_mm), min(0.0, pair.down_mm)
    wide = max(widths[0], pair.right_mm + widths[1]) - left
    high = max(heights[0], pair.down_mm + heights[1]) - top
    scale = min(OVERLAY_PX / wide, OVERLAY_PX / high)
    corners = ((-left, -top), (pair.right_mm - left, pair.down_mm - top))
    laid = [
        _laid(fact, corner, width, version.stencil.mirrored)
        for fact, corner, width, version in zip(facts, corners, widths, versions, strict=True)
    ]
    return VersionOverlay(
        number=number,
        first_name=version_words(versions[0].stencil),
        second_name=version_words(versions[1].stencil),
        view_box=f"0 0 {wide:.2f} {high:.2f}",
        width=round(wide * scale),
        height=round(high * scale),
        first=laid[0],
        second=laid[1],
        to_scale=pair.is_to_scale,
    )


def _aspect(facts: ImageFacts) -> float:
    left, top, right, bottom = facts.marks or (0, 0, facts.width, facts.height)
    return (bottom - top) / max(right - left, 1)


def _laid(facts: ImageFacts, corner: tuple[float, float], width_mm: float, mirrored: bool) -> Laid:
    """Place a copy so that its marks are so wide and their corner lies there; clip what stands around the marks."""
    copy = _copy_for(facts)
    per_px = copy.width / facts.width
    left, top, right, bottom = (side * per_px for side in facts.marks or (0, 0, facts.width, facts.height))
    scale = width_mm / max(right - left, 1)
    across = f"{-scale:.6f} 0 0 {scale:.6f} {corner[0] + right * scale:.3f} {corner[1] - top * scale:.3f}"
    straight = f"{scale:.6f} 0 0 {scale:.6f} {corner[0] - left * scale:.3f} {corner[1] - top * scale:.3f}"
    return Laid(
        href=f"../img/{copy.blob}",
        transform=f"matrix({across if mirrored else straight})",
        width=copy.width,
        height=copy.height,
        clip=tuple(f"{side:.1f}" for side in (left, top, right - left, bottom - top)),  # type: ignore[arg-type]
    )


def _copy_for(facts: ImageFacts) -> Derivative:
    by_width = sorted(facts.screen, key=lambda copy: copy.width)
    return next((copy for copy in by_width if copy.width >= 2 * OVERLAY_PX), by_width[-1])


def on_limb(overview: PieceOverview, units: str) -> LimbView | None:
    """Show how the applied design sits on the limb; None without a girth or a width."""
    gauge = overview.applied.gauge if overview.applied else None
    if gauge is None or gauge.limb is None or overview.limb is None or overview.stencil_wrap is None:
        return None
    return LimbView(
        src=f"../img/{gauge.limb.blob}",
        width=gauge.limb.width,
        height=gauge.limb.height,
        alt=f"{overview.title} on an upright limb, seen from straight ahead",
        lines=tuple(limb_lines(overview.stencil_wrap, overview.limb, units)),
    )
