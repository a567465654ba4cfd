"""What one is found by: lines of text under a heading, each with the plain words that lead to it.

Words that nobody would type begin with a character that no word has: a length in mm is ``=58``, both sides of one
thing ``*58*92``, hours ``~6.25``, a day ``:20250222``, a version ``^3``, a place ``@forearm-outer``, a number of a
batch or client ``#gw2-2498``. The script `search.js` of the archive's theme reads what was typed into the same words.
"""

import datetime as dt
import re
from collections.abc import Iterable, Iterator
from enum import Enum
from functools import lru_cache

from archgen.languages.house import to_say
from archgen.plain_text import words_of
from archgen.searching.needles import needles_in
from archgen.values.frozen import Value

_FIGURE = r"(?<![\d.,])(\d{1,3}(?:[.,]\d)?)"
_SIZE = re.compile(rf"{_FIGURE}\s?(mm|cm)?\s*(?:x|×|by)\s*(\d{{1,3}}(?:[.,]\d)?)\s?(mm|cm)\b")
_LENGTH = re.compile(rf"{_FIGURE}\s?(mm|cm)\b")


class SearchField(Enum):
    """What a line says: a letter for the index, its heading, how much it counts, whether a stencil has it of its piece.

    How much each counts: the trade's names of a piece before what was noted beside it; common practice, no source.
    """

    TITLE = ("t", to_say("Title"), 30, True)
    SUBJECT = ("s", to_say("Subject"), 16, True)
    PLACE = ("p", to_say("Placement"), 14, True)
    STYLE = ("y", to_say("Style"), 12, True)
    NUMBER = ("#", to_say("Number"), 12, False)
    CLIENT = ("c", to_say("Client"), 11, True)
    SIZE = ("z", to_say("Size"), 10, False)
    DAY = ("d", to_say("Finished"), 9, True)
    NAME = ("n", to_say("Name"), 13, False)
    VERSION = ("v", to_say("Version"), 8, False)
    NEEDLE = ("l", to_say("Needle"), 7, False)
    INK = ("i", to_say("Ink"), 7, False)
    STATE = ("x", to_say("State"), 5, False)
    TIME = ("h", to_say("Time"), 5, False)
    STENCIL = ("e", to_say("Stencil"), 4, False)
    VISIT = ("g", to_say("Sitting"), 3, False)
    REFERENCE = ("r", to_say("Reference"), 3, False)
    PHOTO = ("f", to_say("Photo"), 3, False)
    NOTE = ("o", to_say("Note"), 2, False)

    def __init__(self, letter: str, heading: str, weight: int, is_inherited: bool) -> None:
        self.letter = letter
        self.heading = heading
        self.weight = weight
        self.is_inherited = is_inherited


class SearchLine(Value, frozen=True):
    """One line.

    Attributes:
        text: As it is shown.
        also: Words that lead to it beside those of the text.
        heading: What it is shown under; empty for the heading of its field.
    """

    field: SearchField
    text: str
    also: tuple[str, ...] = ()
    heading: str = ""

    @property
    def words(self) -> frozenset[str]:
        """Give all words that lead to it."""
        return _words_in(self.text).union(self.also)


@lru_cache(maxsize=1 << 14)  # the same states, needles and inks come again and again
def _words_in(text: str) -> frozenset[str]:
    """Give the words of a text; lengths, sizes and needles that somebody wrote are that, too."""
    lengths = (length_word(_millimetres(*found)) for found in _LENGTH.findall(text))
    sizes = (
        word
        for wide, unit, high, other in _SIZE.findall(text)
        for word in size_words(_millimetres(wide, unit or other), _millimetres(high, other))
    )
    return frozenset(words_of(text).split()).union(lengths, sizes, needles_in(text))


def _millimetres(number: str, unit: str) -> float:
    return float(number.replace(",", ".")) * (10 if unit == "cm" else 1)


def make_lines(field: SearchField, texts: Iterable[str | None], heading: str = "") -> Iterator[SearchLine]:
    """Make a line of each paragraph of the texts that there are."""
    paragraphs = (one for text in texts if text for one in re.split(r"\n\s*\n", text))
    return (SearchLine(field, " ".join(one.split()), heading=heading) for one in paragraphs if one.strip())


def length_word(millimetres: float) -> str:
    """Write a length to a tenth of a millimetre as a word."""
    return f"={round(millimetres, 1):g}"


def size_words(width: float | None, height: float | None) -> tuple[str, ...]:
    """Write the sides in mm that are known as words, and both of them as one."""
    sides = tuple(length_word(side) for side in (width, height) if side)
    return (*sides, "".join(sides).replace("=", "*")) if len(sides) == 2 else sides


def hours_word(hours: float) -> str:
    """Write a working time as a word."""
    return f"~{round(hours, 2):g}"


def day_word(day: dt.date) -> str:
    """Write a day as a word; words sort as their days do."""
    return f":{day:%Y%m%d}"
