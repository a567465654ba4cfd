"""What one needle's code or words were read as, and how wide its bundle of shafts is at most."""

import math

from archgen.languages.house import say, say_in, to_say
from archgen.records.vocabulary.needle_forms.circles import packing_ratio, ring_ratio
from archgen.records.vocabulary.needle_forms.words import BUGPIN_AT_MOST_MM, MAGNUMS, Grouping, Taper, grouping_words
from archgen.values.frozen import Value

_SHAFT, _BUGPIN = to_say("{diameter:.2f} mm"), to_say("{diameter:.2f} mm bugpin")


class NeedleWarning(Value, frozen=True):
    """What to look at in a needle's code; is_unread when something of it was not understood."""

    code: str
    text: str
    is_unread: bool = False


class NeedleReading(Value, frozen=True):
    """What one needle's code or words were read as. A reading that is asked says only what is sure all the same.

    Attributes:
        diameter_mm: Of one shaft; None when only an upper bound is known (bugpin), or nothing.
        diameter_is_assumed: Nobody wrote it: the trade's standard stands in.
        unknown: Words that were not understood, as written.
        features: Words that are known and change none of the figures, such as "textured" or "× 2".
    """

    text: str
    diameter_mm: float | None
    diameter_is_assumed: bool
    count: int | None
    grouping: Grouping | None
    taper: Taper | None
    bugpin: bool
    features: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    warnings: tuple[NeedleWarning, ...] = ()

    @property
    def is_asked(self) -> bool:
        """Say whether something of it was not understood."""
        return any(warning.is_unread for warning in self.warnings)

    @property
    def diameter_at_most_mm(self) -> float | None:
        """Give the shaft's diameter, or the bugpin bound when that is all that is known."""
        return BUGPIN_AT_MOST_MM if self.diameter_mm is None and self.bugpin else self.diameter_mm

    @property
    def bundle_mm(self) -> float | None:
        """Give how wide the shafts stand together at most; None without count, grouping or diameter, and in doubt.

        Points converge: this bounds the contact from above, it does not foretell the drawn or healed line. A round
        group is taken as packed tightly, a hollow one as a ring, a flat or magnum as all its needles side by side.
        """
        ratio, diameter = self._widest_ratio(), self.diameter_at_most_mm
        return None if ratio is None or diameter is None or self.is_asked else ratio * diameter

    @property
    def bundle_at_least_mm(self) -> float | None:
        """Give how wide the shafts stand together at least; for magnums half of them side by side."""
        if self.bundle_mm is None or self.count is None or self.diameter_mm is None:
            return None
        if self.grouping in MAGNUMS:
            return math.ceil(self.count / 2) * self.diameter_mm
        return self.bundle_mm

    def _widest_ratio(self) -> float | None:
        if self.count is None:
            return None
        if self.grouping is Grouping.HOLLOW_LINER:
            return ring_ratio(self.count)
        is_round = self.grouping in (Grouping.ROUND_LINER, Grouping.ROUND_SHADER)
        return packing_ratio(self.count) if is_round else float(self.count)

    def words(self) -> str:
        """Write it for people: "9 round liner, 0.30 mm"; what is in doubt as it was written."""
        is_open = any(not word[0].isalnum() for word in self.unknown)
        if self.grouping is None or is_open or (self.unknown and self.count is None):
            return self.text
        parts = [self._name()]
        if self.diameter_mm is None:
            parts += [say("bugpin ({most:.2f} mm or thinner)", most=BUGPIN_AT_MOST_MM)] if self.bugpin else []
        elif self.diameter_is_assumed:
            parts.append(say("{diameter:.2f} mm assumed", diameter=self.diameter_mm))
        else:
            parts.append(say(_BUGPIN if self.bugpin else _SHAFT, diameter=self.diameter_mm))
        parts += [say_in("needle", self.taper.value)] if self.taper else []
        return ", ".join((*parts, *self.features, *self.unknown))

    def _name(self) -> str:
        if self.count == 1 and self.grouping is Grouping.ROUND_LINER:
            return say("single needle")
        return " ".join(
            [*([str(self.count)] if self.count else []), *([grouping_words(self.grouping)] if self.grouping else [])]
        )
