"""One plain form of text: folded as Unicode says, however the text is taken apart for speed."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archgen import plain_text
from archgen.leaks.search import _run_together
from archgen.plain_text import without_accents, words_of

# All but most of those Han characters and Hangul syllables that are like their neighbours, and of what nobody assigned.
CODES = (*range(0x3400), *range(0xA000, 0xAC80), *range(0xD780, 0x20000), *range(0x20000, 0x110000, 97))


def at_once(text):
    """Fold the whole text by the steps of the Unicode Standard (chapter 3.11 and 3.13), then our own letters."""
    decomposed = "".join(sign for sign in unicodedata.normalize("NFKD", text) if not plain_text._HIDDEN.match(sign))
    return decomposed.casefold().translate(plain_text._FOLDED)


@pytest.mark.parametrize("around", ["A{}b", "\u1112\u1161{}\u0301\u0323Z"])
def test_every_sign_is_folded_as_in_the_whole_text(around):
    texts = (around.format(chr(code)) for code in CODES)
    assert [ascii(text) for text in texts if without_accents(text) != at_once(text)] == []


@given(st.text() | st.text(alphabet="aB e\u0301\u0323\u0327éßİΣςø\u1100\u1161\u11a8한\u200b\ufb01_-", max_size=40))
def test_texts_of_all_kinds_are_folded_as_a_whole(text):
    assert without_accents(text) == at_once(text)
    assert words_of(text).split() == words_of(at_once(text)).split()
    assert _run_together(without_accents(text)) == "".join(words_of(text).split()).encode()


def test_long_runs_are_folded_too():
    text = "ÅÄÖ" * 100 + "Plain" + "한국어" * 50
    assert without_accents(text) == at_once(text)
