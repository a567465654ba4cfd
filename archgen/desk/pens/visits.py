"""A touch-up that was done, a photo that came in later: what each writes into the record of a filed piece."""

import datetime as dt
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import PurePosixPath

from archgen.answers.typed import typed_day, typed_value
from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.records.model import Piece
from archgen.units import add_days, date_words
from archgen.writing.record_text import AddTable, Edit

# The usual lengths of a touch-up, in hours; common practice, no source.
TOUCH_UPS = (0.25, 0.5, 0.75, 1.0)


@dataclass(frozen=True, slots=True)
class TouchUpAnswers:
    """What was said about a touch-up; what is empty was left open."""

    hours: str
    other_hours: str = ""
    day: str = ""
    note: str = ""


def touch_up_edits(said: TouchUpAnswers, today: dt.date) -> tuple[Edit, ...]:
    """Give what it writes.

    Raises:
        UsageError: A time or day is not understood, or the day has not come yet.
    """
    day = past_day(said.day, today) or today
    hours = said.other_hours or said.hours
    values = {
        "date": day,
        "hours": typed_value("hours", hours) if hours else None,
        "kind": "touch-up",
        "note": said.note or None,
    }
    return (AddTable(("sitting",), values),)


def past_day(text: str, today: dt.date) -> dt.date | None:
    """Read a day that is over or today; None when nothing was typed.

    Raises:
        UsageError: It is no day, or has not come yet.
    """
    if not text:
        return None
    day = typed_day(text)
    if day > today:
        raise UsageError(say("{day} hasn't come yet. Check the day.", day=date_words(day)))
    return day


@dataclass(frozen=True, slots=True)
class NewPhoto:
    """A photo for a filed piece.

    Attributes:
        name: Its file name, harmless and free.
        taken: Its day; None when neither the camera nor the artist says it.
        is_shown: Whether it may be shown where the piece is.
    """

    name: str
    stage: str
    taken: dt.date | None
    is_shown: bool


def photo_edits(photo: NewPhoto) -> tuple[Edit, ...]:
    """Give what it writes; what a photo of its stage does anyway is not written."""
    values = {
        "file": f"photos/{photo.name}",
        "stage": photo.stage,
        "taken": photo.taken,
        "publish": None if photo.is_shown or photo.stage == "in-progress" else False,
    }
    return (AddTable(("photo",), values),)


def stage_guess(piece: Piece, taken: dt.date | None, healed_after_days: int) -> str:
    """Say by the day what a photo shows: healed, once the skin has had its time; else fresh."""
    finished = piece.record.finished_on if piece.record else None
    if finished is None or taken is None:
        return "healed"
    return "healed" if taken >= add_days(finished, healed_after_days) else "fresh"


def free_name(name: str, taken: Collection[str]) -> str:
    """Give a name that no file of the folder has, whatever its capitals."""
    there = {one.casefold() for one in taken}
    path, number, free = PurePosixPath(name), 2, name
    while free.casefold() in there:
        free = f"{path.stem}-{number}{path.suffix}"
        number += 1
    return free
