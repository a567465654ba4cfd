"""What follows from one piece, worked out once: plain values for pages, sheets and rules; no words, no HTML."""

import datetime as dt
from collections.abc import Set

import msgspec

from archgen.catalogue import Catalogue
from archgen.picture_facts.laid_facts import LaidFacts
from archgen.pieces.followup import FollowUp, follow_up
from archgen.pieces.from_photos import FromPhotos, from_photos
from archgen.pieces.gauging import laid_of
from archgen.pieces.materials import FinestNeedle, InkUse, NeedleUse, finest_of, ink_uses, needle_uses
from archgen.pieces.missing import Gap, Missing, missing_from
from archgen.pieces.photos import PhotosOverview, photos_of
from archgen.pieces.ready_prints import ReadyPrint, ready_prints
from archgen.pieces.references import ReferenceOverview, references_of
from archgen.pieces.versions import VersionOverview, VersionPair, height_to_width, pairs_of, versions_of
from archgen.publication.decision import Publication, decide_publication
from archgen.publication.public_catalogue import FreshOnHealed
from archgen.records.model import Piece, PieceRecord, SittingKind
from archgen.records.vocabulary.limb import Limb, limb_at
from archgen.stencils import cylinder
from archgen.values.frozen import Value


class Neighbour(Value, frozen=True):
    """The next piece on one side, in the order of the archive."""

    piece_id: str
    title: str


class SizeOnSkin(Value, frozen=True):
    """The size on skin in mm; a side the record leaves out follows from the applied stencil's proportions.

    Attributes:
        is_by_stencil: Whether one side does.
    """

    width_mm: float | None = None
    height_mm: float | None = None
    is_by_stencil: bool = False


class PieceOverview(Value, frozen=True):
    """One piece and what follows from it.

    Attributes:
        proposed: What the photos' own data tell where the record is silent.
        visits: How many sittings and how many touch-ups are recorded.
        longest_mm: The longest side on skin; None when no size is recorded.
        applied: The version that went on the skin.
        overlays: Each version over the one it was made from.
        laid: How the photos lie on each other, and the stencil on them; only a build has that.
        prints: The applied version's first.
        limb: The girth to reckon with.
        wrap: How the piece sits round that limb; None without a believable girth or a width.
        stencil_wrap: The same of the applied stencil's printed width.
    """

    piece: Piece
    publication: Publication
    proposed: FromPhotos
    photos: PhotosOverview
    versions: tuple[VersionOverview, ...]
    applied: VersionOverview | None
    overlays: tuple[VersionPair, ...]
    laid: LaidFacts | None
    prints: tuple[ReadyPrint, ...]
    references: tuple[ReferenceOverview, ...]
    needles: tuple[NeedleUse, ...]
    finest: FinestNeedle | None
    inks: tuple[InkUse, ...]
    visits: tuple[int, int]
    size: SizeOnSkin
    longest_mm: float | None
    limb: Limb | None
    wrap: cylinder.Fit | None
    stencil_wrap: cylinder.Fit | None
    follow_up: FollowUp
    gaps: tuple[Gap, ...]
    newer: Neighbour | None
    older: Neighbour | None

    @property
    def id(self) -> str:
        """Give the piece's id."""
        return self.piece.id

    @property
    def title(self) -> str:
        """Give the piece's title."""
        return self.piece.title

    @property
    def record(self) -> PieceRecord | None:
        """Give what the record says; None when it cannot be read."""
        return self.piece.record

    @property
    def finished_on(self) -> dt.date | None:
        """Give the recorded day, else the day the photos propose."""
        return (self.piece.record.finished_on if self.piece.record else None) or self.proposed.finished

    @property
    def fresh_on_healed(self) -> FreshOnHealed | None:
        """Give how the fresh photo lies on the healed one; None where that is not known for certain."""
        fresh, healed, laid = self.photos.fresh, self.photos.healed, self.laid
        if fresh is None or healed is None or laid is None or laid.fresh is None or not laid.is_certain:
            return None
        return FreshOnHealed(fresh.photo.file, healed.photo.file, laid.fresh.picture, laid.both)

    def lacks(self, what: Missing) -> bool:
        """Say whether something is missing from the record."""
        return any(gap.what is what for gap in self.gaps)


def overview_of(
    piece: Piece,
    catalogue: Catalogue,
    later_frames: Set[str],
    neighbours: tuple[Neighbour | None, Neighbour | None],
) -> PieceOverview:
    """Work out what follows from a piece; `later_frames` are the photos of a moment that has a better one."""
    record = piece.record or PieceRecord(title=piece.id)
    publication = decide_publication(piece, catalogue)
    proposed = from_photos(piece, catalogue)
    # What is worked out from days and stages goes by the photos where the record is silent; publication never does.
    filled = proposed.filled(record)
    versions = versions_of(piece, catalogue)
    applied = next((version for version in versions if version.is_applied), None)
    needles = needle_uses(record)
    known = msgspec.structs.replace(piece, record=filled) if piece.record else piece
    coming = follow_up(known, catalogue.config, catalogue.built_on)
    limb = limb_at(record.placement)
    printed_mm = applied.stencil.width if applied else None
    size = _size(record, applied)
    return PieceOverview(
        piece=piece,
        publication=publication,
        proposed=proposed,
        photos=photos_of(piece, catalogue, publication, later_frames, proposed),
        versions=versions,
        applied=applied,
        overlays=pairs_of(piece, catalogue, versions),
        laid=laid_of(piece, catalogue, proposed),
        prints=ready_prints(piece, versions, catalogue.config.printers),
        references=references_of(piece, catalogue, publication),
        needles=needles,
        finest=finest_of(needles),
        inks=ink_uses(record, catalogue),
        visits=_visits(record),
        size=size,
        longest_mm=max((side for side in (size.width_mm, size.height_mm) if side), default=None),
        limb=limb,
        wrap=_wrap(limb, record.size.width or printed_mm),
        stencil_wrap=_wrap(limb, printed_mm),
        follow_up=coming,
        gaps=missing_from(piece, filled, coming),
        newer=neighbours[0],
        older=neighbours[1],
    )


def _size(record: PieceRecord, applied: VersionOverview | None) -> SizeOnSkin:
    width, height = record.size.width, record.size.height
    ratio = height_to_width(applied.facts) if applied else None
    if ratio is None or bool(width) == bool(height):
        return SizeOnSkin(width, height)
    return SizeOnSkin(width or height / ratio if height else width, height or width * ratio if width else height, True)


def _visits(record: PieceRecord) -> tuple[int, int]:
    sittings = sum(sitting.kind is SittingKind.SITTING for sitting in record.sitting)
    return sittings, len(record.sitting) - sittings


def _wrap(limb: Limb | None, width_mm: float | None) -> cylinder.Fit | None:
    if limb is None or not limb.is_believable or not width_mm:
        return None
    return cylinder.fit(float(width_mm), limb.girth_mm)
