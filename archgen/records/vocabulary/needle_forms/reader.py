"""Read one needle's code or words.

Convention DDNNLL[taper]: two digits of diameter code, two of count, grouping letters, taper letters; 1207RL is
0.35 mm, seven, round liner (trade guides; makers differ). Nothing is guessed in silence: what was assumed says so,
what is not understood is kept as written with a warning, and beside it only what cannot be changed by it is said.
"""

import re
from typing import TypeGuard, TypeVar

from archgen.languages.house import say
from archgen.languages.kept import kept
from archgen.records.vocabulary.needle_forms.groupings import KINDS, grouping_of, usual_counts
from archgen.records.vocabulary.needle_forms.reading import NeedleReading, NeedleWarning
from archgen.records.vocabulary.needle_forms.tokens import NeedleTokens, number_of
from archgen.records.vocabulary.needle_forms.words import (
    ASSUMED_DIAMETER_MM,
    BUGPIN_AT_MOST_MM,
    DIAMETERS_MM,
    DISPUTED_CODES,
    DOUBTS,
    Grouping,
    grouping_words,
)
from archgen.values.frozen import Value

_Value = TypeVar("_Value")


@kept(4096)
def read_needle(text: str) -> NeedleReading:
    """Read one needle's code or words."""
    return read_words(text).reading


class NeedleWords(Value, frozen=True):
    """A reading and where in the text its parts stand, for whoever reads it as one of a list.

    Attributes:
        number: The one bare number the text consists of; None when there is more.
        is_grouping_first: The grouping stands before the count.
        shared_before: The diameter, bugpin or taper that stands before the count, as written.
        shared_after: The diameter or bugpin that stands behind the grouping, as written.
        has_make: It says how a group is made, and nothing of which and how many: "curved".
    """

    reading: NeedleReading
    number: int | None
    is_grouping_first: bool
    shared_before: str | None
    shared_after: str | None
    has_make: bool

    @property
    def is_beside(self) -> bool:
        """Say whether it only tells more of a needle that stands elsewhere."""
        has_group = self.reading.grouping is not None and not self.has_make
        return not self.reading.unknown and self.reading.count is None and not has_group


@kept(4096)
def read_words(text: str) -> NeedleWords:
    """Read one needle's code or words, with what a list of needles has to know of it."""
    return _Reader(NeedleTokens.of(text.strip())).finish(text.strip())


