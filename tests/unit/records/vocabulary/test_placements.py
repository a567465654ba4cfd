"""Places on the body: ids, trade words, words for people, girths."""

import pytest

from archgen.languages.house import speak
from archgen.records.model import Side
from archgen.records.vocabulary.girths import POPULATION_GIRTHS, RELAXED_UPPER_ARM, GirthKind
from archgen.records.vocabulary.placements import PLACES, find_placement, placement_words

# What anatomical words mean on each part, the palm turned forward: standard anatomical position.
ANATOMY = [
    ("forearm", "volar", "forearm-inner"), ("wrist", "volar", "wrist-inner"), ("hand", "volar", "palm"),
    ("foot", "volar", "sole"), ("forearm", "anterior", "forearm-inner"), ("wrist", "anterior", "wrist-inner"),
    ("hand", "anterior", "palm"), ("thigh", "anterior", "thigh-front"), ("forearm", "dorsal", "forearm-outer"),
    ("wrist", "dorsal", "wrist-outer"), ("hand", "dorsal", "hand-back"), ("foot", "dorsal", "foot-top"),
    ("forearm", "posterior", "forearm-outer"), ("wrist", "posterior", "wrist-outer"),
    ("hand", "posterior", "hand-back"),
    ("thigh", "posterior", "thigh-back"), ("foot", "plantar", "sole"), ("thigh", "medial", "thigh-inner"),
    ("thigh", "lateral", "thigh-outer"),
]  # fmt: skip


def test_every_id_is_read_as_itself():
    assert [find_placement(place).place.id for place in PLACES] == list(PLACES)


def test_every_trade_word_leads_to_its_place():
    for place in PLACES.values():
        for word in (place.words, *place.synonyms):
            assert find_placement(word).place is place, word
            assert find_placement(word.upper()).place is place, word


@pytest.mark.parametrize(
    ("text", "place", "side"),
    [
        ("Left inner forearm", "forearm-inner", Side.LEFT),
        ("outer forearm, right", "forearm-outer", Side.RIGHT),
        ("the back of the left thigh", "thigh-back", Side.LEFT),
        ("center of chest", "chest", Side.CENTRE),
        ("Triceps", "upper-arm-back", None),
        ("front thigh", "thigh-front", None),
        ("ditch of the elbow", "elbow-ditch", None),
        ("forearm_outer", "forearm-outer", None),
        *((f"{word} {part}", place, None) for part, word, place in ANATOMY),
    ],
)
def test_a_word_with_side_or_fillers(text, place, side):
    reading = find_placement(text)
    assert (reading.place.id, reading.side) == (place, side)


@pytest.mark.parametrize(
    "word", ["arm", "leg", "side", "Back", "outer", "Sleeve", "left arm", "thigh", "wrist", "inner arm"]
)
def test_a_bare_word_offers_choices(word):
    reading = find_placement(word)
    assert reading.place is None
    assert len(reading.choices) > 1


@pytest.mark.parametrize(
    ("text", "part"),
    [("upper arm", "upper-arm"), ("lower arm", "forearm"), ("upper leg", "thigh"), ("lower leg", "")],
)
def test_half_of_a_limb_offers_its_places_only(text, part):
    choices = [place.id for place in find_placement(text).choices]
    assert len(choices) > 1
    assert (
        all(place.startswith(part) for place in choices) if part else not set(choices) & {"thigh-front", "thigh-back"}
    )


@pytest.mark.parametrize(
    ("text", "near"), [("sholder blade", "shoulder-blade"), ("forarm outer", "forearm-outer"), ("xyz", None)]
)
def test_an_unknown_word_gets_the_nearest(text, near):
    reading = find_placement(text)
    assert (reading.place, reading.choices, reading.nearest) == (None, (), near)


@pytest.mark.parametrize(
    ("region", "side", "words"),
    [
        ("forearm-outer", Side.LEFT, "Outer forearm, left"),
        ("thigh-front", None, "Front of the thigh"),
        ("forearm-outer", Side.CENTRE, "Outer forearm"),
        (None, Side.LEFT, None),
    ],
)
def test_words_for_people(region, side, words):
    assert placement_words(region, side) == words


# SNOMED CT codes end in a check digit (Verhoeff's method, SNOMED International's technical guide).
def verhoeff_holds(code):
    times = [[0, 1, 2, 3, 4, 5, 6, 7, 8, 9], [1, 2, 3, 4, 0, 6, 7, 8, 9, 5], [2, 3, 4, 0, 1, 7, 8, 9, 5, 6],
             [3, 4, 0, 1, 2, 8, 9, 5, 6, 7], [4, 0, 1, 2, 3, 9, 5, 6, 7, 8], [5, 9, 8, 7, 6, 0, 4, 3, 2, 1],
             [6, 5, 9, 8, 7, 1, 0, 4, 3, 2], [7, 6, 5, 9, 8, 2, 1, 0, 4, 3], [8, 7, 6, 5, 9, 3, 2, 1, 0, 4],
             [9, 8, 7, 6, 5, 4, 3, 2, 1, 0]]  # fmt: skip
    turn = [list(range(10)), [1, 5, 7, 6, 2, 8, 3, 0, 9, 4]]
    while len(turn) < 8:
        turn.append([turn[-1][turn[1][digit]] for digit in range(10)])
    check = 0
    for place, digit in enumerate(reversed(code)):
        check = times[check][turn[place % 8][int(digit)]]
    return check == 0


def test_anatomical_codes_carry_a_right_check_digit():
    codes = [
        word.strip(",") for place in PLACES.values() for word in place.anatomy.split() if word.strip(",").isdigit()
    ]
    assert len(codes) > 60
    assert [code for code in codes if not verhoeff_holds(code)] == []
    assert not verhoeff_holds("41550008")


# Means in mm: NATICK/TR-15/007 (ANSUR II), public data files.
@pytest.mark.parametrize(
    ("kind", "men", "women"),
    [
        (GirthKind.WRIST, 176, 155),
        (GirthKind.FOREARM, 310, 264),
        (GirthKind.ARM, 358, 306),
        (GirthKind.THIGH, 625, 616),
        (GirthKind.CALF, 392, 373),
        (GirthKind.CHEST, 1059, 947),
    ],
)
def test_population_girths(kind, men, women):
    girth = POPULATION_GIRTHS[kind]
    assert (girth.men.mean_mm, girth.women.mean_mm, girth.mean_mm) == (men, women, (men + women) / 2)


def test_every_girth_says_what_to_beware_of():
    for girth in (*POPULATION_GIRTHS.values(), RELAXED_UPPER_ARM):
        assert "not a measurement of this client" in girth.cautions[0]
        for spread in (girth.men, girth.women):
            assert spread.p5_mm < spread.mean_mm < spread.p95_mm


def test_every_kind_of_girth_is_known():
    assert set(POPULATION_GIRTHS) == set(GirthKind)


@pytest.mark.parametrize("tag", ["en", "de", "fr", "es", "sv", "ja"])
def test_what_the_house_calls_a_placement_is_read_again(tag):
    speak(tag)
    for place in PLACES.values():
        for side in (None, Side.LEFT, Side.RIGHT):
            read = find_placement(placement_words(place.id, side))
            assert (read.place, read.side) == (place, side)
