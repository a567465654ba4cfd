"""Sentences that name somebody go out of a text; the rest stands as it stood."""

import pytest

from archgen.holdings.mentions import naming_sentences, without_sentences
from archgen.leaks.search import LeakSearch
from archgen.leaks.values.exact import PrivateValue

SEARCH = LeakSearch([PrivateValue("client's name", "Ida Vesterholt")])


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("Sat still. Came with Ida Vesterholt. Ate a bun.", "Sat still. Ate a bun."),
        ("- wings first\n- like Ida Vesterholt's\n- thin\n", "- wings first\n- thin\n"),
        ("-\n\nIda Vesterholt was here\n*\n", "-\n\n*\n"),
        ("Ida Vesterholt came; all went well.\n", "all went well.\n"),
        ("Only Ida Vesterholt", ""),
        ("Nobody is named.\n", "Nobody is named.\n"),
    ],
)
def test_a_sentence_goes_and_nothing_else(text, left):
    assert without_sentences(text, naming_sentences(text, SEARCH)) == left
