"""The photos of a piece: one fresh beside one healed, the others by stage."""

from collections.abc import Iterable
from dataclasses import dataclass

from archgen.outputs.archive.context import Context, photo_alt, photos_of
from archgen.outputs.archive.piece.healing import days_after, photo_day
from archgen.outputs.site_pages import PagePicture, picture
from archgen.records.model import Photo, Piece, Stage
from archgen.wording.pieces import STAGE_WORDS, day_words

# What `src` is chosen for; wider copies stand in srcset.
_PHOTO_PX = 1000


@dataclass(frozen=True, slots=True)
class PagePhoto:
    """One photo on the page.

    Attributes:
        stage: fresh, healed, in-progress, or empty.
        words: "14 May 2026 · day 61".
        picture: None when the file is missing or cannot be read.
        kept_out: Why the photo is not in the portfolio though its piece is; empty otherwise.
    """

    stage: str
    stage_words: str
    words: str
    picture: PagePicture | None
    original: str
    file: str
    details: str
    kept_out: str


@dataclass(frozen=True, slots=True)
class ShotGroup:
    """Further photos of one stage."""

    words: str
    shots: tuple[PagePhoto, ...]


def shots_of(context: Context, piece: Piece) -> list[PagePhoto]:
    """Give all photos, fresh ones first, each stage by day."""
    return [_shot(context, piece, photo) for photo in _by_stage(context, piece)]


def _by_stage(context: Context, piece: Piece) -> list[Photo]:
    order = {Stage.FRESH: 0, Stage.HEALED: 1, Stage.IN_PROGRESS: 2, None: 3}
    return sorted(
        photos_of(piece),
        key=lambda photo: (
            order[photo.stage],
            not photo.cover,
            photo.publish is False,
            str(photo_day(context, piece, photo) or "9999"),
            photo.file,
        ),
    )


def _shot(context: Context, piece: Piece, photo: Photo) -> PagePhoto:
    facts = context.facts(piece, photo.file)
    day = photo_day(context, piece, photo)
    after = days_after(day, piece.record)
    words = " · ".join(part for part in (day_words(day), f"day {after}" if after is not None else None) if part)
    return PagePhoto(
        stage=photo.stage.value if photo.stage else "",
        stage_words=STAGE_WORDS[photo.stage],
        words=words,
        picture=picture(facts.screen, photo_alt(piece, photo), wanted_px=_PHOTO_PX) if facts else None,
        original=context.original(f"{piece.folder}/{photo.file}", depth=1),
        file=photo.file.rpartition("/")[2],
        details=f"{facts.file_format}, {facts.width} × {facts.height}" if facts else "",
        kept_out=_kept_out(context, piece, photo),
    )


def _kept_out(context: Context, piece: Piece, photo: Photo) -> str:
    publication = context.publications[piece.id]
    if not publication.shown:
        return ""
    return next((left.reason for left in publication.left_out if left.file == photo.file), "")


def first_shots(shots: Iterable[PagePhoto]) -> tuple[PagePhoto, ...]:
    """Choose the photos shown large: one fresh beside one healed, else the best there is."""
    seen = [shot for shot in shots if shot.picture]
    pair = [next((s for s in seen if s.stage == stage), None) for stage in ("fresh", "healed")]
    chosen = tuple(shot for shot in pair if shot)
    return chosen or tuple(seen[:1])


def shot_groups(shots: Iterable[PagePhoto]) -> tuple[ShotGroup, ...]:
    """Sort photos by stage, in the order the stages come."""
    groups: dict[str, list[PagePhoto]] = {}
    for shot in shots:
        groups.setdefault(shot.stage_words, []).append(shot)
    return tuple(ShotGroup(words, tuple(group)) for words, group in groups.items())
