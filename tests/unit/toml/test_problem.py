"""How values are shown in messages."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archgen.toml.problem import shown

# What TOML allows in a text on one line without an escape, and messages show as it is.
VISIBLE = st.characters(categories=("L", "N", "P", "S"), include_characters=" ")


@pytest.mark.parametrize("text", ["owl.jpg", 'the "best" owl.jpg', "it's.jpg", 'it\'s "both".jpg', r"a\b.jpg"])
def test_a_text_is_shown_as_it_can_be_copied_into_the_record(text):
    assert tomllib.loads(f"file = {shown(text)}") == {"file": text}


@given(st.text(VISIBLE, max_size=25))
def test_every_visible_text_is_shown_as_toml(text):
    assert tomllib.loads(f"a = {shown(text, 100)}") == {"a": text}


def test_a_long_text_is_cut():
    assert len(shown("x" * 500)) == 60
