"""Bring text to one plain form, so that case, accents, characters and hidden letters do not part what is the same."""

import re
import unicodedata

_HIDDEN = re.compile("[\u0300-\u036f\u00ad\u200b-\u200f\u2060\ufeff]")
_WORD = re.compile(r"[^\W_]+")


def words_of(text: str) -> str:
    """Give the words of a text in small letters without accents, one space before, between and after them."""
    plain = text if text.isascii() else _HIDDEN.sub("", unicodedata.normalize("NFKD", text))
    return f" {' '.join(_WORD.findall(plain.casefold()))} "
