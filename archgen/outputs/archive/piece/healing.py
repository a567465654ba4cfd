"""The days since a piece was finished, laid out on a rule: photos, checks, touch-ups, the touch-up window."""

import math
from collections import Counter

from archgen.config import Limits
from archgen.languages.house import say, say_count
from archgen.pieces.overview import PieceOverview
from archgen.records.model import PieceRecord, SittingKind, Stage
from archgen.units import days_between
from archgen.values.frozen import Value
from archgen.wording.pieces import stage_within

# The drawing is this many units wide, 0 and the last day standing a little inside.
WIDTH, LEFT, RIGHT = 840, 10, 810
SHORTEST_DAYS = 200
_UNITS_PER_LETTER = 7.6
_ROWS = 4


class Post(Value, frozen=True):
    """One day on the rule, with its words in one of the rows below; row None: no room in the drawing."""

    day: int
    x: float
    words: str
    row: int | None
    ends_here: bool


class HealingRule(Value, frozen=True):
    """The whole rule; x are units of the drawing.

    Attributes:
        window: Left and right edge of the touch-up window.
    """

    posts: tuple[Post, ...]
    ticks: tuple[tuple[float, bool], ...]
    window: tuple[float, float]
    window_days: tuple[int, int]
    last_day: int
    rows: int
    is_default_window: bool


def healing_rule(overview: PieceOverview, record: PieceRecord, limits: Limits) -> HealingRule | None:
    """Lay out the days of a piece; None when its end is not known or nothing happened since."""
    events = _events(overview, record)
    if not events:
        return None
    last_day = max(SHORTEST_DAYS, limits.touch_up_until_days + 20, _nice(max(events)))
    scale = (RIGHT - LEFT) / last_day
    step = last_day // 40 or 1
    posts = _posts(events, scale)
    return HealingRule(
        posts=posts,
        ticks=tuple((round(LEFT + day * scale, 1), day % (step * 10) == 0) for day in range(0, last_day + 1, step)),
        window=(
            round(LEFT + limits.touch_up_from_days * scale, 1),
            round(LEFT + limits.touch_up_until_days * scale, 1),
        ),
        window_days=(limits.touch_up_from_days, limits.touch_up_until_days),
        last_day=last_day,
        rows=1 + max((post.row for post in posts if post.row is not None), default=0),
        is_default_window=limits.has_usual_touch_up_days,
    )


def _events(overview: PieceOverview, record: PieceRecord) -> dict[int, str]:
    seen: dict[int, list[str]] = {}
    photos = Counter(
        (one.days_after, one.stage)
        for one in overview.photos.shown
        if one.days_after is not None and one.stage is not Stage.IN_PROGRESS
    )
    for (day, stage), number in photos.items():
        seen.setdefault(day, []).append(_photos_words(stage, number))
    for look in overview.follow_up.looks:
        if look.days_after is not None:
            seen.setdefault(look.days_after, []).append(say("check"))
    for sitting in record.sitting:
        after = days_between(overview.finished_on, sitting.date)
        if sitting.kind is SittingKind.TOUCH_UP and after is not None:
            seen.setdefault(after, []).append(say("touch-up"))
    return {day: ", ".join(dict.fromkeys(words)) for day, words in sorted(seen.items())}


def _photos_words(stage: Stage | None, number: int) -> str:
    if number == 1:
        return stage_within(stage) if stage else say("photo")
    if stage is Stage.FRESH:
        return say_count("{number} fresh photo", "{number} fresh photos", number)
    if stage is Stage.HEALED:
        return say_count("{number} healed photo", "{number} healed photos", number)
    return say_count("{number} photo", "{number} photos", number)


def _nice(day: int) -> int:
    # Room to the right of the last post for its words.
    return math.ceil(day / 0.82 / 40) * 40


def _posts(events: dict[int, str], scale: float) -> tuple[Post, ...]:
    # From the last to the first: words start at their post, in the first row where they end before the next
    # begin. So a line down from a post never runs through other words.
    begins: list[float] = []
    posts = []
    for day, what in reversed(events.items()):
        words = say("Day {day}, {what}", day=day, what=what)
        x = LEFT + day * scale
        end = x + len(words) * _UNITS_PER_LETTER + 14
        row = next((number for number, begin in enumerate(begins) if end <= begin), len(begins))
        begins[row:] = [x, *begins[row + 1 :]]
        posts.append(Post(day, round(x, 1), words, row if row < _ROWS else None, ends_here=end > WIDTH))
    return tuple(reversed(posts))
