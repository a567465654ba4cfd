"""Decisions, as far as they hold."""

import datetime as dt

from archgen.doubles.decisions import Decided
from archgen.records.model import Decision, DecisionRegister

NOW = {"a": "aa11", "b": "bb22", "c": "cc33"}


def decided(same=(), different=(), lines=None, digests=NOW):
    return Decided(DecisionRegister(same=tuple(same), different=tuple(different)), lines or {}, digests)


def test_what_nobody_decided_has_no_verdict():
    assert decided([Decision(images=("a", "b"))]).verdict("a", "c") is None


def test_a_decision_about_three_is_one_about_each_two():
    held = decided(different=[Decision(images=("a", "b", "c"))])
    assert [held.verdict(*pair) for pair in ("ab", "bc", "ca")] == [False] * 3


def test_a_decision_holds_while_the_files_are_what_they_were():
    assert decided([Decision(images=("a", "b"), digests=("aa", "bb"))]).verdict("a", "b") is True
    changed = decided([Decision(images=("a", "b"), digests=("aa", "xx"), date=dt.date(2026, 3, 14))])
    assert changed.verdict("a", "b") is None
    assert changed.why_again("a", "b") == "You decided “same” on 14 Mar 2026, but b was changed since then."


def test_without_digests_a_decision_holds():
    assert decided([Decision(images=("a", "b"))]).why_again("a", "b") == ""


def test_a_missing_picture_leaves_the_decision_about_the_others():
    held = decided([Decision(images=("gone", "a", "b"), digests=("00", "aa", "bb"))])
    assert held.verdict("a", "b") is True
    assert decided([Decision(images=("gone", "a"))]).settled == ()


def test_the_later_decision_counts_and_of_one_day_the_lower_one():
    first, second = Decision(images=("a", "b"), date=dt.date(2026, 1, 1)), Decision(images=("a", "b"))
    assert decided([first], [second]).verdict("a", "b") is True
    assert decided([second], [second], {"same.0": 9, "different.0": 4}).verdict("a", "b") is True
    assert decided([second], [second], {"same.0": 4, "different.0": 9}).verdict("a", "b") is False


def test_the_kept_picture_stands_for_the_others_along_a_chain():
    held = decided([Decision(images=("a", "b"), keep="b"), Decision(images=("b", "c"), keep="c")])
    assert [held.standing_for(path) for path in "abc"] == ["c", "c", "c"]


def test_two_decisions_that_keep_each_other_s_picture_end():
    held = decided([Decision(images=("a", "b"), keep="b"), Decision(images=("a", "b"), keep="a")])
    assert held.standing_for("a") == held.standing_for("b")
