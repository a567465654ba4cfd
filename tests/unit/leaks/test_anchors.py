"""Many strings are found in one content exactly where a plain search finds them."""

from unittest import mock

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archgen.leaks import anchors
from archgen.leaks.anchors import AnchorIndex

# Few letters, so that strings overlap and share their windows.
strings = st.binary(min_size=1, max_size=20).map(lambda raw: bytes(byte % 3 + 97 for byte in raw))


@given(st.lists(strings, max_size=30), st.lists(strings, max_size=40), st.sampled_from([0, anchors.FEW]))
def test_the_same_is_found_as_by_a_plain_search(sought, parts, few):
    content = b"".join(parts)
    with mock.patch.object(anchors, "FEW", few):
        index = AnchorIndex((string, number) for number, string in enumerate(sought))
    assert index.owners_in(content) == {number for number, string in enumerate(sought) if string in content}


def test_a_string_across_two_strides_is_found(monkeypatch):
    monkeypatch.setattr(anchors, "_STRIDE", 64)
    monkeypatch.setattr(anchors, "FEW", 0)
    for at in range(200):
        content = b"." * at + b"annika soderqvist" + b"." * (200 - at)
        assert AnchorIndex([(b"annika soderqvist", 7), (b"abcd", 8)]).owners_in(content) == {7}


@pytest.mark.parametrize("few", [0, anchors.FEW])
def test_an_owner_may_have_several_strings(monkeypatch, few):
    monkeypatch.setattr(anchors, "FEW", few)
    index = AnchorIndex([(b"anna", 1), (b"annasample", 1), (b"c1", 2)])
    assert (index.owners_in(b"xannax"), index.owners_in(b"c1"), index.owners_in(b"")) == ({1}, {2}, set())


def test_of_strings_that_end_alike_only_those_that_begin_as_here_are_found(monkeypatch):
    monkeypatch.setattr(anchors, "FEW", 0)
    sought = [f"{number:04}{ending}" for ending in (" of anna sample", " by lina otherone") for number in range(9)]
    index = AnchorIndex((string.encode(), number) for number, string in enumerate(sought))
    for wanted in ({0}, {3, 5}, {8, 9}, {0, 4, 12, 17}, set(range(18))):
        assert index.owners_in(", ".join(sought[number] for number in wanted).encode()) == wanted
