"""What is said of the changes between two versions."""

import dataclasses

import pytest

from archgen.picture_facts.gauge_facts import PairFacts
from archgen.pieces.versions import VersionPair
from archgen.stencils.versions.changes import LineChanges
from archgen.wording.stencils.changes import changes_words, standing_words


@dataclasses.dataclass
class Gauged:
    thin: int | None
    tight: int | None


def pair(*, scaled=True, turned=False, widths=(60.0, 60.0), **changes):
    lines = {
        **dict.fromkeys(LineChanges.__struct_fields__, 0.0),
        "first_mm": 500.0,
        "second_mm": 400.0,
        "told_from_mm": 0.06,
        **changes,
    }
    return VersionPair(0, 1, *widths, scaled, PairFacts(0.0, 0.0, LineChanges(**lines), None, turned))


def said(one, gauges=(None, None)):
    return " ".join(changes_words(one, gauges))


def test_the_largest_change_comes_first_with_its_share_and_how_much():
    one = pair(thinner_mm=460.0, thinner_by_mm=0.09, moved_mm=20.0, moved_by_mm=0.421, taken_out_mm=50.0)
    assert changes_words(one, (None, None)) == (
        "Made thinner: nearly all lines, by about 0.09 mm.",
        "Taken out: 10% of the lines.",
        "Moved: 4% of the lines, by about 0.42 mm.",
    )
    assert said(pair(put_in_mm=100.0)) == "Put in: 25% of the lines."
    assert said(pair(thicker_mm=100.0, thicker_by_mm=0.1)) == "Made thicker: 20% of the lines, by about 0.10 mm."


@pytest.mark.parametrize("changes", [{}, {"moved_mm": 9.0}, {"taken_out_mm": 4.9, "first_mm": 200.0}])
def test_the_shake_of_a_scanner_is_no_change(changes):
    assert said(pair(**changes)) == "No change of a line seen."


def test_another_size_is_told_from_a_millimetre_on():
    assert said(pair(widths=(60.0, 57.5))) == "No change of a line seen. Printed 57.5 mm wide, before 60 mm."
    assert "Printed" not in said(pair(widths=(60.0, 60.9)))


def test_gaps_and_lines_below_the_limit_are_compared_where_both_are_known():
    words = said(pair(), (Gauged(thin=0, tight=11), Gauged(thin=4, tight=6)))
    assert "Gaps narrower than your limit: 11 before, 6 now." in words
    assert "Lines finer than your limit: none before, 4 now." in words
    for other in (Gauged(thin=0, tight=11), Gauged(thin=None, tight=None), None):
        assert "limit" not in said(pair(), (Gauged(thin=0, tight=11), other))


def test_another_drawing_and_one_turned_over_are_called_so():
    assert said(pair(taken_out_mm=495.0, put_in_mm=395.0)).startswith("Another drawing")
    assert said(pair(taken_out_mm=495.0, turned=True)) == "Turned over: the second faces the other way."
    empty = VersionPair(0, 1, 60.0, 60.0, True, PairFacts(0.0, 0.0))
    assert said(empty) == "What changed could not be measured."


def test_without_a_width_nothing_is_said_in_millimetres():
    one = pair(scaled=False, thicker_mm=100.0, thicker_by_mm=0.1)
    assert said(one) == "Made thicker: 20% of the lines."
    assert "equally wide" in standing_words(one)
    assert "0.06 mm" in standing_words(pair())
