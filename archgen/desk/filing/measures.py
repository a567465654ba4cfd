"""What the pictures themselves offer for the form: the stencil's measure, the time from first to last photo."""

import datetime as dt
import math
from collections.abc import Iterable
from dataclasses import dataclass

from archgen.intake.plan import PlannedPicture
from archgen.languages.house import say
from archgen.languages.language import MM_PER
from archgen.picture_facts.facts import ImageFacts, Role
from archgen.units import MM_PER_INCH, hours_words

_STEPS = 5


@dataclass(frozen=True, slots=True)
class SizeOffer:
    """How large a stencil is printed by its file, in mm, and how that is known."""

    width_mm: float
    height_mm: float | None
    words: str


@dataclass(frozen=True, slots=True)
class TimeOffer:
    """A working time to be touched: as it is written, in words, and where it comes from."""

    written: str
    words: str
    source: str = ""


def size_offer(picture: PlannedPicture, facts: ImageFacts | None) -> SizeOffer | None:
    """Give the measure of what is drawn; None where the file says nothing of its size on paper."""
    dots = picture.dots_per_inch
    if not dots:
        return None
    marks = facts.marks if facts else None
    across = marks[2] - marks[0] if marks else picture.line_width_px
    if not across:
        return None
    tall = (marks[3] - marks[1]) / dots * MM_PER_INCH if marks else None
    width = across / dots * MM_PER_INCH
    return SizeOffer(
        round(width), tall and float(round(tall)), say("by its file: {dots:.0f} dots to the inch", dots=dots)
    )


def side_ratio(facts: ImageFacts | None) -> float | None:
    """Give height by width of what is drawn, from which one side follows from the other."""
    if facts is None or facts.marks is None or facts.marks[2] <= facts.marks[0]:
        return None
    return (facts.marks[3] - facts.marks[1]) / (facts.marks[2] - facts.marks[0])


def photo_span(pictures: Iterable[PlannedPicture], day: dt.date | None) -> tuple[dt.datetime, dt.datetime] | None:
    """Give first and last photo of the day of the work; None with less than two."""
    times = sorted(
        moment
        for picture in pictures
        if picture.guess.what.role is Role.PHOTO
        and (moment := picture.moment or picture.taken)
        and moment.date() == day
    )
    return (times[0], times[-1]) if len(times) > 1 and times[-1] > times[0] else None


def time_offers(span: tuple[dt.datetime, dt.datetime] | None) -> tuple[TimeOffer, ...]:
    """Offer the time between the photos, and round ones near it; without photos one to six hours."""
    if span is None:
        return tuple(_round(hours) for hours in (1.0, 2.0, 3.0, 4.0, 5.0, 6.0))
    minutes = round((span[1] - span[0]).total_seconds() / 60)
    whole, rest = divmod(minutes, 60)
    first = TimeOffer(f"{whole}h{rest:02d}", hours_words(minutes / 60), say("first to last photo"))
    start = max(math.floor(minutes / 30) / 2, 0.5)
    return (first, *(_round(start + step / 2) for step in range(_STEPS)))


def _round(hours: float) -> TimeOffer:
    return TimeOffer(f"{hours:g}", say("{hours:g} h", hours=hours))


def written_length(millimetres: float, units: str) -> str:
    """Write a length for a field beside its unit, and so for a record."""
    return f"{millimetres / MM_PER[units]:.{2 if units == 'in' else 1}f}".rstrip("0").rstrip(".")
