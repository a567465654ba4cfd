"""The photos of a piece in order: when each was taken, how long after the work, and which stand for the piece."""

import datetime as dt
from collections.abc import Iterable, Set
from dataclasses import replace

from archgen.catalogue import Catalogue
from archgen.picture_facts.facts import ImageFacts
from archgen.picture_facts.photo_days import taken_on
from archgen.pieces.from_photos import FromPhotos, all_photos
from archgen.publication.decision import Publication
from archgen.records.model import Photo, Piece, Stage
from archgen.units import days_between
from archgen.values.frozen import Value


class PhotoOverview(Value, frozen=True):
    """One photo.

    Attributes:
        path: Relative to the archive folder.
        facts: None when the file is missing or cannot be read.
        taken: The recorded day, else the camera's.
        stage: What the record says it shows, else what its day proposes.
        is_stage_from_photo: Whether only its day says so.
        is_described: Whether the record names it, or it was only found in the folder.
        days_after: Days from the end of the work to that day; None before it, or when either day is not known.
        is_later_frame: Whether another photo shows the same moment better.
        kept_out: Why the photo is not in the portfolio though its piece is; empty otherwise.
    """

    photo: Photo
    path: str
    facts: ImageFacts | None
    is_described: bool
    taken: dt.date | None
    days_after: int | None
    stage: Stage | None
    is_stage_from_photo: bool
    is_later_frame: bool = False
    kept_out: str = ""


class PhotosOverview(Value, frozen=True):
    """All photos of a piece.

    Attributes:
        shown: Fresh ones first, then healed, in progress and those of no stage; in each the cover first, then by day.
        fresh: The one fresh photo that stands for all; healed likewise. None when there is none that can be read.
        cover: The photo that stands for the piece: its cover, else healed, else fresh, the best of a moment.
    """

    shown: tuple[PhotoOverview, ...]
    fresh: PhotoOverview | None
    healed: PhotoOverview | None
    cover: PhotoOverview | None


_PAGE_ORDER = {Stage.FRESH: 0, Stage.HEALED: 1, Stage.IN_PROGRESS: 2, None: 3}
_COVER_ORDER = {Stage.HEALED: 0, Stage.FRESH: 1, None: 2, Stage.IN_PROGRESS: 3}


def photos_of(
    piece: Piece, catalogue: Catalogue, publication: Publication, later_frames: Set[str], proposed: FromPhotos
) -> PhotosOverview:
    """Look at the photos of the record, then at those only found in the folder."""
    reasons = {left.file: left.reason for left in publication.left_out} if publication.shown else {}
    found = tuple(
        replace(one, is_later_frame=one.path in later_frames, kept_out=reasons.get(one.photo.file, ""))
        for one in _all(piece, catalogue, proposed)
    )
    shown = tuple(sorted(found, key=_page_rank))
    return PhotosOverview(
        shown=shown,
        fresh=_first_of(shown, Stage.FRESH),
        healed=_first_of(shown, Stage.HEALED),
        # Between equals the first of the record counts.
        cover=min((one for one in found if one.facts), key=_cover_rank, default=None),
    )


def photos_to_lay(piece: Piece, catalogue: Catalogue, proposed: FromPhotos) -> tuple[PhotoOverview, ...]:
    """Give the fresh and the healed photo that stand for all, or the only one of them."""
    shown = sorted(_all(piece, catalogue, proposed), key=_page_rank)
    return tuple(photo for stage in (Stage.FRESH, Stage.HEALED) if (photo := _first_of(shown, stage)))


def _all(piece: Piece, catalogue: Catalogue, proposed: FromPhotos) -> tuple[PhotoOverview, ...]:
    return tuple(_photo(photo, piece, catalogue, proposed) for photo in all_photos(piece))


def _photo(photo: Photo, piece: Piece, catalogue: Catalogue, proposed: FromPhotos) -> PhotoOverview:
    path, facts = f"{piece.folder}/{photo.file}", catalogue.picture(piece, photo.file)
    taken = taken_on(photo, facts)
    return PhotoOverview(
        photo=photo,
        path=path,
        facts=facts,
        is_described=piece.record is not None and photo in piece.record.photo,
        taken=taken,
        days_after=days_between(proposed.finished or (piece.record.finished_on if piece.record else None), taken),
        stage=photo.stage or proposed.stages.get(photo.file),
        is_stage_from_photo=photo.stage is None and photo.file in proposed.stages,
    )


def _page_rank(one: PhotoOverview) -> tuple[int, bool, bool, str, str]:
    photo = one.photo
    return _PAGE_ORDER[one.stage], not photo.cover, photo.publish is False, str(one.taken or "9999"), photo.file


def _cover_rank(one: PhotoOverview) -> tuple[bool, int, bool]:
    return not one.photo.cover, _COVER_ORDER[one.stage], one.is_later_frame


def _first_of(shown: Iterable[PhotoOverview], stage: Stage) -> PhotoOverview | None:
    return next((one for one in shown if one.stage is stage and one.facts), None)
