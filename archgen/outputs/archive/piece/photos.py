"""The photos of a piece: one fresh beside one healed, the others by stage."""

from archgen.languages.house import say, within
from archgen.outputs.archive.context import Context
from archgen.outputs.site_pages import PagePicture, picture
from archgen.pieces.overview import PieceOverview
from archgen.pieces.photos import PhotoOverview
from archgen.records.model import Stage
from archgen.values.frozen import Value
from archgen.wording.pieces import STAGE_WORDS, day_words, photo_alt, stage_within, stage_words

# What `src` is chosen for; wider copies stand in srcset.
_PHOTO_PX = 1000


class PagePhoto(Value, frozen=True):
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


class ShotGroup(Value, frozen=True):
    """Further photos of one stage, which stands above them or within a sentence."""

    words: str
    within: str
    shots: tuple[PagePhoto, ...]


def first_shots(context: Context, overview: PieceOverview) -> tuple[PagePhoto, ...]:
    """Show one fresh photo beside one healed large, else the best there is."""
    return tuple(_shot(context, overview, photo) for photo in _first(overview))


def more_shots(context: Context, overview: PieceOverview) -> tuple[ShotGroup, ...]:
    """Sort the other photos by stage, in the order the stages come."""
    first = _first(overview)
    groups: dict[Stage | None, list[PagePhoto]] = {}
    for photo in overview.photos.shown:
        if photo not in first:
            groups.setdefault(photo.stage, []).append(_shot(context, overview, photo))
    return tuple(_group(stage, tuple(shots)) for stage, shots in groups.items())


def _group(stage: Stage | None, shots: tuple[PagePhoto, ...]) -> ShotGroup:
    words = say(STAGE_WORDS[stage])
    return ShotGroup(words, stage_within(stage) if stage else within(words), shots)


def _first(overview: PieceOverview) -> tuple[PhotoOverview, ...]:
    photos = overview.photos
    pair = tuple(photo for photo in (photos.fresh, photos.healed) if photo)
    return pair or tuple(photo for photo in photos.shown if photo.facts)[:1]


def _shot(context: Context, overview: PieceOverview, one: PhotoOverview) -> PagePhoto:
    facts, after = one.facts, one.days_after
    words = " · ".join(
        part for part in (day_words(one.taken), say("day {after}", after=after) if after is not None else None) if part
    )
    return PagePhoto(
        stage=one.stage.value if one.stage else "",
        stage_words=stage_words(one),
        words=words,
        picture=picture(facts.screen, photo_alt(overview.title, one.photo), wanted_px=_PHOTO_PX) if facts else None,
        original=context.original(one.path, depth=1),
        file=one.path.rpartition("/")[2],
        details=f"{facts.file_format}, {facts.width} × {facts.height}" if facts else "",
        kept_out=one.kept_out,
    )
