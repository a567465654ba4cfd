"""One private value to look for, and how surely a text that is met as it stands is that text."""

import re
from collections.abc import Iterator

import msgspec

from archgen.leaks.values.ordinary_words import ORDINARY
from archgen.leaks.values.public_words import PublicWords, Standing
from archgen.leaks.values.spellings import Way
from archgen.plain_text import words_of

SENTENCE_SIGNS, SENTENCE_WORDS = 20, 4
_YEAR = re.compile(r"(?:19|20)\d\d")


class PrivateValue(msgspec.Struct, frozen=True):
    """One value to look for.

    Attributes:
        what: What it is, in plain words.
        sure: Whether finding it is a certainty; else it may be words that anybody uses.
        way: How it is compared.
    """

    what: str
    value: str
    piece: str | None = None
    sure: bool = True
    way: Way = Way.WORDS


def exact(what: str, text: str, public: PublicWords, *, is_distinct: bool = False) -> Iterator[PrivateValue]:
    """Look for a text as it stands, as surely as its words allow; nobody writes what is distinct by chance."""
    plain = words_of(text).strip()
    digits = plain.replace(" ", "")
    if digits.isdigit() and (len(digits) < 4 or _YEAR.fullmatch(plain)):
        return
    if plain in ORDINARY:
        return
    standing = public.standing(text)
    is_long = len(plain.split()) >= SENTENCE_WORDS and len(plain) >= SENTENCE_SIGNS
    # A number, or a whole sentence of a private note, that stands in a story slipped into it.
    has_slipped = standing is Standing.RUNNING and (is_distinct or is_long or is_mixed(text))
    is_small_number = digits.isdigit() and len(digits) < 5
    yield PrivateValue(what, text.strip(), sure=(standing is Standing.NOWHERE or has_slipped) and not is_small_number)


def is_mixed(text: str) -> bool:
    """Say whether letters and digits stand in one word, as in kiki7."""
    return bool(re.search(r"(?=[^\W_]*\d)(?=[^\W_]*[^\W\d_])[^\W_]{3,}", text))
