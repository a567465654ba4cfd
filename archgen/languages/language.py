"""Say the program's own words in a visitor's language, and dates, lengths, times and currencies as people write them.

Words come from the catalogue of the language (`words/*.po`), all else from the Unicode CLDR (`cldr.json`, taken by
`release/take_cldr.py`). English words stand in the program itself. Knows languages, not pieces.
"""

import datetime as dt
import hashlib
import json
import re
from collections.abc import Mapping, Sequence
from functools import cache, cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from archgen.languages.po_file import WordCatalogue

_ROOM = Path(__file__).parent
# What the words in the program's own texts are written in.
SOURCE = "en"
# The CLDR's English writes "3 hr", which nobody in a studio does.
_OWN_TIMES = {"h": "{} h", "min": "{} min"}
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
# Where people measure in inches, and everywhere else in centimetres (CLDR, unit preferences, length).
_INCHES = frozenset({"US"})
# An inch is exact since the international agreement of 1959.
MM_PER = {"mm": 1.0, "cm": 10.0, "in": 25.4}


class _Untranslated:
    """The program's own English words."""

    messages: frozenset[str] = frozenset()

    @staticmethod
    def gettext(message: str) -> str:
        return message

    @staticmethod
    def pgettext(_context: str, message: str) -> str:
        return message

    @staticmethod
    def ngettext(one: str, many: str, number: int) -> str:
        return one if number == 1 else many

    @staticmethod
    def holds(_context: str, _message: str) -> bool:
        return False


