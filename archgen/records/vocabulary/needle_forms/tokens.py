"""Take the tokens of one needle's code or words apart: diameters, counts, groupings, tapers, and what is left.

Nothing is decided here: what was said twice or in doubt is all kept, and whoever reads it looks at the whole.
"""

import re
from dataclasses import dataclass, field

from archgen.languages.house import say
from archgen.records.vocabulary.needle_forms.reading import NeedleWarning
from archgen.records.vocabulary.needle_forms.words import (
    BARE_DIAMETERS_MM,
    DENIALS,
    DIAMETERS_MM,
    DOUBTS,
    FEATURES,
    FILLERS,
    GROUPING_LETTERS,
    GROUPING_WORDS,
    MAG_DIGITS,
    MOST_USED,
    NUMBER_WORDS,
    OPEN_LETTERS,
    TAPER_LETTERS,
    TAPER_WORDS,
    THICKEST_MM,
    THINNEST_MM,
    TOKENS,
    Taper,
)
from archgen.units import MM_PER_INCH


@dataclass
class NeedleTokens:
    """What one text says, token by token; each value with how it was written."""

    diameters: dict[float, str] = field(default_factory=dict)
    code: int | None = None
    counts: dict[int, str] = field(default_factory=dict)
    numbers: list[re.Match[str]] = field(default_factory=list)
    groups: list[re.Match[str]] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    is_coded: bool = False
    tapers: dict[Taper, str] = field(default_factory=dict)
    bugpin: bool = False
    singles: list[re.Match[str]] = field(default_factory=list)
    features: list[str] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)
    warnings: list[NeedleWarning] = field(default_factory=list)
    explained: set[str] = field(default_factory=set)
    beside: list[re.Match[str]] = field(default_factory=list)
    is_denied: bool = False

    @classmethod
    def of(cls, text: str) -> "NeedleTokens":
        """Take a text apart."""
        tokens = cls()
        for match in TOKENS.finditer(text):
            tokens.take(match)
        return tokens

    def take(self, match: re.Match[str]) -> None:
        """Take one token."""
        kind = str(match.lastgroup)
        if kind.startswith("grouping"):
            self.groups.append(match)
            word = GROUPING_WORDS[int(kind[8:])][1]
            is_hollow_liner = word == "hollow" and "liner" in match[0].lower()
            self.said += [word, "liner"] if is_hollow_liner else [word]
        elif kind.startswith("taper"):
            taper = TAPER_WORDS[int(kind[5:])][1] if kind[5:] else TAPER_LETTERS[match[0].lower()]
            self.tapers.setdefault(taper, match[0])
            self.beside.append(match)
        else:
            getattr(self, f"_take_{kind}")(match)

    def _take_letters(self, match: re.Match[str]) -> None:
        self.groups.append(match)
        self.said += GROUPING_LETTERS[match["group"].lower()]
        self.is_coded |= match["group"].lower() not in OPEN_LETTERS
        self.bugpin |= bool(match["bp"])
        if match["ground"]:
            self.tapers.setdefault(TAPER_LETTERS[match["ground"].lower()], match["ground"])

    def _take_digits(self, match: re.Match[str]) -> None:
        """Read 1209 and 12-09 as code and count."""
        digits = re.sub(r"\D", "", match[0])
        if self._knows_code(int(digits[:2]), match[0]):
            self.counts.setdefault(int(digits[2:]), match[0])

    def _take_three(self, match: re.Match[str]) -> None:
        """Read 803 as 08 and 03; other three digits could be anything."""
        digits = match[0]
        if digits[0] in "68":
            self._knows_code(int(digits[0]), digits)
            self.counts.setdefault(int(digits[1:]), digits)
            return
        self.set_unread(
            "unclear-digits",
            say('"{digits}" may be diameter and count, but one digit is missing.', digits=digits),
            digits,
        )

    def _take_mags(self, match: re.Match[str]) -> None:
        """Read M1015 and M115; M15 can be fifteen of a magnum or five of an M1."""
        digits = match[0][1:]
        self.groups.append(match)
        self.said.append("mag")
        read = MAG_DIGITS.fullmatch(digits)
        if read is None:
            text = say('"{written}" may be M and its count, or M1 or M2 and its count.', written=match[0])
            self.set_unread("unclear-digits", text, match[0])
            return
        self.said += GROUPING_LETTERS[f"m{read['make']}"]
        if not read["code"] or self._knows_code(int(read["code"]), digits):
            self.counts.setdefault(int(read["count"]), digits)

    def _take_code(self, match: re.Match[str]) -> None:
        if self._knows_code(int(re.sub(r"\D", "", match[0])), match[0]):
            self.beside.append(match)

    def _take_mm(self, match: re.Match[str]) -> None:
        self._set_measured(_decimal(match[0]), match)

    def _take_inch(self, match: re.Match[str]) -> None:
        self._set_measured(_decimal(match[0]) * MM_PER_INCH, match)

    def _take_bare(self, match: re.Match[str]) -> None:
        """Read 0.30 as millimetres, and .012 as inches: in millimetres no shaft is so thin."""
        number = _decimal(match[0])
        if number < min(BARE_DIAMETERS_MM):
            self._take_inch(match)
        else:
            self._set_diameter(number, match, is_believable=number in BARE_DIAMETERS_MM)

    def _take_number(self, match: re.Match[str]) -> None:
        self.numbers.append(match)

    def _take_used(self, match: re.Match[str]) -> None:
        """Read x2: so many of this needle were used."""
        number = int(re.sub(r"\D", "", match[0]))
        if 1 <= number <= MOST_USED:
            self.features += [f"× {number}"] if number > 1 else []
        else:
            self.unknown.append(match[0].strip())

    _take_used_before = _take_used

    def _take_by(self, match: re.Match[str]) -> None:
        """Pass over the x of 0.35 x 7RL; without a diameter before it it means nothing."""
        if not self.diameters:
            self.unknown.append(match[0])

    def _take_single(self, match: re.Match[str]) -> None:
        self.singles.append(match)
        self.counts.setdefault(1, match[0])

    _take_singly = _take_single

    def _take_length(self, match: re.Match[str]) -> None:
        """Keep a bare "long": of what it does not say, so that no taper is claimed beside it."""
        self.unknown.append(match[0])
        self.tapers |= {Taper.SHORT: match[0], Taper.LONG: match[0]}

    def _take_bugpin(self, match: re.Match[str]) -> None:
        self.bugpin = True
        self.beside.append(match)

    def _take_other(self, match: re.Match[str]) -> None:
        word = match[0]
        plain = word.lower()
        if plain in FEATURES:
            self.features.append(plain)
        elif plain in DENIALS:
            self.is_denied = True
            self.unknown.append(word)
        elif word in DOUBTS or (plain not in FILLERS and plain not in "øº°" and word[0].isalnum()):
            self.unknown.append(word)

    _take_sem = _take_other

    def set_unread(self, code: str, text: str, written: str) -> None:
        """Keep something as not understood, with the reason."""
        self.warnings.append(NeedleWarning(code, text, is_unread=True))
        self.unknown.append(written)
        self.explained.add(written)

    def _knows_code(self, code: int, written: str) -> bool:
        if code not in DIAMETERS_MM:
            allowed = ", ".join(f"{known:02}" for known in DIAMETERS_MM)
            text = say("'{code:02}' isn't a diameter code I know ({allowed}).", code=code, allowed=allowed)
            self.set_unread("unknown-diameter", text, written)
            return False
        self.code = code
        self.diameters.setdefault(DIAMETERS_MM[code], written)
        return True

    def _set_measured(self, millimetres: float, match: re.Match[str]) -> None:
        self._set_diameter(millimetres, match, is_believable=THINNEST_MM <= millimetres <= THICKEST_MM)

    def _set_diameter(self, millimetres: float, match: re.Match[str], *, is_believable: bool) -> None:
        if is_believable:
            self.diameters.setdefault(round(millimetres, 4), match[0])
            self.beside.append(match)
        else:
            self.unknown.append(match[0])


def _decimal(text: str) -> float:
    """Take the number out of "0,30 mm"."""
    return float(re.sub(r"[^\d.]", "", text.replace(",", ".")))


def number_of(match: re.Match[str]) -> int:
    """Take the number out of "9", "9er" and "nine"."""
    digits = re.sub(r"\D", "", match[0])
    return int(digits) if digits else NUMBER_WORDS[match[0].lower()]
