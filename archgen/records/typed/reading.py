"""What a field as typed was read as: the value, or one short question with its choices."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from archgen.toml.problem import either
from archgen.values.frozen import Value


class LikelyAnswer(Value, frozen=True):
    """One answer to a question: the value as a record takes it, and how it is said."""

    value: Any
    words: str


class Reading(Value, frozen=True):
    """A field as read.

    Attributes:
        value: As a record takes it ("left", True, "62 mm", a date); None when it was not understood.
        words: The value as it is said.
        question: One short sentence; empty when nothing is open.
        choices: The likely answers, the likeliest first.
        beside: What else was said in the same field, by the name of the key beside it: the height in "62 x 88 mm".
    """

    value: Any = None
    words: str = ""
    question: str = ""
    choices: tuple[LikelyAnswer, ...] = ()
    beside: tuple[tuple[str, Any], ...] = ()

    @property
    def is_sure(self) -> bool:
        """Say whether it is understood and nothing is asked."""
        return self.value is not None and not self.question


@dataclass(frozen=True)
class Habits:
    """How the rest of the archive is written.

    Attributes:
        units: "mm" or "in": what a length without its unit is taken in.
        find_day_first: Says whether days are written before months; None where nothing tells. Asked for only when a
            date can be read both ways.
    """

    units: str = "mm"
    find_day_first: Callable[[], bool | None] = field(default=lambda: None)


def listed_choices(choices: tuple[LikelyAnswer, ...]) -> str:
    """Write choices for a question: "7 Mar 2026 or 3 Jul 2026"."""
    return either(choice.words for choice in choices)
