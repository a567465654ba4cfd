"""Needles as they are spoken of: "5 round liner", "9 curved mag", and the one word they have in the index, 5rl, 9cm."""

import math
import re
from collections.abc import Iterator
from functools import cache
from itertools import product

from archgen.records.vocabulary.needle_forms.reading import NeedleReading
from archgen.records.vocabulary.needle_forms.words import BUGPIN_AT_MOST_MM, GROUPING_LETTERS, Grouping
from archgen.records.vocabulary.needles import read_needles

# The words of a kind of group; the letters of one whose words are all in these.
_KINDS = {
    Grouping.ROUND_LINER: {"liner", "round"},
    Grouping.ROUND_SHADER: {"shader", "round"},
    Grouping.HOLLOW_LINER: {"liner", "hollow"},
    Grouping.MAGNUM: {"mag"},
    Grouping.STACKED_MAGNUM: {"mag", "stacked"},
    Grouping.CURVED_MAGNUM: {"mag", "curved"},
    Grouping.FLAT: {"flat"},
}
# Before the words of a group: where so many of it are meant.
COUNT = "# "
_MAKES = ("", "curved ", "soft edge ", "stacked ", "round ", "hollow ", "hollow round ")
_GROUPS = ("liner", "shader", "mag", "magnum", "flat")


def needle_words(reading: NeedleReading) -> Iterator[str]:
    """Give how the trade writes a group: 9rl, 9mag; of bugpins in one word too, for its words may be two needles'."""
    bugpin = reading.bugpin or (reading.diameter_mm or math.inf) <= BUGPIN_AT_MOST_MM
    if bugpin:
        yield "bugpin"
    if reading.grouping is None:
        return
    for name in sorted({*_letters(reading.grouping), *(("mag", "m") if "mag" in _KINDS[reading.grouping] else ())}):
        yield name
        if reading.count:
            yield f"{reading.count}{name}"
        if reading.count and bugpin:
            yield f"{reading.count}{name}bugpin"


def _letters(grouping: Grouping) -> list[str]:
    return sorted(text for text, words in GROUPING_LETTERS.items() if set(words) == _KINDS[grouping])


@cache
def spoken_groups() -> dict[str, str]:
    """Give for each way to speak of a group the letters that follow its count in the index.

    Letters alone that are a unit of length or time as well, such as cm and h, are none.
    """
    found = {letters: letters for letters in GROUPING_LETTERS if len(letters) > 1 and letters != "cm"}
    for make, group in product(_MAKES, _GROUPS):
        (reading, *_) = read_needles(f"9 {make}{group}")
        if reading.grouping:
            found[f"{make}{group}"] = found[f"{make}{group}s"] = _letters(reading.grouping)[0]
    return found


def needle_phrases() -> dict[str, tuple[str, ...]]:
    """Give the same as phrases behind a count."""
    groups = spoken_groups()
    bugpins = {
        spoken: f"{name}bugpin" for group, name in groups.items() for spoken in (f"bugpin {group}", f"{group} bugpin")
    }
    return {f"{COUNT}{spoken}": (name,) for spoken, name in {**groups, **bugpins}.items()}


def needles_in(text: str) -> Iterator[str]:
    """Give the words of needles that stand in a text somebody wrote."""
    for count, spoken in _spoken().findall(text):
        yield f"{int(count)}{spoken_groups()[spoken.lower()]}"


@cache
def _spoken() -> re.Pattern[str]:
    groups = "|".join(sorted(spoken_groups(), key=len, reverse=True))
    return re.compile(rf"(?<![\w.,])(\d{{1,2}})\s+({groups})(?!\w)", re.IGNORECASE)
