"""Keys added to tables: nothing else of the text changes."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archgen.toml.fill import fill_tables

TEXT = """# head
title = "Owl" # why

[[reference]]   # the first
file       = "references/a.jpg"
license    = "CC0-1.0"   # looked up
# about the next one

[[reference]]
file = 'b.jpg'
allows = [
  "tattoo",  # said on the telephone
]

[size]
width = "3 mm"
"""


def test_a_key_goes_below_the_others_in_their_column():
    filled = fill_tables(TEXT, "reference", {0: {"creator": "A. Sample"}})
    assert filled == TEXT.replace("  # looked up\n", '  # looked up\ncreator    = "A. Sample"\n')


def test_remarks_order_and_every_other_line_stay():
    filled = fill_tables(TEXT, "reference", {0: {"creator": "A"}, 1: {"creator": "B", "source": "C"}})
    assert [line for line in filled.splitlines() if line in TEXT.splitlines()] == TEXT.splitlines()
    assert len(filled.splitlines()) == len(TEXT.splitlines()) + 3


def test_a_key_that_is_there_stays_as_it_is():
    assert fill_tables(TEXT, "reference", {0: {"license": "own-work"}}) == TEXT


def test_windows_line_ends_stay():
    filled = fill_tables(TEXT.replace("\n", "\r\n"), "reference", {1: {"creator": "A"}})
    assert filled.count("\r\n") == filled.count("\n") == TEXT.count("\n") + 1


def test_a_text_without_a_last_line_end_gets_its_key():
    filled = fill_tables('[[reference]]\nfile = "a"', "reference", {0: {"creator": "A"}})
    assert tomllib.loads(filled) == {"reference": [{"file": "a", "creator": "A"}]}


@pytest.mark.parametrize("text", ['reference = [{file = "a"}]', 'title = "x"', '[reference]\nfile = "a"'])
def test_where_nothing_can_be_added_safely_nothing_is(text):
    assert fill_tables(text, "reference", {0: {"creator": "A"}}) is None


def test_a_table_that_is_not_there_is_not_made():
    assert fill_tables(TEXT, "reference", {2: {"creator": "A"}}) is None


@given(st.text(st.characters(exclude_categories=("Cs",)), max_size=60))
def test_any_text_is_written_so_that_it_is_read_back(value):
    filled = fill_tables(TEXT, "reference", {0: {"creator": value}})
    assert filled is not None
    assert tomllib.loads(filled)["reference"][0]["creator"] == value