class _Reader:
    def __init__(self, tokens: NeedleTokens) -> None:
        self.tokens = tokens
        self.unknown = tokens.unknown
        self.warnings = tokens.warnings

    def finish(self, text: str) -> NeedleWords:
        """Check what was taken and give the reading."""
        number = number_of(self.tokens.numbers[0]) if len(self.tokens.numbers) == 1 else None
        is_number = bool(self.tokens.numbers) and text.strip(" .") == self.tokens.numbers[0][0]
        diameter, taper = self._one(self.tokens.diameters), self._one(self.tokens.tapers)
        grouping = self._grouping()
        count = self._count(grouping)
        if self.tokens.is_denied:
            diameter, taper, count, grouping, self.tokens.bugpin = None, None, None, None, False
        self._warn(diameter, count, grouping)
        is_asked = any(warning.is_unread for warning in self.warnings)
        is_assumed = not is_asked and diameter is None and not self.tokens.bugpin
        if self._is_no_bugpin(diameter):  # one of the two words is wrong, and nobody knows which
            diameter, self.tokens.bugpin = None, False
        reading = NeedleReading(
            text=text,
            diameter_mm=ASSUMED_DIAMETER_MM if is_assumed else diameter,
            diameter_is_assumed=is_assumed,
            count=count,
            grouping=grouping,
            taper=taper,
            bugpin=self.tokens.bugpin,
            features=tuple(self.tokens.features),
            unknown=tuple(self.unknown),
            warnings=tuple(self.warnings),
        )
        core = (*self.tokens.groups, *self.tokens.numbers, *self.tokens.singles)
        beside = self.tokens.beside
        gauges = [match for match in beside if not str(match.lastgroup).startswith("taper")]
        return NeedleWords(
            reading=reading,
            number=number if is_number else None,
            is_grouping_first=bool(self.tokens.groups)
            and bool(self.tokens.numbers)
            and self.tokens.groups[0].end() <= self.tokens.numbers[0].start(),
            shared_before=next(
                (match[0] for match in beside if all(match.end() <= part.start() for part in core)), None
            ),
            shared_after=next(
                (match[0] for match in gauges if all(part.end() <= match.start() for part in core)), None
            ),
            has_make=bool(self.tokens.said) and not {*KINDS} & {*self.tokens.said},
        )

    def _one(self, found: dict[_Value, str]) -> _Value | None:
        """Give the one value that was written; two that differ are not understood."""
        if len(found) > 1:
            self.unknown += [written for written in dict.fromkeys(found.values()) if written not in self.unknown]
            return None
        return next(iter(found), None)

    def _grouping(self) -> Grouping | None:
        words = set(self.tokens.said)
        if self.tokens.singles and not words:
            return Grouping.ROUND_LINER
        grouping = grouping_of(words)
        written = [match[0] for match in self.tokens.groups]
        if grouping is None:
            self.unknown += [word for word in dict.fromkeys(written) if word not in self.unknown]
            return None
        # A word nobody knows may turn a magnum into another one: "27 mag soft edge" was a plain one once.
        has_strange_word = any(word[0].isalpha() for word in self.unknown)
        return None if has_strange_word and not self.tokens.is_coded else grouping

    def _count(self, grouping: Grouping | None) -> int | None:
        for match in self.tokens.numbers if len(self.tokens.numbers) == 1 else ():
            number = number_of(match)
            if self._is_code_rather(match, number, grouping):
                text = say('"{written}" may be the count or the diameter code.', written=match[0])
                self.tokens.set_unread("unclear-digits", text, match[0])
                return None
            if self.unknown and not self._is_beside_group(match):
                self.unknown.append(match[0])
                return None
            self.tokens.counts.setdefault(number, match[0])
        if len(self.tokens.numbers) > 1:
            self.unknown += [match[0] for match in self.tokens.numbers]
            return None
        count = self._one(self.tokens.counts)
        if count == 0:
            self.unknown.append("0")
        return count or None

    def _is_code_rather(self, match: re.Match[str], number: int, grouping: Grouping | None) -> bool:
        """Say whether a number behind the grouping ("RL 10") may be its diameter: such a count is not usual."""
        is_behind = bool(self.tokens.groups) and self.tokens.groups[-1].end() <= match.start()
        usual = usual_counts(grouping) if grouping else ()
        return is_behind and number in DIAMETERS_MM and number not in usual

    def _is_beside_group(self, match: re.Match[str]) -> bool:
        groups, text = self.tokens.groups, match.string
        between = [text[match.end() : group.start()] for group in groups if group.start() >= match.end()]
        between += [text[group.end() : match.start()] for group in groups if group.end() <= match.start()]
        return any(not gap.strip(" -(") for gap in between)

    def _is_no_bugpin(self, diameter: float | None) -> TypeGuard[float]:
        return self.tokens.bugpin and diameter is not None and diameter > BUGPIN_AT_MOST_MM

    def _warn(self, diameter: float | None, count: int | None, grouping: Grouping | None) -> None:
        doubts = [word for word in self.unknown if word in DOUBTS]
        told = {*self.tokens.explained, *doubts}
        unread = ", ".join(f'"{word}"' for word in self.unknown if word not in told)
        if unread:
            text = say("{unread} was not understood and is kept as written.", unread=unread)
            self.warnings.append(NeedleWarning("unknown-word", text, is_unread=True))
        if doubts:
            self.warnings.append(
                NeedleWarning("in-doubt", say('"{word}" leaves it open.', word=doubts[0]), is_unread=True)
            )
        if self.tokens.code in DISPUTED_CODES:
            text = say("#{code} is read as 0.40 mm; makers disagree about codes 13 and 14.", code=self.tokens.code)
            self.warnings.append(NeedleWarning("disputed-diameter", text))
        if self._is_no_bugpin(diameter):
            text = say(
                "It says bugpin, but {diameter:.2f} mm is thicker than {most:.2f} mm.",
                diameter=diameter,
                most=BUGPIN_AT_MOST_MM,
            )
            self.warnings.append(NeedleWarning("not-bugpin", text))
        if grouping is None and not self.unknown:
            self.warnings.append(
                NeedleWarning("no-grouping", say("It does not say how the needles stand."), is_unread=True)
            )
        if count is None and not self.unknown:
            text = say("It does not say how many needles there are.")
            self.warnings.append(NeedleWarning("no-count", text, is_unread=True))
        if count and grouping and count not in usual_counts(grouping):
            text = say("{count} is an unusual number for a {grouping}.", count=count, grouping=grouping_words(grouping))
            self.warnings.append(NeedleWarning("unusual-count", text))
