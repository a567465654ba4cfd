"""What is kept between builds of one stencil's gauge, and of two versions laid over each other; plain values only."""

import msgspec

from archgen.picture_facts.facts import Derivative


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


class GaugeFacts(msgspec.Struct, frozen=True, kw_only=True):
    """A gauge as pages and sheets show it.

    Attributes:
        finest_mm: Width that 1 % of the length of all lines lies under; `narrowest_mm` the same of the gaps.
        thin: How many places have lines below the limit; `thin_share` of the length of all lines.
        places: The worst places, thin lines first.
        thinner_than_bundle: Share of the lines' length under the needle's bundle; None without needle or lines.
        screen: The marked picture in colour; `paper` the same in gray when a case sheet shows it.
        limb: The design on the limb as it looks from straight ahead.
    """

    width_mm: float
    height_mm: float
    finest_mm: float | None
    narrowest_mm: float | None
    thin: int
    tight: int
    closing: int
    thin_share: float
    tight_share: float
    places: tuple[PlaceFacts, ...]
    readable_from_mm: float | None
    mostly_from_mm: float | None
    thinner_than_bundle: float | None = None
    screen: Derivative
    paper: Derivative | None = None
    limb: Derivative | None = None

    @property
    def blobs(self) -> tuple[str, ...]:
        """Give the blobs that belong to these facts."""
        return tuple(copy.blob for copy in (self.screen, self.paper, self.limb) if copy)


class PairJob(msgspec.Struct, frozen=True):
    """Two versions to lay over each other: the gray copies of their marks (blobs), printed widths, handedness."""

    first: str
    second: str
    first_mm: float
    second_mm: float
    first_mirrored: bool = False
    second_mirrored: bool = False


class PairFacts(msgspec.Struct, frozen=True):
    """Where the second version's upper left corner lies over the first's when both agree best."""

    right_mm: float
    down_mm: float
