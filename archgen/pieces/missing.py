"""Say what a record leaves out; knows records, not what is asked of whom."""

import re
from collections.abc import Collection, Iterator
from enum import Enum

from archgen.pieces.followup import DueKind, DueState, FollowUp
from archgen.records.model import Piece, PieceRecord, Stage
from archgen.records.vocabulary.batch_fields import read_batch_field
from archgen.values.frozen import Value


class Missing(Enum):
    """What can be missing: of a piece, then of one ink, stencil or photo of it."""

    DATE = "date"
    SIZE = "size"
    PLACEMENT = "placement"
    GIRTH = "girth"
    CLIENT = "client"
    SITTINGS = "sittings"
    HOURS = "hours"
    NEEDLES = "needles"
    INKS = "inks"
    PHOTO = "photo"
    COVER = "cover"
    FRESH_PHOTO = "fresh-photo"
    HEALED_PHOTO = "healed-photo"
    STENCIL = "stencil"
    APPLIED_STENCIL = "applied-stencil"
    REFERENCES = "references"
    STYLES = "styles"
    INK_BATCH = "ink-batch"
    STENCIL_WIDTH = "stencil-width"
    PHOTO_STAGE = "photo-stage"
    PHOTO_ALT = "photo-alt"


class Gap(Value, frozen=True):
    """Something that is missing, and where it belongs: a dotted key of the record, "" for the record itself.

    Attributes:
        name: The file of the stencil or photo, or the name of the ink, that lacks it.
    """

    what: Missing
    key: str = ""
    name: str = ""


def missing_from(piece: Piece, filled: PieceRecord, follow_up: FollowUp) -> tuple[Gap, ...]:
    """List what a piece's record leaves out, in the order of the record.

    What is there and not understood, or belongs to a file that is missing, has a question of its own.

    Args:
        piece: With its record as it stands there.
        filled: The record with what the photos' own data propose.
        follow_up: What comes after the piece.
    """
    record = piece.record
    if record is None:
        return ()
    gaps = (
        *_of_piece(piece, record, filled, follow_up),
        *_of_inks(record),
        *_of_stencils(record, piece.missing),
        *_of_photos(record, piece.missing),
    )
    asked = {re.sub(r"\.\d+(?=\.)", "", one.key) for one in piece.as_written}
    exact = {one.key for one in piece.as_written}
    return tuple(
        gap
        for gap in gaps
        if asked.isdisjoint(_KEYS.get(gap.what, ())) and f"{gap.key}.{_KEY.get(gap.what)}" not in exact
    )


# Where what is missing would stand: it is not missing where something stands there that is not understood.
_KEYS = {
    Missing.DATE: ("finished", "sitting.date"),
    Missing.SIZE: ("size", "size.width", "size.height"),
    Missing.PLACEMENT: ("placement", "placement.region"),
    Missing.GIRTH: ("placement.girth",),
    Missing.CLIENT: ("client",),
    Missing.SITTINGS: ("sitting",),
    Missing.HOURS: ("sitting.hours",),
    Missing.NEEDLES: ("needle",),
    Missing.INKS: ("ink",),
    Missing.STYLES: ("styles",),
}
# The same of one stencil or photo.
_KEY = {Missing.STENCIL_WIDTH: "width", Missing.PHOTO_STAGE: "stage", Missing.INK_BATCH: "batch"}


def _of_piece(piece: Piece, record: PieceRecord, filled: PieceRecord, follow_up: FollowUp) -> Iterator[Gap]:
    stages = {photo.stage for photo in filled.photo}
    has_several = len(record.photo) > 1
    checks = (
        (Missing.DATE, "", record.finished_on is None),
        (Missing.SIZE, "size", record.size.width is None and record.size.height is None),
        (Missing.PLACEMENT, "placement", record.placement.region is None),
        (Missing.GIRTH, "placement", record.placement.girth is None),
        (Missing.CLIENT, "", record.client is None),
        (Missing.SITTINGS, "", not record.sitting),
        (Missing.HOURS, "", record.hours is None),
        (Missing.NEEDLES, "", not record.needle),
        (Missing.INKS, "", not record.ink),
        (Missing.PHOTO, "", not record.photo),
        (Missing.COVER, "photo.0", has_several and not any(photo.cover for photo in record.photo)),
        (Missing.FRESH_PHOTO, "", Stage.FRESH not in stages),
        (Missing.HEALED_PHOTO, "", Stage.HEALED not in stages and not _is_still_healing(follow_up)),
        (Missing.STENCIL, "", not record.stencil),
        (Missing.APPLIED_STENCIL, "stencil.0", bool(piece.drawings) and piece.applied_stencil is None),
        (Missing.REFERENCES, "", not record.reference),
        (Missing.STYLES, "", not record.styles),
    )
    return (Gap(what, key) for what, key, is_missing in checks if is_missing)


def _is_still_healing(follow_up: FollowUp) -> bool:
    """Say whether it is too early for a photo of the healed piece; without a day nobody knows."""
    too_early = (DueState.SOON, DueState.LATER)
    return any(item.kind is DueKind.HEALED_PHOTO and item.state in too_early for item in follow_up.due)


def _of_inks(record: PieceRecord) -> Iterator[Gap]:
    for number, ink in enumerate(record.ink):
        if not (ink.batch and read_batch_field(ink.batch).numbers):
            yield Gap(Missing.INK_BATCH, f"ink.{number}", ink.name or "")


def _of_stencils(record: PieceRecord, nowhere: Collection[str]) -> Iterator[Gap]:
    for number, stencil in enumerate(record.stencil):
        if stencil.width is None and stencil.file not in nowhere:
            yield Gap(Missing.STENCIL_WIDTH, f"stencil.{number}", stencil.file)


def _of_photos(record: PieceRecord, nowhere: Collection[str]) -> Iterator[Gap]:
    for number, photo in enumerate(record.photo):
        if photo.file in nowhere:
            continue
        if photo.stage is None:
            yield Gap(Missing.PHOTO_STAGE, f"photo.{number}", photo.file)
        if record.publish and photo.may_publish and not photo.alt:
            yield Gap(Missing.PHOTO_ALT, f"photo.{number}", photo.file)
