"""Read needle codes and trade words: diameter, count, grouping, taper, and how wide the bundle is at most.

Convention DDNNLL[taper]: two digits of diameter code, two of count, grouping letters, taper letters; 1207RL is
0.35 mm, seven, round liner (trade guides; makers differ). Nothing is guessed in silence: what was assumed says so,
what is not understood is kept as written with a warning.
"""

import math
import re
from dataclasses import dataclass
from functools import lru_cache

from archgen.records.vocabulary.circles import packing_ratio, ring_ratio
from archgen.records.vocabulary.needle_words import (
    ASSUMED_DIAMETER_MM,
    BUGPIN_AT_MOST_MM,
    DIAMETERS_MM,
    DISPUTED_CODES,
    FEATURES,
    FILLERS,
    GROUPING_LETTERS,
    GROUPING_WORDS,
    TAPER_LETTERS,
    TAPER_WORDS,
    THICKEST_MM,
    THINNEST_MM,
    TOKENS,
    Grouping,
    Taper,
    usual_counts,
)
from archgen.units import MM_PER_INCH


@dataclass(frozen=True, slots=True)
class NeedleWarning:
    """What to look at in a needle's code; is_unread when a part of it was not understood."""

    code: str
    text: str
    is_unread: bool = False


@dataclass(frozen=True, slots=True)
class NeedleReading:
    """What one needle's code or words were read as.

    Attributes:
        diameter_mm: Of one shaft; None when only an upper bound is known (bugpin).
        diameter_is_assumed: Nobody wrote it: the trade's standard stands in.
        unknown: Words that were not understood, as written.
        features: Words that are known and change none of the figures, such as "textured".
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
    def diameter_at_most_mm(self) -> float:
        """Give the shaft's diameter, or the bugpin bound when that is all that is known."""
        return BUGPIN_AT_MOST_MM if self.diameter_mm is None else self.diameter_mm

    @property
    def bundle_mm(self) -> float | None:
        """Give how wide the shafts stand together at most; None without count or grouping.

        Points converge: this bounds the contact from above, it does not foretell the drawn or healed line. A round
        group is taken as packed tightly, a hollow one as a ring, a flat or magnum as all its needles side by side.
        """
        ratio = self._widest_ratio()
        return None if ratio is None else ratio * self.diameter_at_most_mm

    @property
    def bundle_at_least_mm(self) -> float | None:
        """Give how wide the shafts stand together at least; for magnums half of them side by side."""
        if self.count is None or self.grouping is None or self.diameter_mm is None:
            return None
        if self.grouping in (Grouping.MAGNUM, Grouping.STACKED_MAGNUM, Grouping.CURVED_MAGNUM):
            return math.ceil(self.count / 2) * self.diameter_mm
        return self.bundle_mm

    def _widest_ratio(self) -> float | None:
        if self.count is None or self.grouping is None:
            return None
        if self.grouping is Grouping.HOLLOW_LINER:
            return ring_ratio(self.count)
        is_round = self.grouping in (Grouping.ROUND_LINER, Grouping.ROUND_SHADER)
        return packing_ratio(self.count) if is_round else float(self.count)

    def words(self) -> str:
        """Write it for people: "9 round liner, 0.30 mm"; what was not understood as it was written."""
        if self.grouping is None:
            return self.text
        parts = [self._name()]
        if self.diameter_mm is None:
            parts.append(f"bugpin ({BUGPIN_AT_MOST_MM:.2f} mm or thinner)")
        elif self.diameter_is_assumed:
            parts.append(f"{self.diameter_mm:.2f} mm assumed")
        else:
            parts.append(f"{self.diameter_mm:.2f} mm" + (" bugpin" if self.bugpin else ""))
        parts += [self.taper.value] if self.taper else []
        return ", ".join((*parts, *self.features, *self.unknown))

    def _name(self) -> str:
        if self.count == 1 and self.grouping is Grouping.ROUND_LINER:
            return "single needle"
        return " ".join([*([str(self.count)] if self.count else []), *([self.grouping.value] if self.grouping else [])])


