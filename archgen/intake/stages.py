"""Say of each photo of a new piece when it was taken: in progress, fresh or healed; and which one stands for all."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from archgen.intake.comparing.likeness import NewTwins
from archgen.intake.plan import What
from archgen.intake.reading.dates import span_words
from archgen.intake.reading.seen import SeenPicture
from archgen.languages.house import house, say
from archgen.picture_facts.facts import Role
from archgen.twins.model import Relation
from archgen.units import date_words

# How much redder skin is beside fresh lines (CIE a*): set on half of the demo's photos, where fresh ones had -0.6 to
# 3.6 and healed ones -2.5 to 0.6; on dark skin the two do not differ. So between these it is doubtful.
QUIET, RED = 0.35, 1.0
# Photos of the end are taken within this of each other.
LAST_MINUTES = dt.timedelta(minutes=30)
_HALF_DONE = 0.88
_AN_HOUR = dt.timedelta(hours=1)
# Nobody works on a place again before it healed; common practice, no source.
_WEEKS = dt.timedelta(days=14)
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


def stages_of(photos: Sequence[SeenPicture], twins: NewTwins) -> Mapping[str, StagedPhoto]:
    """Say it of the photos of one new piece, by their digests; photos are in the order of their time."""
    days = _days(photos)
    found: dict[str, StagedPhoto] = {}
    last_work = max((number for number, day in enumerate(days) if not _is_healed(day, days[:number])), default=0)
    for number, day in enumerate(days):
        ended = _ended(day)
        most_ink = max((one.look.measures.ink_on_skin for one in ended), default=0.0)
        for one in day:
            if number > last_work:
                found[one.digest] = _healed(one, days[last_work])
            elif number < last_work:
                found[one.digest] = _earlier(one)
            else:
                found[one.digest] = _stage(one, day, most_ink)
    finished = [one for one in photos if found[one.digest].what is not What.IN_PROGRESS] or list(photos)
    fresh = [one for one in finished if found[one.digest].what is What.FRESH] or finished
    cover = max(fresh, key=lambda one: (one.look.width * one.look.height, one.look.measures.sharpness))
    cover = _sharpest(cover, fresh, twins)
    return {one.digest: _shown(one, cover, found[one.digest], finished, twins) for one in photos}


def work_of_the_day(photos: Sequence[SeenPicture], others: Iterable[SeenPicture], twins: NewTwins) -> tuple[str, ...]:
    """Say by what one sees that photos are of a day of work and not of a healed piece; empty when nothing shows it.

    `others` are the stencils and references that came with the photos.
    """
    if not photos:
        return ()
    staged = stages_of(photos, twins).values()
    roles = {one.sorted.role for one in others}
    seen = (
        (say("red skin"), any(one.look.measures.redness >= RED for one in photos)),
        (say("a photo in progress"), any(one.what is What.IN_PROGRESS and not one.is_doubtful for one in staged)),
        (say("a stencil with it"), Role.STENCIL in roles),
        (say("a reference with it"), Role.REFERENCE in roles),
    )
    return tuple(words for words, is_so in seen if is_so)


def _days(photos: Sequence[SeenPicture]) -> list[list[SeenPicture]]:
    """Give the photos day by day; those without a time go with the last day."""
    days: list[list[SeenPicture]] = []
    for one in photos:
        if not days or (one.moment and days[-1][0].moment and one.moment.date() != days[-1][0].moment.date()):
            days.append([])
        days[-1].append(one)
    return days


def _is_healed(day: Sequence[SeenPicture], before: Sequence[Sequence[SeenPicture]]) -> bool:
    """Say whether a day's photos were taken weeks after the last one, of quiet skin: nobody worked that day."""
    if not before or day[0].moment is None or before[-1][-1].moment is None:
        return False
    is_quiet = max(one.look.measures.redness for one in day) < RED
    return is_quiet and day[0].moment - before[-1][-1].moment >= _WEEKS


def _ended(day: Sequence[SeenPicture]) -> list[SeenPicture]:
    last = max((one.moment for one in day if one.moment), default=None)
    return [one for one in day if one.moment is None or last is None or last - one.moment <= LAST_MINUTES]


