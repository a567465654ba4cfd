"""The page of what changed between the versions of a piece's stencil, pair by pair."""

from archgen.languages.house import say, within
from archgen.outputs.archive.context import Context, Site
from archgen.picture_facts.facts import Derivative, ImageFacts
from archgen.pieces.overview import PieceOverview
from archgen.pieces.prints import version_words
from archgen.pieces.versions import VersionOverview, VersionPair
from archgen.values.frozen import Value
from archgen.wording.pieces import version_size
from archgen.wording.stencils.changes import changes_words, standing_words

# The larger of two overlaid versions fills this box on the page.
OVERLAY_PX = 560


class Laid(Value, frozen=True):
    """One version in an overlay: its copy, placed in the common canvas, turned over when stored mirrored."""

    href: str
    transform: str
    width: int
    height: int
    clip: tuple[str, str, str, str]


class ChangedVersion(Value, frozen=True):
    """One of two versions: what it is called, its size and note, its place on the page of the piece."""

    name: str
    size: str
    note: str
    applied: bool
    anchor: str
    laid: Laid


class VersionChange(Value, frozen=True):
    """Two versions over each other; canvas in millimetres, size on the page in pixels.

    Attributes:
        words: What changed, as measured; `standing` says what that rests on.
        picture: Both in one, in two inks.
    """

    number: int
    name: str
    view_box: str
    width: int
    height: int
    first: ChangedVersion
    second: ChangedVersion
    words: tuple[str, ...]
    standing: str
    picture: str


class ChangesView(Value, frozen=True):
    """The page."""

    site: Site
    title: str
    href: str
    changes: tuple[VersionChange, ...]


def changes_page(context: Context, overview: PieceOverview) -> str:
    """Give the path of the page of a piece, which has one where versions lie on each other."""
    return f"changes/{context.piece_pages[overview.id].partition('/')[2]}"


def changes_view(context: Context, overview: PieceOverview) -> ChangesView:
    """Make the page."""
    href = f"../{context.piece_pages[overview.id]}"
    return ChangesView(context.site, overview.title, href, version_changes(context, overview))


def made_of_changes(context: Context, overview: PieceOverview) -> tuple[object, ...]:
    """Give all that shapes the page."""
    return context.digest, overview


def version_changes(context: Context, overview: PieceOverview) -> tuple[VersionChange, ...]:
    """Lay each version over the one it was made from, and say what changed."""
    found: list[VersionChange] = []
    for pair in overview.overlays:
        versions = overview.versions[pair.parent], overview.versions[pair.child]
        facts = versions[0].facts, versions[1].facts
        if facts[0] and facts[1]:
            found.append(_change(context, len(found) + 1, pair, versions, (facts[0], facts[1])))
    return tuple(found)


def _change(
    context: Context,
    number: int,
    pair: VersionPair,
    versions: tuple[VersionOverview, VersionOverview],
    facts: tuple[ImageFacts, ImageFacts],
) -> VersionChange:
    found = pair.facts
    widths = pair.parent_mm, pair.child_mm
    heights = [width * _aspect(fact) for width, fact in zip(widths, facts, strict=True)]
    left, top = min(0.0, found.right_mm), min(0.0, found.down_mm)
    wide = max(widths[0], found.right_mm + widths[1]) - left
    high = max(heights[0], found.down_mm + heights[1]) - top
    scale = min(OVERLAY_PX / wide, OVERLAY_PX / high)
    corners = ((-left, -top), (found.right_mm - left, found.down_mm - top))
    first, second = (
        ChangedVersion(
            name=version_words(version.stencil),
            size=version_size(version, context.units),
            note=version.stencil.note or "",
            applied=version.is_applied,
            anchor=version.anchor,
            laid=_laid(fact, corner, width, mirrored=version.stencil.mirrored),
        )
        for fact, corner, width, version in zip(facts, corners, widths, versions, strict=True)
    )
    return VersionChange(
        number=number,
        name=say("{first}, then {second}", first=first.name, second=within(second.name)),
        view_box=f"0 0 {wide:.2f} {high:.2f}",
        width=round(wide * scale),
        height=round(high * scale),
        first=first,
        second=second,
        words=changes_words(pair, (versions[0].gauge, versions[1].gauge)),
        standing=standing_words(pair),
        picture=f"../img/{picture.blob}" if (picture := found.picture) else "",
    )


def _aspect(facts: ImageFacts) -> float:
    left, top, right, bottom = facts.marks or (0, 0, facts.width, facts.height)
    return (bottom - top) / max(right - left, 1)


def _laid(facts: ImageFacts, corner: tuple[float, float], width_mm: float, *, mirrored: bool) -> Laid:
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
