"""Needles and sizes as they are spoken of, asked of a few lines."""

import datetime as dt

import pytest

from archgen.records.vocabulary.needles import read_needles
from archgen.render.html import PROGRAM_THEMES
from archgen.searching.engine import Searcher
from archgen.searching.index import AnswerKind, Findable, index_value, said_in
from archgen.searching.lines import SearchField, SearchLine, size_words
from archgen.searching.needles import needle_phrases, needle_words, needles_in, spoken_groups

SCRIPT = (PROGRAM_THEMES / "archive" / "search.js").read_text("utf-8")


@pytest.fixture
def ask():
    """Ask pieces that are each found by one line; their numbers, the best first."""

    def asked(question, *lines):
        answers = [(Findable(AnswerKind.PIECE, str(n), "", ""), said_in([line])) for n, line in enumerate(lines)]
        searcher = Searcher(SCRIPT, index_value(answers), needle_phrases(), lambda _: [])
        return [one.number for one in searcher.ask(question, dt.date(2026, 11, 30), 10).answers]

    return asked


def needle(code):
    return SearchLine(SearchField.NEEDLE, code, tuple(word for one in read_needles(code) for word in needle_words(one)))


def note(text):
    return SearchLine(SearchField.NOTE, text)


def size(width, height=None):
    return SearchLine(SearchField.SIZE, "", size_words(width, height))


@pytest.mark.parametrize("typed", ["5 round liner", "05 Round  Liners", "5 RL", "5rl", "5 liner"])
def test_a_count_and_a_kind_are_one_needle(ask, typed):
    assert ask(typed, needle("14RL"), needle("5RL"), needle("5RS"), needle("5 round liners")) == [1, 3]


def test_bugpins_are_told_apart(ask):
    lines = (needle("9RL"), needle("9RL bugpin"), needle("9RL, 7RL bugpin"))
    for typed in ("9 bugpin round liner", "9 round liner bugpin", "9 RL bugpin", "9 bugpin rl"):
        assert ask(typed, *lines) == [1]


def test_a_kind_is_no_half_of_a_number_that_something_has(ask):
    batch = SearchLine(SearchField.NUMBER, "7", ("#7",))
    assert ask("7 round liner", batch, needle("7RL")) == [1]


def test_what_was_noted_of_a_needle_is_found(ask):
    lines = (
        note("Went to 5 round liners, then 3 RL."),
        note("15 round liners"),
        note("1.5 round liners"),
        note("5 rlx"),
    )
    assert ask("5 round liner", *lines) == [0]
    assert list(needles_in("3 curved mags and 7 Round Shader")) == ["3cm", "7rs"]


def test_no_unit_is_a_needle(ask):
    assert ask("9 cm", needle("9CM"), size(90)) == [1, 0]
    assert ask("9 h", needle("9H"), SearchLine(SearchField.TIME, "", ("~9",))) == [1, 0]
    assert list(needles_in("9 cm, 2 h")) == []


def test_only_what_is_read_without_doubt_is_a_kind():
    groups = spoken_groups()
    assert {groups[spoken] for spoken in ("liner", "round liner", "rl")} == {"rl"}
    assert "curved liner" not in groups
    assert "round" not in groups


def test_both_sides_count_as_typed_or_the_other_way_round(ask):
    pieces = (size(57, 78), size(92, 58), size(78, 78), size(58, 92), size(78))
    assert ask("78 x 78", *pieces) == [2]
    assert ask("58 x 92 mm", *pieces) == [3, 1]
    assert ask("5.8 by 9.2 cm", *pieces) == [3, 1]
    assert ask("92 × 57", *pieces) == []
    assert ask("78", *pieces) == [0, 2, 4]
    assert size_words(78, None) == ("=78",)


def test_a_size_in_a_note_counts(ask):
    assert ask("60 x 80", note("drawn 60 x 80 mm"), note("6 by 8 cm on the arm"), note("60 mm, then 80 mm")) == [0, 1]
    assert ask("6cm x 80mm", note("6 cm x 80 mm"), note("6 x 80 mm")) == [0]


def test_a_word_is_not_sought_in_a_size(ask):
    assert ask("1258", size(1258, 58)) == []
