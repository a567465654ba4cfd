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
BEYOND_ASCII = re.compile("[^\x00-\x7f]+")


def words_of(text: str) -> str:
    """Give the words of a text in small letters without accents, one space before, between and after them."""
    return _words_of_short(text) if len(text) <= _SHORT else _words_of(text)


def _words_of(text: str) -> str:
    return f" {' '.join(_WORD.findall(without_accents(text)))} "


# What one step asks about a name or a note the next asks again; pages and stories are not kept.
_SHORT = 200
_words_of_short = lru_cache(maxsize=1024)(_words_of)


def without_accents(text: str) -> str:
    """Give a text in small letters without accents and hidden letters; letters such as ø become plain ones.

    No step looks beyond a run of letters outside ASCII: what is put together or in order again lies within one. So
    only these are looked up, which in the pages of most languages are few.
    """
    if text.isascii():
        return text.lower()
    small = text.encode("utf-8", "surrogatepass").lower().decode("utf-8", "surrogatepass")
    return BEYOND_ASCII.sub(_run_without_accents, small)


def _run_without_accents(run: re.Match[str]) -> str:
    return _plain_run(run[0]) if len(run[0]) <= _SHORT_RUN else _fold(run[0])


def _fold(text: str) -> str:
    return _HIDDEN.sub("", unicodedata.normalize("NFKD", text)).casefold().translate(_FOLDED)


_SHORT_RUN = 8
_plain_run = lru_cache(maxsize=4096)(_fold)


def cut_at_word(text: str, most: int) -> str:
    """Give a text as far as the last word that ends within `most` signs, and an ellipsis where more follows."""
    return text if len(text) <= most else f"{text[:most].rpartition(' ')[0] or text[: most - 1]}…"
