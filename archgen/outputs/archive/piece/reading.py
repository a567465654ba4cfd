"""How a piece's stencils read: their gauges, what changed between versions, how the design sits on the limb."""

from dataclasses import dataclass

from archgen.outputs.archive.context import Context
from archgen.outputs.reprints.stencil_reprint import ready_prints
from archgen.picture_facts.facts import Derivative, ImageFacts
from archgen.picture_facts.gauge_facts import GaugeFacts, PairJob
from archgen.pieces.gauging import version_pairs
from archgen.pieces.prints import version_words
from archgen.records.model import Piece, PieceRecord, Stencil
from archgen.records.vocabulary.limb import limb_at
from archgen.wording.readings import gauge_lines, limb_lines, place_words

# The larger of two overlaid versions fills this box on the page.
OVERLAY_PX = 560


@dataclass(frozen=True, slots=True)
class PrintButton:
    """A way to print: an address, or none and the reason."""

    href: str
    words: str
    soft: str
    applied: bool


@dataclass(frozen=True, slots=True)
class VersionReading:
    """The gauge of one version: the marked picture, what was measured, the worst places by their signs."""

    name: str
    applied: bool
    src: str
    width: int
    height: int
    lines: tuple[str, ...]
    places: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Laid:
    """One version in an overlay: its copy, placed in the common canvas, turned over when stored mirrored."""

    href: str
    transform: str
    width: int
    height: int
    clip: tuple[str, str, str, str]


@dataclass(frozen=True, slots=True)
class VersionOverlay:
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


@dataclass(frozen=True, slots=True)
class LimbView:
    """The design as it looks from straight ahead, and the sentences beside it."""

    src: str
    width: int
    height: int
    alt: str
    lines: tuple[str, ...]


def print_buttons(context: Context, piece: Piece) -> tuple[PrintButton, ...]:
    """List the ways to print the stencils of a piece."""
    applied = piece.record.applied_stencil if piece.record else None
    ready = ready_prints(context.catalogue, piece)
    several = len({one.stencil.file for one in ready}) > 1
    return tuple(
        PrintButton(
            f"../../{one.path}" if one.path else "",
            one.words,
            f"{version_words(one.stencil)} · {one.soft}" if several else one.soft,
            one.stencil == applied,
        )
        for one in ready
    )


def readings(context: Context, piece: Piece) -> tuple[VersionReading, ...]:
    """List the gauges of a piece's versions, the applied one first."""
    record = piece.record
    if record is None:
        return ()
    found = []
    for stencil in sorted(record.stencil, key=lambda one: one != record.applied_stencil):
        gauge = context.catalogue.gauge(piece, stencil)
        if gauge is not None:
            found.append(_reading(context, record, stencil, gauge))
    return tuple(found)


def _reading(context: Context, record: PieceRecord, stencil: Stencil, gauge: GaugeFacts) -> VersionReading:
    return VersionReading(
        name=version_words(stencil),
        applied=stencil == record.applied_stencil,
        src=f"../img/{gauge.screen.blob}",
        width=gauge.screen.width,
        height=gauge.screen.height,
        lines=tuple(gauge_lines(gauge, record, context.catalogue.config.limits)),
        places=place_words(gauge),
    )


def overlays(context: Context, piece: Piece) -> tuple[VersionOverlay, ...]:
    """Lay each version over the one it was made from."""
    found: list[VersionOverlay] = []
    for parent, child, job in version_pairs(context.catalogue, piece):
        shift = context.catalogue.overlays.get(job)
        facts = [context.facts(piece, stencil.file) for stencil in (parent, child)]
        if shift is None or facts[0] is None or facts[1] is None:
            continue
        found.append(
            _overlay(len(found) + 1, (parent, child), (facts[0], facts[1]), job, (shift.right_mm, shift.down_mm))
        )
    return tuple(found)


def _overlay(
    number: int,
    versions: tuple[Stencil, Stencil],
    facts: tuple[ImageFacts, ImageFacts],
    job: PairJob,
    shift_mm: tuple[float, float],
) -> VersionOverlay:
    sizes = [(width, width * _aspect(fact)) for width, fact in zip((job.first_mm, job.second_mm), facts, strict=True)]
    left, top = min(0.0, shift_mm[0]), min(0.0, shift_mm[1])
    right = max(sizes[0][0], shift_mm[0] + sizes[1][0])
    bottom = max(sizes[0][1], shift_mm[1] + sizes[1][1])
    wide, high = right - left, bottom - top
    scale = min(OVERLAY_PX / wide, OVERLAY_PX / high)
    corners = ((-left, -top), (shift_mm[0] - left, shift_mm[1] - top))
    laid = [
        _laid(fact, corner, size[0], stencil.mirrored)
        for fact, corner, size, stencil in zip(facts, corners, sizes, versions, strict=True)
    ]
    return VersionOverlay(
        number=number,
        first_name=version_words(versions[0]),
        second_name=version_words(versions[1]),
        view_box=f"0 0 {wide:.2f} {high:.2f}",
        width=round(wide * scale),
        height=round(high * scale),
        first=laid[0],
        second=laid[1],
        to_scale=bool(versions[0].width and versions[1].width),
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


def on_limb(context: Context, piece: Piece) -> LimbView | None:
    """Show how the applied design sits on the limb; None without a girth or a width."""
    record = piece.record
    applied = record.applied_stencil if record else None
    if record is None or applied is None:
        return None
    limb = limb_at(record.placement)
    gauge = context.catalogue.gauge(piece, applied)
    if limb is None or gauge is None or gauge.limb is None:
        return None
    return LimbView(
        src=f"../img/{gauge.limb.blob}",
        width=gauge.limb.width,
        height=gauge.limb.height,
        alt=f"{piece.title} on an upright limb, seen from straight ahead",
        lines=tuple(limb_lines(gauge.width_mm, limb, context.units)),
    )
