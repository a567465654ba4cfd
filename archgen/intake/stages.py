"""Say of each photo of a new piece when it was taken: in progress, fresh or healed; and which one stands for all."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from archgen.intake.dates import span_words
from archgen.intake.likeness import NewTwins
from archgen.intake.plan import What
from archgen.intake.seen import SeenPicture
from archgen.twins.model import Relation

# How much redder skin is beside fresh lines (CIE a*): set on half of the demo's photos, where fresh ones had -0.6 to
# 3.6 and healed ones -2.5 to 0.6; on dark skin the two do not differ. So between these it is doubtful.
QUIET, RED = 0.35, 1.0
# Photos of the end are taken within this of each other.
LAST_MINUTES = dt.timedelta(minutes=30)
_HALF_DONE = 0.88
_ONE_MOMENT = dt.timedelta(minutes=3)


@dataclass(frozen=True, slots=True)
class StagedPhoto:
    """What a photo was taken for; `show` is false for the frames of a moment that are not the sharpest."""

    what: What
    note: str
    reason: str
    is_doubtful: bool
    instead: What
    is_cover: bool = False
    show: bool = True


def stages_of(photos: Sequence[SeenPicture], likeness: NewTwins) -> Mapping[str, StagedPhoto]:
    """Say it of the photos of one new piece, by their digests; photos are in the order of their time."""
    last = max((one.moment for one in photos if one.moment), default=None)
    ended = [one for one in photos if one.moment is None or last is None or last - one.moment <= LAST_MINUTES]
    most_ink = max((one.look.measures.ink_on_skin for one in ended), default=0.0)
    found = {one.digest: _stage(one, photos, last, most_ink) for one in photos}
    finished = [one for one in photos if found[one.digest].what is not What.IN_PROGRESS] or list(photos)
    cover = max(finished, key=lambda one: (one.look.width * one.look.height, one.look.measures.sharpness))
    cover = _sharpest(cover, finished, likeness)
    return {one.digest: _shown(one, cover, found[one.digest], finished, likeness) for one in photos}


def _stage(one: SeenPicture, photos: Sequence[SeenPicture], last: dt.datetime | None, most_ink: float) -> StagedPhoto:
    seen, before = one.look.measures, last - one.moment if last and one.moment else dt.timedelta(0)
    if before > LAST_MINUTES:
        less = seen.ink_on_skin < _HALF_DONE * most_ink
        first = one is photos[0]
        reason = f"Taken {span_words(before)} before the last photo"
        reason += ", with less tone than the last." if less else "."
        clock = one.moment.strftime("%H:%M") if one.moment else ""
        note = f"{'first of the day' if first else 'not done yet'}, {clock}".strip(", ")
        return StagedPhoto(What.IN_PROGRESS, note, reason, not less and before < dt.timedelta(hours=1), What.FRESH)
    is_last = len(photos) > 1 and one.moment is not None
    if seen.redness >= RED or (
        is_last and any(last and other.moment and last - other.moment > LAST_MINUTES for other in photos)
    ):
        why = ["Skin is red round the lines"] if seen.redness >= RED else []
        why += ["the last minutes of the day"] if is_last else []
        return StagedPhoto(What.FRESH, "fresh", f"{_sentence(why)}.", False, What.IN_PROGRESS)
    if seen.redness <= QUIET:
        return StagedPhoto(What.HEALED, "quiet skin", "The skin is not red round the lines.", True, What.FRESH)
    return StagedPhoto(What.FRESH, "fresh", "The skin is a little red round the lines.", True, What.HEALED)


def _sentence(parts: Sequence[str]) -> str:
    text = "; ".join(parts)
    return text[:1].upper() + text[1:]


def _sharpest(cover: SeenPicture, others: Sequence[SeenPicture], likeness: NewTwins) -> SeenPicture:
    same = [one for one in others if one is cover or _is_same_moment(one, cover, likeness)]
    return max(same, key=lambda one: one.look.measures.sharpness)


def _shown(
    one: SeenPicture, cover: SeenPicture, staged: StagedPhoto, finished: Sequence[SeenPicture], likeness: NewTwins
) -> StagedPhoto:
    if one is cover:
        same = 1 + sum(_is_same_moment(other, cover, likeness) for other in finished if other is not cover)
        note = f"cover; sharpest of {_NUMBERS.get(same, str(same))}" if same > 1 else "cover"
        return _with(staged, note, is_cover=True)
    if staged.what is What.IN_PROGRESS:
        return staged
    if _is_same_moment(one, cover, likeness):
        return _with(staged, "same moment", show=False)
    return staged


_NUMBERS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}


def _with(staged: StagedPhoto, note: str, *, is_cover: bool = False, show: bool = True) -> StagedPhoto:
    return StagedPhoto(staged.what, note, staged.reason, staged.is_doubtful, staged.instead, is_cover, show)


def _is_same_moment(one: SeenPicture, other: SeenPicture, likeness: NewTwins) -> bool:
    pair = likeness.between(one, other)
    if pair is not None and pair.relation in {Relation.BURST, Relation.EDITED, Relation.IDENTICAL}:
        return True
    near = one.moment and other.moment and abs(one.moment - other.moment) <= _ONE_MOMENT
    return bool(near and pair is not None)
