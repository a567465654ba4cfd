"""Read a needle or a list of needles, and what of one holds for the others.

"3/5/7 RL" are three needles, "3 RL, 0.30 mm" is one; of "#10 3RL + 7RL" nobody knows whether #10 holds for both, so
it is asked and nothing is claimed.
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from archgen.languages.house import say
from archgen.languages.kept import kept
from archgen.records.vocabulary.needle_forms.groupings import usual_counts
from archgen.records.vocabulary.needle_forms.reader import NeedleWords, read_words
from archgen.records.vocabulary.needle_forms.reading import NeedleReading, NeedleWarning
from archgen.records.vocabulary.needle_forms.words import LETTERS

# Between needles of a list; a comma inside a decimal is none. "y", "e", "et", "und", "och": and.
_BETWEEN = re.compile(r"\s*(?:[+;/&|·•\n]|,(?!\d)|(?<!\d),|\b(?:and|plus|und|et|y|e|och)\b)\s*", re.IGNORECASE)
# Two codes with nothing but a space between them: "3RL 7RL".
_CODE = rf"\d{{1,4}}\s?(?:{LETTERS})(?![^\W_])"
_NEXT_CODE = re.compile(rf"(?<![\w.,#])({_CODE})\s+(?={_CODE})", re.IGNORECASE)


@kept(4096)
def read_needles(text: str) -> tuple[NeedleReading, ...]:
    """Read a needle or a list of needles: "3RL, 9RL + 15CM"."""
    listed = _NEXT_CODE.sub(r"\1; ", text.strip())
    parts = [part.strip() for part in _BETWEEN.split(listed) if part.strip()]
    found = _join([read_words(part) for part in parts])
    needles, beside = _apart(found)
    return _doubt_shared(_spread(needles), beside)


def _join(found: list[NeedleWords]) -> list[NeedleWords]:
    """Put what stands apart from the only needle back to it: "3 RL, 0.30 mm"."""
    needles = [words for words in found if not words.is_beside]
    if len(needles) != 1 or len(found) == 1 or needles[0].number is not None:
        return found
    return [read_words(" ".join(words.reading.text for words in found))]


def _apart(found: list[NeedleWords]) -> tuple[list[NeedleWords], list[NeedleWords]]:
    """Separate needles from what is said of one or all of them: "3RL, 7RL, 0.30 mm"."""
    beside = [words for words in found if words.is_beside]
    needles = [words for words in found if not words.is_beside]
    return (needles, beside) if needles else (found, [])


def _spread(found: Sequence[NeedleWords]) -> list[NeedleWords]:
    """Give bare numbers the grouping that closes or opens their list: "3/5/7 RL", "RL 3/5/7"."""
    read = list(found)
    for place in range(len(read) - 2, -1, -1):
        if read[place].number is not None:
            read[place] = _like(read[place], read[place + 1], rising=True)
    for place in range(1, len(read)):
        if read[place].number is not None and read[place - 1].is_grouping_first:
            read[place] = _like(read[place], read[place - 1], rising=False)
    return [_unclear(words) if words.number is not None and len(read) > 1 else words for words in read]


def _like(bare: NeedleWords, other: NeedleWords, *, rising: bool) -> NeedleWords:
    """Give a bare number the grouping of its neighbour; as it was when it may be a diameter or no count."""
    reading, count = other.reading, bare.number
    if reading.grouping is None or reading.count is None or reading.unknown or count is None:
        return bare
    is_in_order = count < reading.count if rising else count > reading.count
    if not is_in_order or count not in usual_counts(reading.grouping):
        return bare
    text = f"{bare.reading.text} {reading.grouping.value}"
    alike = replace(reading, text=text, count=count, features=())
    if other.shared_before or other.shared_after:
        alike = _asked(replace(alike, diameter_mm=None, bugpin=False), "shared", _whose(other))
    return replace(other, reading=alike, number=None, shared_before=None, shared_after=None)


def _unclear(words: NeedleWords) -> NeedleWords:
    """Say nothing of a number in a list that may be a count, a diameter or a slip; nor of what it may belong to."""
    return replace(words, reading=replace(words.reading, count=None, unknown=(words.reading.text,)))


def _doubt_shared(needles: list[NeedleWords], beside: list[NeedleWords]) -> tuple[NeedleReading, ...]:
    """Ask where something said once may hold for one needle or for all."""
    readings = [words.reading for words in needles]
    if len(readings) < 2:
        return tuple(readings)
    for other in beside:
        readings = [_withheld(reading, other) for reading in readings]
    shared = (needles[0].shared_before, 0), (needles[-1].shared_after, len(needles) - 1)
    for written, owner in shared:
        if written:
            text = say('It does not say whether "{written}" holds for this needle too.', written=written.strip())
            readings = [
                reading if place == owner or _has_own(reading) else _asked(_without_guess(reading), "shared", text)
                for place, reading in enumerate(readings)
            ]
    if readings[0].grouping is None:  # "10/9RL": the first may be the diameter of the second
        readings = [_without_guess(reading) for reading in readings]
    return tuple(readings)


def _whose(words: NeedleWords) -> str:
    written = words.shared_before or words.shared_after or say("the diameter")
    return say('It does not say whether "{written}" holds for this needle too.', written=written.strip())


def _has_own(reading: NeedleReading) -> bool:
    return reading.bugpin or (reading.diameter_mm is not None and not reading.diameter_is_assumed)


def _without_guess(reading: NeedleReading) -> NeedleReading:
    """Take the assumed diameter out of a reading."""
    return replace(reading, diameter_mm=None, diameter_is_assumed=False) if reading.diameter_is_assumed else reading


def _withheld(reading: NeedleReading, beside: NeedleWords) -> NeedleReading:
    """Take out of a reading what words beside the list may change, and ask."""
    text = say('It does not say which needle "{text}" belongs to.', text=beside.reading.text)
    doubted = _without_guess(reading)
    return _asked(replace(doubted, grouping=None) if beside.has_make else doubted, "shared", text)


def _asked(reading: NeedleReading, code: str, text: str) -> NeedleReading:
    if any(warning.code == code for warning in reading.warnings):
        return reading
    return replace(reading, warnings=(*reading.warnings, NeedleWarning(code, text, is_unread=True)))
