"""How long a limb is and how far round it is at each height: cones through the girths that are known.

Between two girths the limb is taken as a cone, beyond the first and the last as a cylinder: common practice, no source.
"""

import itertools
from bisect import bisect_right
from collections.abc import Iterable, Mapping
from enum import Enum

from archgen.languages.house import to_say
from archgen.limbs.spots import LimbKind
from archgen.records.vocabulary.girths import POPULATION_GIRTHS, RELAXED_UPPER_ARM, GirthKind, PopulationGirth
from archgen.values.frozen import Value


class From(Enum):
    """Where a measure is from."""

    MEASURED = to_say("measured")
    TOLD = to_say("as you said")
    AVERAGE = to_say("average")


class GirthMark(Value, frozen=True):
    """A girth at a height, in mm below the top of the limb."""

    at_mm: float
    girth_mm: float
    source: From


# Shoulder to elbow (acromion to radiale), elbow to wrist (radiale to stylion: records/vocabulary/girths.py's source),
# hip to knee and knee to ankle, in mm, the middle of men's and women's means: the second by calculation from ANSUR II,
# the others from memory of the same survey, rounded.
AVERAGE_LENGTHS = {LimbKind.ARM: (325.0, 255.0), LimbKind.LEG: (400.0, 415.0)}
LEAST_PART_MM, MOST_PART_MM = 80.0, 700.0
# Where an average girth is taken: part and share of its length.
_AVERAGES: Mapping[LimbKind, tuple[tuple[int, float, PopulationGirth], ...]] = {
    LimbKind.ARM: (
        (0, 0.5, RELAXED_UPPER_ARM),
        (1, 0.25, POPULATION_GIRTHS[GirthKind.FOREARM]),
        (1, 1.0, POPULATION_GIRTHS[GirthKind.WRIST]),
    ),
    LimbKind.LEG: (
        (0, 0.05, POPULATION_GIRTHS[GirthKind.THIGH]),
        (0, 0.9, POPULATION_GIRTHS[GirthKind.LOWER_THIGH]),
        (1, 0.3, POPULATION_GIRTHS[GirthKind.CALF]),
        (1, 1.0, POPULATION_GIRTHS[GirthKind.ANKLE]),
    ),
}
# So much thinner than one in twenty women, so much thicker than one in twenty men is no limb (no source).
_THINNER, _THICKER = 0.5, 1.5
# An average this near (as a share of a part) to a measured girth would only bend the line.
_NEAR = 0.4


class Profile(Value, frozen=True):
    """A limb; lengths of its two parts in mm, girths from the top down."""

    kind: LimbKind
    lengths_mm: tuple[float, float]
    lengths_from: tuple[From, From]
    marks: tuple[GirthMark, ...]

    @property
    def length_mm(self) -> float:
        """Give the whole length."""
        return sum(self.lengths_mm)

    @property
    def ends(self) -> tuple[float, float, float]:
        """Give the heights of the three joints."""
        return 0.0, self.lengths_mm[0], self.length_mm

    def height(self, along: float) -> float:
        """Turn 0 to 1 (first part) and 1 to 2 (second) into mm from the top."""
        first, second = self.lengths_mm
        return along * first if along <= 1 else first + (along - 1) * second

    def girth(self, at_mm: float) -> float:
        """Give the girth at a height."""
        heights = [mark.at_mm for mark in self.marks]
        after = bisect_right(heights, at_mm)
        if after == 0 or after == len(heights):
            return self.marks[min(after, len(heights) - 1)].girth_mm
        low, high = self.marks[after - 1], self.marks[after]
        share = (at_mm - low.at_mm) / (high.at_mm - low.at_mm)
        return low.girth_mm + share * (high.girth_mm - low.girth_mm)

    def breaks(self, first_mm: float, last_mm: float) -> tuple[float, ...]:
        """Give both heights and those between them at which one cone meets the next."""
        between = (mark.at_mm for mark in self.marks if first_mm < mark.at_mm < last_mm)
        return (first_mm, *between, last_mm)

    def area(self, first_mm: float, last_mm: float) -> float:
        """Give the skin between two heights in mm²: the girth summed up, exact for cones unrolled row by row."""
        heights = self.breaks(first_mm, last_mm)
        return sum((self.girth(low) + self.girth(high)) / 2 * (high - low) for low, high in itertools.pairwise(heights))


def people_have(kind: LimbKind, along: float) -> tuple[float, float]:
    """Give the girths that nine in ten adults lie between, in mm, where a survey measured nearest to a height."""
    girth = min(_AVERAGES[kind], key=lambda one: abs(one[0] + one[1] - along))[2]
    return min(girth.men.p5_mm, girth.women.p5_mm), max(girth.men.p95_mm, girth.women.p95_mm)


def is_of_limb(kind: LimbKind, along: float, girth_mm: float) -> bool:
    """Say whether a limb may be so far round at a height of 0 to 2."""
    least, most = people_have(kind, along)
    return least * _THINNER <= girth_mm <= most * _THICKER


def make_profile(
    kind: LimbKind, known: Iterable[GirthMark], lengths: tuple[float | None, float | None] = (None, None)
) -> Profile:
    """Put the girths that are known on a limb and averages where none is near.

    Args:
        kind: Of the limb.
        known: Measured or said; `at_mm` is 0 to 2 along the limb here. Of several at one height the last counts.
        lengths: Of both parts, None for the average.
    """
    average = AVERAGE_LENGTHS[kind]
    sources = tuple(From.TOLD if length else From.AVERAGE for length in lengths)
    bare = Profile(
        kind,
        (lengths[0] or average[0], lengths[1] or average[1]),
        (sources[0], sources[1]),
        (),
    )
    latest = {round(mark.at_mm, 2): mark for mark in known}
    marks = [GirthMark(bare.height(along), mark.girth_mm, mark.source) for along, mark in latest.items()]
    marks += [
        GirthMark(bare.height(part + share), round(girth.mean_mm), From.AVERAGE)
        for part, share, girth in _AVERAGES[kind]
        if all(abs(part + share - along) > _NEAR for along in latest)
    ]
    return Profile(bare.kind, bare.lengths_mm, bare.lengths_from, tuple(sorted(marks, key=lambda mark: mark.at_mm)))
