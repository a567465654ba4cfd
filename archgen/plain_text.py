"""Bring text to one plain form, so that case, accents, characters and hidden letters do not part what is the same."""

import re
import unicodedata
from functools import lru_cache

_HIDDEN = re.compile("[\u0300-\u036f\u00ad\u200b-\u200f\u2060\ufeff]")
# Letters that no accent falls off, as they are written where a keyboard lacks them.
_FOLDED = str.maketrans({
    "ø": "o", "æ": "ae", "œ": "oe", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ħ": "h", "ı": "i", "ŋ": "n", "ŧ": "t",
})  # fmt: skip
_WORD = re.compile(r"[^\W_]+")


def words_of(text: str) -> str:
    """Give the words of a text in small letters without accents, one space before, between and after them."""
    return _words_of_short(text) if len(text) <= _SHORT else _words_of(text)


def _words_of(text: str) -> str:
    plain = text.casefold() if text.isascii() else without_accents(text)
    return f" {' '.join(_WORD.findall(plain))} "


# What one step asks about a name or a note the next asks again; pages and stories are not kept.
_SHORT = 200
_words_of_short = lru_cache(maxsize=1024)(_words_of)


def without_accents(text: str) -> str:
    """Give a text in small letters without accents and hidden letters; letters such as ø become plain ones."""
    return _HIDDEN.sub("", unicodedata.normalize("NFKD", text)).casefold().translate(_FOLDED)


def cut_at_word(text: str, most: int) -> str:
    """Give a text as far as the last word that ends within `most` signs, and an ellipsis where more follows."""
    return text if len(text) <= most else f"{text[:most].rpartition(' ')[0] or text[: most - 1]}…"