# Between needles of a list; a comma inside a decimal is none.
_BETWEEN = re.compile(r"\s*(?:[+;/&\n]|,(?!\d)|(?<!\d),|\band\b|\bplus\b)\s*", re.IGNORECASE)


@lru_cache(maxsize=4096)
def read_needles(text: str) -> tuple[NeedleReading, ...]:
    """Read a needle or a list of needles: "3RL, 9RL + 15CM"."""
    parts = [part for part in _BETWEEN.split(text.strip()) if part.strip()]
    return tuple(read_needle(part) for part in parts)


@lru_cache(maxsize=4096)
def read_needle(text: str) -> NeedleReading:
    """Read one needle's code or words."""
    reader = _Reader()
    for match in TOKENS.finditer(text.strip()):
        reader.take(match)
    return reader.finish(text.strip())


class _Reader:
    def __init__(self) -> None:
        self.diameter_mm: float | None = None
        self.code: int | None = None
        self.count: int | None = None
        self.grouping: Grouping | None = None
        self.taper: Taper | None = None
        self.bugpin = False
        self.features: list[str] = []
        self.unknown: list[str] = []
        self.warnings: list[NeedleWarning] = []
        self.numbers: list[re.Match[str]] = []
        self.explained: set[str] = set()

    def take(self, match: re.Match[str]) -> None:
        """Take one token."""
        kind = match.lastgroup or "other"
        if kind == "letters" or kind.startswith("grouping"):
            self._count_before(match)
        if kind.startswith("grouping"):
            self._set_grouping(GROUPING_WORDS[int(kind[8:])][1], match[0])
        elif kind.startswith("taper"):
            taper = TAPER_WORDS[int(kind[5:])][1] if kind[5:] else TAPER_LETTERS[match[0].lower()]
            self._set("taper", taper, match[0])
        else:
            getattr(self, f"_take_{kind}")(match)

    def _take_letters(self, match: re.Match[str]) -> None:
        self._set_grouping(GROUPING_LETTERS[match["group"].lower()], match[0])
        if match["ground"]:
            self._set("taper", TAPER_LETTERS[match["ground"].lower()], match[0])

    def _take_digits(self, match: re.Match[str]) -> None:
        """Read 1209 and 12-09 as code and count."""
        digits = re.sub(r"\D", "", match[0])
        self._set_code(int(digits[:2]), match[0])
        self._set("count", int(digits[2:]), match[0])

    def _take_three(self, match: re.Match[str]) -> None:
        """Read 803 as 08 and 03; other three digits could be anything."""
        digits = match[0]
        if digits[0] in "68":
            self._set_code(int(digits[0]), digits)
            self._set("count", int(digits[1:]), digits)
            return
        text = f'"{digits}" may be diameter and count, but one digit is missing.'
        self._unread("unclear-digits", text, digits)

    def _take_code(self, match: re.Match[str]) -> None:
        self._set_code(int(re.sub(r"\D", "", match[0])), match[0])

    def _take_mm(self, match: re.Match[str]) -> None:
        self._set_diameter(_decimal(match[0]), match[0])

    def _take_inch(self, match: re.Match[str]) -> None:
        self._set_diameter(_decimal(match[0]) * MM_PER_INCH, match[0])

    def _take_bare(self, match: re.Match[str]) -> None:
        """Read 0.30 as millimetres, and .012 as inches: no shaft is a tenth of a millimetre or thinner."""
        number = _decimal(match[0])
        self._set_diameter(number if number >= THINNEST_MM else number * MM_PER_INCH, match[0])

    def _take_number(self, match: re.Match[str]) -> None:
        self.numbers.append(match)

    def _take_single(self, match: re.Match[str]) -> None:
        self._set("count", 1, match[0])
        self._set_grouping(Grouping.ROUND_LINER, match[0])

    def _take_bugpin(self, _match: re.Match[str]) -> None:
        self.bugpin = True

    def _take_other(self, match: re.Match[str]) -> None:
        word = match[0]
        if word.lower() in FEATURES:
            self.features.append(word.lower())
        elif word.lower() not in FILLERS and any(character.isalnum() for character in word):
            self.unknown.append(word)

    def _count_before(self, grouping: re.Match[str]) -> None:
        """Take the number that stands directly before the grouping for the count."""
        if self.numbers and not grouping.string[self.numbers[-1].end() : grouping.start()].strip(" -"):
            number = self.numbers.pop()[0]
            self._set("count", int(number), number)

    def _set(self, name: str, value: object, written: str) -> None:
        """Set a value once; a second, different one is not understood."""
        if getattr(self, name) in (None, value):
            setattr(self, name, value)
        else:
            self.unknown.append(written)

    def _set_grouping(self, grouping: Grouping, written: str) -> None:
        # "hollow 9RL" is a hollow liner said in two words.
        pair = {self.grouping, grouping}
        if pair == {Grouping.HOLLOW_LINER, Grouping.ROUND_LINER}:
            self.grouping = Grouping.HOLLOW_LINER
        else:
            self._set("grouping", grouping, written)

    def _unread(self, code: str, text: str, written: str) -> None:
        self.warnings.append(NeedleWarning(code, text, is_unread=True))
        self.unknown.append(written)
        self.explained.add(written)

    def _set_code(self, code: int, written: str) -> None:
        if code not in DIAMETERS_MM:
            allowed = ", ".join(f"{known:02}" for known in DIAMETERS_MM)
            text = f'"{code:02}" is no diameter code archgen knows ({allowed}).'
            self._unread("unknown-diameter", text, written)
            return
        self.code = code
        self._set("diameter_mm", DIAMETERS_MM[code], written)

    def _set_diameter(self, millimetres: float, written: str) -> None:
        if THINNEST_MM <= millimetres <= THICKEST_MM:
            self._set("diameter_mm", round(millimetres, 4), written)
        else:
            self.unknown.append(written)

    def finish(self, text: str) -> NeedleReading:
        """Check what was taken and give the reading."""
        if self.count is None and len(self.numbers) == 1:
            self.count = int(self.numbers.pop()[0])
        self.unknown += [number[0] for number in self.numbers]
        if self.count == 0:
            self.count = None
            self.unknown.append("0")
        self._warn()
        is_assumed = self.diameter_mm is None and not self.bugpin
        return NeedleReading(
            text=text,
            diameter_mm=ASSUMED_DIAMETER_MM if is_assumed else self.diameter_mm,
            diameter_is_assumed=is_assumed,
            count=self.count,
            grouping=self.grouping,
            taper=self.taper,
            bugpin=self.bugpin,
            features=tuple(self.features),
            unknown=tuple(self.unknown),
            warnings=tuple(self.warnings),
        )

    def _warn(self) -> None:
        unread = ", ".join(f'"{word}"' for word in self.unknown if word not in self.explained)
        if unread:
            text = f"{unread} was not understood and is kept as written."
            self.warnings.append(NeedleWarning("unknown-word", text, is_unread=True))
        if self.code in DISPUTED_CODES:
            text = f"#{self.code} is read as 0.40 mm; makers disagree about codes 13 and 14."
            self.warnings.append(NeedleWarning("disputed-diameter", text))
        if self.bugpin and self.diameter_mm is not None and self.diameter_mm > BUGPIN_AT_MOST_MM:
            text = f"It says bugpin, but {self.diameter_mm:.2f} mm is thicker than {BUGPIN_AT_MOST_MM:.2f} mm."
            self.warnings.append(NeedleWarning("not-bugpin", text))
        if self.grouping is None and not self.unknown:
            self.warnings.append(NeedleWarning("no-grouping", "It does not say how the needles stand.", is_unread=True))
        if self.count is None and not self.unknown:
            self.warnings.append(
                NeedleWarning("no-count", "It does not say how many needles there are.", is_unread=True)
            )
        if self.count and self.grouping and self.count not in usual_counts(self.grouping):
            text = f"{self.count} is an unusual number for a {self.grouping.value}."
            self.warnings.append(NeedleWarning("unusual-count", text))


def _decimal(text: str) -> float:
    """Take the number out of "0,30 mm"."""
    return float(re.sub(r"[^\d.]", "", text.replace(",", ".")))
