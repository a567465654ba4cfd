"""The ways one private value may be written, each with how strictly it is to be compared; knows no files.

A spelling is compared by its words run together: case, accents, and what stands between words do not count. What counts
is where words begin and end: "see scar" is not in "sees car". Telephone numbers are compared as `archgen.leaks.numbers`
says, names of files as `archgen.leaks.values.names` says.
"""

import re
import unicodedata
from enum import Enum
from itertools import accumulate

from archgen.plain_text import words_of
from archgen.values.frozen import Value


class Way(Enum):
    """How a value is compared with a text."""

    WORDS = "its words in their order"
    NUMBER = "as a telephone number"
    NAME = "as the name of a file or folder"
    FULL_NAME = "as the name of a file with its ending"
    PRICE = "as an amount beside a currency"
    CODE = "as a short code that stands by itself in a text"


# Letters of scripts that put no space between words (CJK, kana, Thai, Lao, Myanmar, Khmer): a value of theirs may begin
# and end anywhere.
_UNSPACED = re.compile(
    "[\u0e00-\u0eff\u1000-\u109f\u1780-\u17ff\u2e80-\u9fff\uac00-\ud7af\uf900-\ufaff\U00020000-\U0003ffff]"
)
# Bits that chance must guess right, measured on random bytes: a letter counts for both its cases, each end of a value
# must be no letter, each gap at least one character.
_LETTER_BITS, _DIGIT_BITS, _END_BITS, _GAP_BITS = 7.0, 8.0, 1.96, 1.53


class Spelling(Value, frozen=True):
    """The plain words of one spelling.

    Attributes:
        joined: The words run together.
        gaps: Where, in `joined`, one word ends and the next begins.
    """

    joined: str
    gaps: frozenset[int]

    @property
    def is_number(self) -> bool:
        """Say whether there is nothing but digits in it."""
        return self.joined.isdigit()

    @property
    def is_code(self) -> bool:
        """Say whether it mixes letters and digits, as numbers on labels do."""
        return not self.is_number and any(letter.isdigit() for letter in self.joined)

    @property
    def bits(self) -> float:
        """Give how unlikely it is to turn up by chance, as the number of bits that must be right."""
        letters = sum(_DIGIT_BITS if letter.isdigit() else _LETTER_BITS for letter in self.joined)
        return letters + 2 * _END_BITS + _GAP_BITS * len(self.gaps)


def spelled(text: str) -> Spelling | None:
    """Bring a text to its plain words; None when it has none."""
    words = words_of(text).split()
    if not words:
        return None
    ends = list(accumulate(map(len, words)))
    return Spelling("".join(words), frozenset(ends[:-1]))


# Shorter codes are what colours, classes and escapes of every page are made of.
SHORTEST_ANYWHERE = 4
_BETWEEN = r"[\s\-\u2010-\u2015_./]?"
# Signs that make a run of letters a part of an address, a colour, a class, an escape or an encoded file.
_TEXT_EDGES = r"(?<![\w%#&/+=.\-])(?:{})(?![\w%/+=]|[-.]\w)"
_PATH_EDGES = r"(?<![^\W_])(?:{})(?![^\W_])"


def is_short_code(code: str) -> bool:
    """Say whether a code is too short to be looked for in bytes, or in any spelling."""
    plain = spelled(code)
    return plain is not None and len(plain.joined) < SHORTEST_ANYWHERE


def stands_as_code(text: str, code: str, *, is_path: bool) -> bool:
    """Say whether a short code stands by itself in a text: as written in any letters, or parted otherwise."""
    parts = re.findall(r"[^\W\d_]+|\d+", code)
    written = _BETWEEN.join(map(re.escape, parts))
    if code.strip() != "".join(parts):
        written += f"|(?i:{re.escape(code.strip())})"
    return re.search((_PATH_EDGES if is_path else _TEXT_EDGES).format(written), text) is not None


def raw_spellings(text: str) -> set[str]:
    """Give the ways a text may stand in undecoded bytes: accents count there, and large letters beside ASCII."""
    composed = unicodedata.normalize("NFC", text)
    return {composed, composed.lower(), composed.upper(), composed.title(), "".join(words_of(text).split())}


class Running:
    """A text to be searched, as its plain words run together, and where each of them begins and ends."""

    def __init__(self, text: str) -> None:
        words = words_of(text).split()
        self.text = text
        self.joined = "".join(words)
        self._edges = {0, *accumulate(map(len, words))}

    def holds(self, spelling: Spelling) -> bool:
        """Say whether the words of a spelling stand here."""
        begin = self.joined.find(spelling.joined)
        while begin >= 0:
            if self._is_whole(spelling, begin):
                return True
            begin = self.joined.find(spelling.joined, begin + 1)
        return False

    def _is_whole(self, spelling: Spelling, begin: int) -> bool:
        """Say whether a place begins and ends like words, and is parted no more than the spelling allows."""
        text = spelling.joined
        end = begin + len(text)
        is_unspaced = bool(_UNSPACED.match(text))
        if (begin not in self._edges and not is_unspaced) or (end not in self._edges and not _UNSPACED.match(text[-1])):
            return False
        inner = {at - begin for at in range(begin + 1, end) if at in self._edges}
        if spelling.is_number:
            return inner == spelling.gaps
        if is_unspaced or len(inner) == len(text) - 1:  # the latter: l e t t e r s spread out
            return True
        return inner <= (spelling.gaps | _changes(text) if spelling.is_code else spelling.gaps)


def _changes(text: str) -> frozenset[int]:
    """Give where letters and digits meet."""
    return frozenset(at for at in range(1, len(text)) if text[at].isdigit() != text[at - 1].isdigit())
