"""Notes are weighed by their words, in the languages records are written in."""

import pytest

from archgen.records.vocabulary.care_words import needs_care, says_nothing


@pytest.mark.parametrize(
    "note",
    [
        "feathers whipped, skin slow to take, rested ten minutes",
        "Blew out at the edge",
        "settled well, two whiskers light on the left cheek",
        "redness under the plaster",
        "Haut wurde rot, dann Pause",
        "allergisch auf Latex",
        "la peau a saigné",
        "le stencil a glissé",
        "la piel sangró mucho",
        "se movió, dolor en el codo",
        "huden blödde",
        "långsam hud, vilade tio minuter",
        "血がにじむ",
        "途中で休憩、敏感肌",
    ],
)
def test_what_went_wrong_or_needed_care(note):
    assert needs_care(note)
    assert not says_nothing(note)


@pytest.mark.parametrize(
    "note",
    [
        "",
        " ",
        "lines",
        "Done.",
        "all fine",
        "first sitting: outlines",
        "fertig, alles gut",
        "les lignes",
        "tout va bien",
        "líneas y sombras",
        "todo bien",
        "linjer och skuggor",
        "allt bra",
        "線",
        "問題なし",
        "done, nothing more to do",
    ],
)
def test_what_says_nothing(note):
    assert says_nothing(note)
    assert not needs_care(note)


@pytest.mark.parametrize(
    "note",
    [
        "red and black ink",
        "rote Tinte",
        "scales and bark",
        "peony, lines and shade",
        "rotary machine",
        "leg went well",
        "鯉、鱗",
        "Rest morgen",
    ],
)
def test_anything_else_is_neither(note):
    assert not needs_care(note)
    assert not says_nothing(note)