def _healed(one: SeenPicture, worked: Sequence[SeenPicture]) -> StagedPhoto:
    first, last = worked[-1].moment, one.moment
    days = (last.date() - first.date()).days if first and last else 0
    return StagedPhoto(
        What.HEALED,
        say("day {day}", day=days),
        say("Day {day} after the sitting, the skin is quiet.", day=days),
        False,
        What.FRESH,
    )


def _earlier(one: SeenPicture) -> StagedPhoto:
    note = (
        say("an earlier sitting, {day}", day=date_words(one.moment.date())) if one.moment else say("an earlier sitting")
    )
    return StagedPhoto(
        What.IN_PROGRESS, note, say("The same drawing, on a day before the last sitting."), False, What.FRESH
    )


def _stage(one: SeenPicture, photos: Sequence[SeenPicture], most_ink: float) -> StagedPhoto:
    """Say it of a photo of the last day of work."""
    last = max((other.moment for other in photos if other.moment), default=None)
    seen, before = one.look.measures, last - one.moment if last and one.moment else dt.timedelta(0)
    if before > LAST_MINUTES:
        less = seen.ink_on_skin < _HALF_DONE * most_ink
        time = span_words(before)
        reason = say("Taken {time} before the last photo.", time=time)
        if less:
            reason = say("Taken {time} before the last photo, with less tone than the last.", time=time)
        clock = one.moment.strftime("%H:%M") if one.moment else ""
        order = say("first of the day") if one is photos[0] else say("not done yet")
        note = f"{order}, {clock}".strip(", ")
        return StagedPhoto(What.IN_PROGRESS, note, reason, not less and before < _AN_HOUR, What.FRESH)
    was_worked_on = any(last and other.moment and last - other.moment > LAST_MINUTES for other in photos)
    is_last = len(photos) > 1 and one.moment is not None
    if seen.redness >= RED or (is_last and was_worked_on):
        why = [say("Skin is red round the lines")] if seen.redness >= RED else []
        why += [say("the last minutes of the day")] if is_last else []
        return StagedPhoto(What.FRESH, say("fresh"), f"{_sentence(why)}.", False, What.IN_PROGRESS)
    if seen.redness <= QUIET:
        return StagedPhoto(
            What.HEALED, say("quiet skin"), say("The skin is not red round the lines."), True, What.FRESH
        )
    return StagedPhoto(What.FRESH, say("fresh"), say("The skin is a little red round the lines."), True, What.HEALED)


def _sentence(parts: Sequence[str]) -> str:
    text = "; ".join(parts)
    return text[:1].upper() + text[1:]


def _sharpest(cover: SeenPicture, others: Sequence[SeenPicture], twins: NewTwins) -> SeenPicture:
    same = [one for one in others if one is cover or _is_same_moment(one, cover, twins)]
    return max(same, key=lambda one: one.look.measures.sharpness)


def _shown(
    one: SeenPicture, cover: SeenPicture, staged: StagedPhoto, finished: Sequence[SeenPicture], twins: NewTwins
) -> StagedPhoto:
    if one is cover:
        same = 1 + sum(_is_same_moment(other, cover, twins) for other in finished if other is not cover)
        sharpest = say("cover; sharpest of {number}", number=house().number(same))
        note = sharpest if same > 1 else say("cover")
        return _with(staged, note, is_cover=True)
    if staged.what is What.IN_PROGRESS:
        return staged
    if _is_same_moment(one, cover, twins):
        return _with(staged, say("same moment"), show=False)
    return staged


def _with(staged: StagedPhoto, note: str, *, is_cover: bool = False, show: bool = True) -> StagedPhoto:
    return StagedPhoto(staged.what, note, staged.reason, staged.is_doubtful, staged.instead, is_cover, show)


def _is_same_moment(one: SeenPicture, other: SeenPicture, twins: NewTwins) -> bool:
    pair = twins.between(one, other)
    if pair is not None and pair.relation in {Relation.BURST, Relation.EDITED, Relation.IDENTICAL}:
        return True
    near = one.moment and other.moment and abs(one.moment - other.moment) <= _ONE_MOMENT
    return bool(near and pair is not None)