class Language:
    """One language, by its tag (BCP 47)."""

    def __init__(self, tag: str) -> None:
        self.tag = tag
        self._base = tag.partition("-")[0].lower()
        self.is_english = self._base == SOURCE

    def __repr__(self) -> str:
        return f"Language({self.tag!r})"

    @property
    def is_spoken(self) -> bool:
        """Say whether the program has words in it."""
        return self.is_english or self._base in spoken()

    @cached_property
    def _words(self) -> "WordCatalogue | _Untranslated":
        file = None if self.is_english else spoken().get(self._base)
        if file is None:
            return _Untranslated()
        from archgen.languages.po_file import read_po  # noqa: PLC0415  English has no need of it

        return read_po(file.read_text(encoding="utf-8"))

    @cached_property
    def digest(self) -> str:
        """Give a digest of its words; empty for those in the program itself."""
        file = None if self.is_english else spoken().get(self._base)
        return hashlib.sha256(file.read_bytes()).hexdigest() if file else ""

    @property
    def state(self) -> str:
        """Give what tells apart all that is said in it from what is said in another, or with other words."""
        return f"{self.tag} {self.digest}"

    @property
    def _facts(self) -> Mapping[str, Any]:
        """Give what the CLDR says; of English where the program has no words either, to stay in one language."""
        languages: Mapping[str, Mapping[str, Any]] = _cldr()["languages"]
        return languages.get(self._base) or languages[SOURCE]

    @property
    def is_source(self) -> bool:
        """Say whether the program's own English words are said."""
        return self.is_english or self._base not in _cldr()["languages"]

    @property
    def is_rtl(self) -> bool:
        """Say whether it is written from right to left."""
        return self._base in _cldr()["rtl"]

    @property
    def name(self) -> str:
        """Give its name in the language itself, with a large letter as in a list; the tag where it is not known."""
        names = _cldr()["names"]
        name = str(names.get(self.tag.replace("-", "_")) or names.get(self._base) or self.tag)
        return name[:1].upper() + name[1:]

    @cached_property
    def said(self) -> frozenset[str]:
        """Give all messages that there is a translation of, as they stand in English."""
        return self._words.messages

    def gettext(self, message: str) -> str:
        """Say a message; in English where there is no translation."""
        return self._words.gettext(message)

    def pgettext(self, context: str, message: str) -> str:
        """Say a word that has another translation elsewhere."""
        return self._words.pgettext(context, message)

    def counted(self, one: str, many: str, number: int, **values: str) -> str:
        """Say a message about a number, in the form that this number takes; it stands in it as ``%(number)s``."""
        return self.counted_form(one, many, number) % {"number": self.number(number), **values}

    def counted_form(self, one: str, many: str, number: int) -> str:
        """Give the form of a message that a number takes."""
        return self._words.ngettext(one, many, number)

    def has(self, context: str, message: str) -> bool:
        """Say whether there is a translation of a word; the source has its own."""
        return self.is_source or self._words.holds(context, message)

    def number(self, number: int) -> str:
        """Write a whole number: in English as a word up to twelve, elsewhere in figures, which have no gender."""
        return _NUMBERS[number] if self.is_source and 0 <= number < len(_NUMBERS) else str(number)

    def month(self, year: int, month: int) -> str:
        """Write a month of a year."""
        return str(self._facts["months"][month - 1]).format(year)

    def short_month(self, year: int, month: int) -> str:
        """Write a month of a year in as few letters as are usual: "Mar 2026"."""
        return self.short_months[month - 1].format(year)

    @property
    def short_months(self) -> Sequence[str]:
        """Give how the months are written so, with the place of the year as ``{}``."""
        months: Sequence[str] = self._facts["short_months"]
        return months

    def date(self, day: dt.date) -> str:
        """Write a day: "14 Mar 2026"."""
        if self.is_source:  # the CLDR's English is that of the United States
            return f"{day.day} {self.short_month(day.year, day.month)}"
        return str(self._facts["dates"][day.month - 1]).format(day=day.day, year=day.year)

    def find_month(self, text: str | None) -> tuple[int, int] | None:
        """Read what `month` writes: the year and the month; None for anything else."""
        written = (text or "").strip()
        for number, pattern in enumerate(self._facts["months"], 1):
            if found := re.fullmatch(re.escape(pattern).replace(r"\{\}", r"(\d{4})"), written, re.IGNORECASE):
                return int(found[1]), number
        return None

    def currency(self, code: str) -> str:
        """Name the currency of an ISO 4217 code as prices are in it; English, and what isn't a code, stay."""
        return code if self.is_source else str(self._facts["currencies"].get(code, code))

    def amount(self, amount: float, currency: str | None) -> str:
        """Write what something costs, with the code of its currency behind it; cents only where there are any."""
        figures = self.figures(f"{amount:.2f}".removesuffix(".00"))
        return f"{figures}\u00a0{currency}" if currency else figures

    def figures(self, written: str) -> str:
        """Write a number with the marks of the language that is written with those of English, "1,234.5" or "5%"."""
        if self.is_source:
            return written
        marks = {".": self._facts["decimal"], ",": self._facts["group"], "%": self._facts["percent"]}
        return written.translate(str.maketrans(marks))

    def within(self, words: str) -> str:
        """Write words that begin with a large letter as they stand within a sentence; in German nouns keep theirs."""
        return words if self._base == "de" else words.lower()

    def hours(self, hours: float) -> str:
        """Write hours and minutes: "3 h 30 min"."""
        whole, rest = divmod(round(hours * 60), 60)
        times = _OWN_TIMES if self.is_source else self._facts["times"]
        parts = [times["h"].format(whole)] if whole else []
        if rest or not whole:
            parts.append(times["min"].format(rest))
        return " ".join(parts)

    def unit(self, units: str) -> str:
        """Choose the unit lengths are said in: centimetres or inches as in its region, else the archive's own.

        English alone says nothing of a region; it is read in both.
        """
        region = next((part.upper() for part in self.tag.split("-")[1:] if re.fullmatch("[A-Za-z]{2}", part)), None)
        if region is None and self.is_source:
            return units
        return "in" if region in _INCHES else "cm"

    def length(self, millimetres: float, units: str) -> str:
        """Write a length, in mm, cm or in: millimetres to a tenth, inches to a hundredth, without zeros at the end."""
        return str(self._facts["units"][units]).format(self._side(millimetres, units))

    def size(self, width_mm: float | None, height_mm: float | None, units: str) -> str | None:
        """Write how large something is; `units` is mm, cm or in; None when neither side is recorded."""
        sides = [self._side(side, units) for side in (width_mm, height_mm) if side is not None]
        if not sides:
            return None
        text = str(self._facts["units"][units]).format(" × ".join(sides))
        if width_mm is None:
            return self.gettext("%(length)s high") % {"length": text}
        return text if height_mm is not None else self.gettext("%(length)s wide") % {"length": text}

    def _side(self, millimetres: float, units: str) -> str:
        return self.figures(f"{millimetres / MM_PER[units]:.{2 if units == 'in' else 1}f}".rstrip("0").rstrip("."))


@cache
def language(tag: str) -> Language:
    """Give a language; its words are read once."""
    return Language(tag)


@cache
def spoken() -> Mapping[str, Path]:
    """Give the catalogue of each language the program has words in, beside English."""
    return {path.stem: path for path in sorted((_ROOM / "words").glob("*.po"))}


def untranslated(tag: str) -> tuple[str, ...]:
    """List what the program says in English where it speaks a language, by what it has in any other."""
    own = language(tag)
    others = (language(other) for other in spoken())
    words = {said for other in others for said in other.said}
    return tuple(sorted(words - own.said)) if not own.is_english else ()


@cache
def _cldr() -> Mapping[str, Any]:
    facts: Mapping[str, Any] = json.loads((_ROOM / "cldr.json").read_text(encoding="utf-8"))
    return facts
