import datetime as dt

import pytest

from archgen.desk.filing.answers import (
    OwnNeedle,
    PlaceAnswer,
    RightDetails,
    chosen_needles,
    read_amount,
    read_day,
    read_hours,
    read_length,
    read_place,
    right_values,
    with_person,
)
from archgen.desk.filing.materials import Materials, NeedleOffer
from archgen.desk.filing.rights import right_answers
from archgen.metadata.file_rights import EmbeddedRights

OFFERS = Materials((NeedleOffer("3RL", "N-9"), NeedleOffer("7RL")), ("3RL", "7RL", "5RS"), (), (), (), (), ())


@pytest.mark.parametrize(
    ("typed", "region", "side"),
    [
        ("Shoulder blade, right", "shoulder-blade", "right"),
        ("Outer forearm, left", "forearm-outer", "left"),
        ("left inner bicep", "upper-arm-inner", "left"),
        ("Spine", "spine", None),
        ("arm", "arm", None),  # can mean several places: kept as typed, asked later
        ("my elbow pit thing", "my elbow pit thing", None),
        ("", None, None),
    ],
)
def test_a_place_is_an_id_with_its_side_or_the_words_as_typed(typed, region, side):
    assert read_place(typed) == PlaceAnswer(region, side)


def test_a_side_that_is_said_is_never_lost_with_a_place_that_is_not_understood():
    assert "left" in read_place("left arm").region


@pytest.mark.parametrize(
    ("typed", "units", "written"),
    [
        ("78", "mm", "78 mm"),
        ("7,8", "mm", "7.8 mm"),
        ("2 1/2", "in", "2 1/2 in"),
        ("6.2 cm", "mm", "6.2 cm"),
        ("about a hand", "mm", "about a hand"),
        ("", "mm", None),
    ],
)
def test_a_bare_number_has_the_unit_that_stands_beside_the_field(typed, units, written):
    assert read_length(typed, units) == written


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("3.5", 3.5),
        ("3,5", 3.5),
        ("3", 3),
        ("3h25", "3h25"),
        ("3 h 25 min", "3 h 25 min"),
        ("4 h", "4"),
        ("", None),
        ("long", "long"),
    ],
)
def test_hours_are_a_number_where_they_are_one(typed, written):
    assert read_hours(typed) == written


def test_days_are_read_as_a_date_field_sends_them():
    assert read_day("2026-11-26") == dt.date(2026, 11, 26)
    assert read_day("26.11.2026") is None


def test_needles_stand_in_the_order_they_were_touched_each_once_and_own_words_last():
    chosen = chosen_needles(["7RL|", "3RL|N-9", "7RL|"], OwnNeedle("5RS, 3RL"), OFFERS, {})
    assert [(one.code, one.batch) for one in chosen] == [("7RL", None), ("3RL", "N-9"), ("5RS", None)]


def test_own_words_with_a_box_are_another_needle_than_the_offer():
    assert chosen_needles([], OwnNeedle("3RL", "N-77"), OFFERS, {}) == (NeedleOffer("3RL", "N-77"),)


def test_a_needle_that_is_no_offer_any_more_keeps_its_words_and_box():
    assert chosen_needles(["11M1|N-5"], OwnNeedle(), OFFERS, {}) == (NeedleOffer("11M1", "N-5"),)


def answer(key):
    return next(one for one in right_answers("a.jpg", None) if one.key == key)


@pytest.mark.parametrize(
    ("key", "values"),
    [
        ("mine", {"license": "own-work"}),
        ("client", {"license": "client-supplied"}),
        ("bought", {"license": "stock"}),
        ("letter", {"license": "permission"}),
        ("unknown", {"license": "unknown"}),
        ("looked-at", {"used": False}),
    ],
)
def test_answers_about_a_picture_write_the_words_of_the_contract(key, values):
    assert dict(right_values(answer(key), RightDetails())) == values


def test_a_free_licence_is_named_with_its_maker():
    values = dict(right_values(answer("free"), RightDetails("CC-BY-SA-4.0", "Signe Aaldering")))
    assert values == {"license": "CC-BY-SA-4.0", "creator": "Signe Aaldering"}


def test_the_short_answers_of_a_right_go_nowhere_else():
    more = RightDetails("CC-BY-SA-4.0", "Somebody", paper="references/letter.pdf", allows=("tattoo",))
    assert dict(right_values(answer("mine"), more)) == {"license": "own-work"}
    assert dict(right_values(answer("free"), more)) == {"license": "CC-BY-SA-4.0", "creator": "Somebody"}


@pytest.mark.parametrize("key", ["client", "bought", "letter"])
def test_a_right_on_paper_names_the_paper_and_what_it_allows(key):
    values = dict(right_values(answer(key), RightDetails("CC0-1.0", paper="references/a.pdf", allows=("show-tattoo",))))
    assert values.items() >= {"permission": "references/a.pdf", "allows": ("show-tattoo",)}.items()
    assert values["license"] != "CC0-1.0"


def test_who_made_a_picture_stays_known_where_nothing_else_is():
    answers = right_answers("a.jpg", EmbeddedRights(creators=("Signe Aaldering",)))
    unknown = next(one for one in answers if one.key == "unknown")
    assert dict(unknown.values) == {"license": "unknown", "creator": "Signe Aaldering"}
    assert "Signe Aaldering" in unknown.small
    assert dict(next(one for one in answers if one.key == "mine").values) == {"license": "own-work"}


def test_what_a_needle_was_for_goes_with_it_alone():
    chosen = chosen_needles(["7RL|", "3RL|N-9"], OwnNeedle("5RS", use="shading"), OFFERS, {"3RL|N-9": "whiskers"})
    assert [(one.code, one.use) for one in chosen] == [("7RL", ""), ("3RL", "whiskers"), ("5RS", "shading")]
    assert chosen[1].table.entries[:2] == (("code", "3RL"), ("use", "whiskers"))


@pytest.mark.parametrize(
    ("typed", "written"), [("420", 420), ("420,50", 420.5), ("about 400?!", "about 400?!"), ("", None)]
)
def test_money_is_a_number_where_it_is_one(typed, written):
    assert read_amount(typed) == written


@pytest.mark.parametrize(
    ("person", "somebody", "likeness"),
    [
        ("none", "", "none"),
        ("client", "", "client"),
        ("somebody", "", "unknown"),
        ("somebody", "minor", "minor"),
        ("none", "minor", "none"),
    ],
)
def test_the_answer_about_people_is_written_to_a_reference(person, somebody, likeness):
    assert dict(with_person((("license", "own-work"),), person, somebody))["likeness"] == likeness


def test_of_a_picture_that_was_only_looked_at_nobody_asks_who_is_on_it():
    assert with_person((("used", False),), "none", "") == (("used", False),)
    assert with_person((("license", "own-work"),), "", "") == (("license", "own-work"),)
