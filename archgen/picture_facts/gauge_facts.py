"""What is kept between builds of one stencil's gauge, and of two versions laid over each other; plain values only."""

import msgspec

from archgen.picture_facts.facts import Derivative
from archgen.stencils import gauge_picture, stroke_width
from archgen.stencils.versions.changes import LineChanges


class GaugeJob(msgspec.Struct, frozen=True):
    """One stencil to gauge as it reads on skin.

    Attributes:
        path: Relative to the archive folder.
        design: The gray copy of the marks alone, a blob of the cache.
        bundle_mm: The finest needle's bundle at most; None when no needle could be read.
        girth_mm: The limb's girth for the view from straight ahead; None for none.
        on_paper: Whether a case sheet shows it, which wants a picture in gray.
    """

    path: str
    digest: str
    design: str
    width_mm: float
    stroke_mm: float
    gap_mm: float
    mirrored: bool = False
    bundle_mm: float | None = None
    girth_mm: float | None = None
    on_paper: bool = False


class PlaceFacts(msgspec.Struct, frozen=True):
    """One named place: the tag it carries in the picture, where it is, how narrow, whether ink will close it."""

    tag: str
    x_mm: float
    y_mm: float
    mm: float
    closes: bool = False


class GaugeFigures(msgspec.Struct, frozen=True, kw_only=True):
    """What is said of a gauge on pages, sheets and the terminal alike.

    Attributes:
        finest_mm: Width that 1 % of the length of all lines lies under; `narrowest_mm` the same of the gaps.
        thin: How many lines and dots are below the limit, and `thin_share` of the length of all lines; None: the file
            is too coarse to tell. `tight` gaps are likewise, `closing` of them may close up.
        places: The worst places, the worst first; `named` lines and gaps are what they stand for.
        judged_to_mm: The width up to which the file tells what is below the limits.
        dots_per_inch: Of the file at this width; `is_stepped`: ink and paper only, so widths are known to a dot.
        seen_from_mm: What is finer may be missed in the file.
        thinner_than_bundle: Share of the lines' length under the needle's bundle; None without needle or lines.
    """

    width_mm: float
    height_mm: float
    finest_mm: float | None
    narrowest_mm: float | None
    thin: int | None
    tight: int | None
    closing: int
    thin_share: float
    tight_share: float
    places: tuple[PlaceFacts, ...]
    named: int = 0
    readable_from_mm: float | None
    mostly_from_mm: float | None
    judged_to_mm: float
    dots_per_inch: float
    is_stepped: bool
    seen_from_mm: float
    thinner_than_bundle: float | None = None

    @property
    def more(self) -> int:
        """Give how many lines and gaps below the limits no named place stands for."""
        return (self.thin or 0) + (self.tight or 0) - self.named


class GaugeFacts(GaugeFigures, frozen=True, kw_only=True):
    """A gauge as pages and sheets show it.

    Attributes:
        screen: The marked picture in colour; `paper` the same in gray when a case sheet shows it.
        limb: The design on the limb as it looks from straight ahead.
    """

    screen: Derivative
    paper: Derivative | None = None
    limb: Derivative | None = None

    @property
    def blobs(self) -> tuple[str, ...]:
        """Give the blobs that belong to these facts."""
        return tuple(copy.blob for copy in (self.screen, self.paper, self.limb) if copy)


def gauge_figures(gauge: stroke_width.Gauge, bundle_mm: float | None = None) -> GaugeFigures:
    """Take from a gauge what is said of it; `bundle_mm` is the finest needle's bundle at most."""
    strokes, gaps = gauge.stroke_mm, gauge.gap_mm
    named = gauge_picture.numbered(gauge)
    return GaugeFigures(
        width_mm=gauge.width_mm,
        height_mm=gauge.height_mm,
        finest_mm=strokes.p01 if strokes else None,
        narrowest_mm=gaps.p01 if gaps else None,
        thin=gauge.thin_lines,
        tight=gauge.tight_gaps,
        closing=gauge.closing_gaps,
        thin_share=strokes.below_limit if strokes else 0.0,
        tight_share=gaps.below_limit if gaps else 0.0,
        places=tuple(PlaceFacts(tag, place.x_mm, place.y_mm, place.mm, place.closes) for tag, place in named),
        named=sum(place.count for _, place in named),
        readable_from_mm=gauge.readable_from_mm,
        mostly_from_mm=gauge.mostly_from_mm,
        judged_to_mm=gauge.judged_to_mm,
        dots_per_inch=gauge.dots.per_inch,
        is_stepped=gauge.dots.stepped,
        seen_from_mm=gauge.dots.seen_from_mm,
        thinner_than_bundle=stroke_width.share_thinner(gauge, bundle_mm) if bundle_mm else None,
    )


class PairJob(msgspec.Struct, frozen=True):
    """Two versions to lay over each other: the gray copies of their marks (blobs), printed widths, handedness."""

    first: str
    second: str
    first_mm: float
    second_mm: float
    first_mirrored: bool = False
    second_mirrored: bool = False


class PairFacts(msgspec.Struct, frozen=True):
    """Two versions laid over each other so that their lines agree best.

    Attributes:
        right_mm, down_mm: Where the second's upper left corner lies over the first's.
        changes: What became of the lines; `picture` shows it in two inks.
        turned_over: Whether the second agrees far better when it is turned left to right.
    """

    right_mm: float
    down_mm: float
    changes: LineChanges | None = None
    picture: Derivative | None = None
    turned_over: bool = False

    @property
    def blobs(self) -> tuple[str, ...]:
        """Give the blobs that belong to these facts."""
        return (self.picture.blob,) if self.picture else ()
