import pytest

from archgen.twins.groups import groups
from archgen.twins.model import Pair, Relation

STRAIGHT = (1.0, 0.0, 0.0, 0.0, 1.0, 0.0)


def pair(a: str, b: str, score: float = 0.8, part: str | None = None) -> Pair:
    relation = Relation.CROPPED if part else Relation.IDENTICAL
    return Pair(a, b, relation, False, 0, STRAIGHT, score, part)


def keys(*pairs: Pair) -> list[tuple[str, ...]]:
    return [group.keys for group in groups(pairs)]


def test_a_chain_of_three_is_not_one_group():
    assert ("a", "b", "c") not in keys(pair("a", "b"), pair("b", "c"))


def test_three_that_are_all_paired_are_one_group():
    assert keys(pair("a", "b"), pair("b", "c"), pair("a", "c")) == [("a", "b", "c")]


def test_two_parts_meet_in_their_full_picture():
    (group,) = groups([pair("a", "full", part="a"), pair("b", "full", part="b")])
    assert (group.keys, group.full) == (("a", "b", "full"), "full")


def test_two_full_pictures_do_not_meet_in_a_common_part():
    assert ("a", "b", "part") not in keys(pair("a", "part", part="part"), pair("b", "part", part="part"))


def test_the_weaker_link_of_a_chain_is_the_one_that_is_cut():
    assert keys(pair("a", "b", 0.6), pair("b", "c", 0.99)) == [("b", "c")]


def test_a_group_holds_the_pairs_among_its_members():
    (group,) = groups([pair("a", "b"), pair("a", "c"), pair("b", "c")])
    assert [(one.a, one.b) for one in group.pairs] == [("a", "b"), ("a", "c"), ("b", "c")]


@pytest.mark.parametrize("order", [1, -1])
def test_the_order_of_the_pairs_does_not_matter(order):
    pairs = [pair("a", "b"), pair("b", "c", 0.7), pair("c", "d"), pair("a", "x", part="x")]
    assert groups(pairs[::order]) == groups(pairs)
