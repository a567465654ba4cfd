"""The photos of a piece in order: when each was taken, how long after the work, and which stand for the piece."""

import datetime as dt
from collections.abc import Iterable, Set
from dataclasses import dataclass

from archgen.catalogue import Catalogue
from archgen.picture_facts.facts import ImageFacts
from archgen.publication.decision import Publication
from archgen.records.model import Photo, Piece, Stage
from archgen.units import days_between


@dataclass(frozen=True, slots=True)
class PhotoOverview:
    """One photo.

    Attributes:
        path: Relative to the archive folder.
        facts: None when the file is missing or cannot be read.
        taken: The recorded day, else the camera's.
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
    is_later_frame: bool
    kept_out: str

    @property
    def stage(self) -> Stage | None:
        """Give what the record says it shows."""
        return self.photo.stage


@dataclass(frozen=True, slots=True)
class PhotosOverview:
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


def photos_of(piece: Piece, catalogue: Catalogue, publication: Publication, later_frames: Set[str]) -> PhotosOverview:
    """Look at the photos of the record, then at those only found in the folder."""
    kept_out = {left.file: left.reason for left in publication.left_out} if publication.shown else {}
    found = tuple(_photo(photo, piece, catalogue, kept_out, later_frames) for photo in _all_photos(piece))
    shown = tuple(sorted(found, key=_page_rank))
    return PhotosOverview(
        shown=shown,
        fresh=_first_of(shown, Stage.FRESH),
        healed=_first_of(shown, Stage.HEALED),
        # Between equals the first of the record counts.
        cover=min((one for one in found if one.facts), key=_cover_rank, default=None),
    )


def _all_photos(piece: Piece) -> tuple[Photo, ...]:
    named = piece.record.photo if piece.record else ()
    known = {photo.file for photo in named}
    found = (path.removeprefix(f"{piece.folder}/") for path in piece.photos)
    return named + tuple(Photo(file=file) for file in found if file not in known)


def _photo(
    photo: Photo, piece: Piece, catalogue: Catalogue, kept_out: dict[str, str], later_frames: Set[str]
) -> PhotoOverview:
    path, facts = f"{piece.folder}/{photo.file}", catalogue.picture(piece, photo.file)
    taken = photo.taken or (facts.taken.date() if facts and facts.taken else None)
    return PhotoOverview(
        photo=photo,
        path=path,
        facts=facts,
        is_described=piece.record is not None and photo in piece.record.photo,
        taken=taken,
        days_after=days_between(piece.record.finished_on if piece.record else None, taken),
        is_later_frame=path in later_frames,
        kept_out=kept_out.get(photo.file, ""),
    )


def _page_rank(one: PhotoOverview) -> tuple[int, bool, bool, str, str]:
    photo = one.photo
    return _PAGE_ORDER[photo.stage], not photo.cover, photo.publish is False, str(one.taken or "9999"), photo.file


def _cover_rank(one: PhotoOverview) -> tuple[bool, int, bool]:
    return not one.photo.cover, _COVER_ORDER[one.stage], one.is_later_frame


def _first_of(shown: Iterable[PhotoOverview], stage: Stage) -> PhotoOverview | None:
    return next((one for one in shown if one.stage is stage and one.facts), None)
