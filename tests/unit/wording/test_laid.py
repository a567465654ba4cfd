"""What is said of pictures laid on each other: a proposal is called one, and no bare figure in millimetres."""

import itertools
import re

import pytest

from archgen.picture_facts.facts import Derivative
from archgen.picture_facts.laid_facts import LaidFacts, LaidLayer
from archgen.wording.laid import laid_words


def layer(*, recorded=False, settled=True):
    return LaidLayer(Derivative(10, 10, "a.webp"), recorded, settled)


def said(fresh, *stencils, **more):
    return " ".join(laid_words(LaidFacts(fresh, stencils, **more)))


LAYERS = (None, layer(), layer(recorded=True), layer(recorded=True, settled=False))


@pytest.mark.parametrize(("fresh", "one", "two"), list(itertools.product(LAYERS, repeat=3)))
def test_proposals_doubts_and_points_are_each_told_and_nothing_else(fresh, one, two):
    layers = [part for part in (fresh, one, two) if part]
    words = said(fresh, one, two)
    assert ("proposal" in words or "So is the place" in words) == any(not part.recorded for part in layers)
    assert ("points you set" in words) == any(part.recorded for part in layers)
    assert ("checked by eye only" in words) == any(not part.settled for part in layers)
    assert "several places" not in words


def test_the_first_of_several_proposals_says_what_a_proposal_is():
    assert said(layer(), layer()).startswith("A proposal: the fresh photo laid on the healed one, found by its lines")
    assert said(None, layer()).startswith("A proposal: the place of the stencil, found by its lines alone")


def test_a_drawing_that_fits_in_several_places_is_not_certain_until_points_say_so():
    alike = LaidFacts(layer(), (layer(), None), alike_elsewhere=True)
    assert not alike.is_certain
    assert "several places" in " ".join(laid_words(alike))
    pointed = LaidFacts(layer(recorded=True), (layer(recorded=True), None), alike_elsewhere=True)
    assert pointed.is_certain
    assert "several places" not in " ".join(laid_words(pointed))


@pytest.mark.parametrize("still", [True, False])
def test_the_only_figure_is_that_of_no_shift_seen(still):
    words = said(layer(), layer(recorded=True, settled=False), layer(), no_shift_seen=still)
    figures = re.findall(r"[^.]*\d+ ?mm[^.]*\.", words)
    assert figures == ([" No shift over 1 mm seen."] if still else [])
