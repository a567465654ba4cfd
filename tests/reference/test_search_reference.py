"""The search against a full-text engine of its own: SQLite's FTS5, on an invented archive."""

import datetime as dt
import random
import sqlite3
from pathlib import Path

import pytest

from archgen.searching.engine import Searcher
from archgen.searching.index import AnswerKind, Findable, index_value, line_values, said_in
from archgen.searching.lines import SearchField, SearchLine

SCRIPT = (Path(__file__).resolve().parents[2] / "themes/archive/search.js").read_text(encoding="utf-8")
TODAY = dt.date(2026, 11, 30)
PARTS = ("ba", "len", "ró", "mis", "ta", "kü", "vor", "ne", "sil", "dra", "pø", "fen", "ghi", "mar", "ul", "stén")
PIECES, QUESTIONS = 400, 150


@pytest.fixture(scope="module")
def told():
    draw = random.Random(41)
    words = ["".join(draw.choices(PARTS, k=draw.randint(2, 4))) for _ in range(500)]
    return [
        (" ".join(draw.choices(words, k=2)), " ".join(draw.choices(words, weights=range(500, 0, -1), k=25)))
        for _ in range(PIECES)
    ]


@pytest.fixture(scope="module")
def search(told):
    lines = [(SearchLine(SearchField.TITLE, title), SearchLine(SearchField.NOTE, note)) for title, note in told]
    answers = [
        (Findable(AnswerKind.PIECE, str(number), title, f"{number}.html"), said_in(lines[number]))
        for number, (title, _) in enumerate(told)
    ]
    return Searcher(SCRIPT, index_value(answers), {}, lambda number: line_values(lines[number]))


@pytest.fixture(scope="module")
def engine(told):
    database = sqlite3.connect(":memory:")
    database.execute("create virtual table told using fts5(title, note, tokenize='unicode61 remove_diacritics 2')")
    database.executemany(
        "insert into told(rowid, title, note) values (?, ?, ?)", [(n, *one) for n, one in enumerate(told)]
    )
    return lambda wanted: [
        row
        for (row,) in database.execute(
            "select rowid from told where told match ? order by bm25(told, 30, 2), rowid", [wanted]
        )
    ]


def questions(told):
    draw = random.Random(43)
    for _ in range(QUESTIONS):
        words = " ".join(draw.choice(told)).split()
        yield draw.sample(words, draw.randint(1, 3))


def test_what_the_engine_finds_is_found_and_pieces_called_so_come_first(told, search, engine):
    few = 0
    for words in questions(told):
        ours = [answer.number for answer in search.ask(" ".join(words), TODAY, PIECES).answers]
        # With a star FTS5 finds what begins so, as we do.
        theirs = engine(" AND ".join(f'"{word}"*' for word in words))
        assert set(ours) >= set(theirs), words
        called_so = {one for one in theirs if set(words) <= set(told[one][0].split())}
        assert set(ours[: len(called_so)]) == called_so, words
        # Where it finds no more than ten, its ten best are ours, whatever each ranks by beyond the words.
        if len(theirs) <= 10:
            few += 1
            assert set(theirs) <= set(ours[:10]), words
    assert few > QUESTIONS / 2
