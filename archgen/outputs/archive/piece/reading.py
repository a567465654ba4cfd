"""How a piece's stencils read: their gauges, how the design sits on the limb."""

from archgen.config import Limits
from archgen.languages.house import say
from archgen.outputs.reprints.stencil_reprint import print_path
from archgen.picture_facts.gauge_facts import GaugeFacts
from archgen.pieces.overview import PieceOverview
from archgen.pieces.prints import version_words
from archgen.pieces.versions import VersionOverview
from archgen.values.frozen import Value
from archgen.wording.ready_prints import ready_words, sheets_words, short_print_words
from archgen.wording.stencils.readings import gauge_lines, limb_lines, place_words


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


def on_limb(overview: PieceOverview, units: str) -> LimbView | None:
    """Show how the applied design sits on the limb; None without a girth or a width."""
    gauge = overview.applied.gauge if overview.applied else None
    if gauge is None or gauge.limb is None or overview.limb is None or overview.stencil_wrap is None:
        return None
    return LimbView(
        src=f"../img/{gauge.limb.blob}",
        width=gauge.limb.width,
        height=gauge.limb.height,
        alt=say("{title} on an upright limb, seen from straight ahead", title=overview.title),
        lines=tuple(limb_lines(overview.stencil_wrap, overview.limb, units)),
    )
