"""What the form offers: measures and times from the pictures, needles and inks from the records and the register."""

import datetime as dt

import pytest

from archgen.desk.filing.dots import needle_dots
from archgen.desk.filing.form_view import title_of
from archgen.desk.filing.materials import materials
from archgen.desk.filing.measures import photo_span, side_ratio, size_offer, time_offers
from archgen.desk.filing.people import MeantClient, meant_client, next_code, people
from archgen.desk.filing.rights import right_answers, source_words
from archgen.intake.plan import What
from archgen.metadata.file_rights import EmbeddedRights
from archgen.picture_facts.facts import ImageFacts
from archgen.records.model import Client
from tests.unit.desk.filing.planned import planned, taken

DAY = dt.date(2026, 11, 26)


def facts(marks):
    return ImageFacts(path="s.png", digest="", file_format="PNG", width=2000, height=2000, marks=marks, screen=())


def test_a_stencils_measure_is_that_of_its_marks_at_its_files_dots():
    offer = size_offer(planned("s.png", What.STENCIL, dots_per_inch=600.0), facts((100, 100, 1943, 1730)))
    # 1843 / 600 in and 1630 / 600 in at 25.4 mm
    assert (offer.width_mm, offer.height_mm) == (78, 69)
    assert offer.words == "by its file: 600 dots to the inch"


def test_without_dots_nothing_is_offered():
    assert size_offer(planned("s.png", What.STENCIL), facts((0, 0, 100, 100))) is None


def test_before_the_picture_is_read_the_width_alone_is_offered():
    offer = size_offer(planned("s.png", What.STENCIL, dots_per_inch=300.0, line_width_px=300), None)
    assert (offer.width_mm, offer.height_mm) == (25, None)


def test_height_by_width_is_that_of_the_marks():
    assert side_ratio(facts((0, 0, 100, 250))) == 2.5
    assert side_ratio(None) is None


def test_the_span_is_that_of_the_days_photos_and_of_nothing_else():
    pictures = (
        taken("a.jpg", 11, 20, What.IN_PROGRESS),
        taken("b.jpg", 14, 45),
        taken("s.png", 10, 52, What.STENCIL),
        taken("h.jpg", 18, 0, What.HEALED, day=28),
    )
    first, last = photo_span(pictures, DAY)
    assert (first.hour, first.minute, last.hour, last.minute) == (11, 20, 14, 45)
    assert photo_span(pictures[1:], DAY) is None


def test_the_time_between_the_photos_is_offered_first_and_said_to_be_that():
    offers = time_offers(photo_span((taken("a.jpg", 11, 20), taken("b.jpg", 14, 45)), DAY))
    assert [one.words for one in offers] == ["3 h 25 min", "3 h", "3.5 h", "4 h", "4.5 h", "5 h"]
    assert offers[0].written == "3h25"
    assert offers[0].source == "first to last photo"
    assert not any(one.source for one in offers[1:])


def test_without_photos_of_the_day_round_hours_are_offered():
    assert [one.written for one in time_offers(None)] == ["1", "2", "3", "4", "5", "6"]


def test_needles_are_the_artists_own_words_with_the_box_that_is_open(still_state):
    offered = materials(still_state.current.catalogue)
    assert [(one.code, one.batch) for one in offered.needles] == [("3RL", "N-9"), ("15 curved mag", "N-2")]
    assert [one.code for one in offered.last_needles] == ["3RL", "15 curved mag"]


def test_inks_are_the_open_bottles_and_the_others_are_named_with_the_reason(still_state):
    offered = materials(still_state.current.catalogue)
    assert [one.batch for one in offered.inks] == ["BK-1"]
    assert {(one.batch, one.words) for one in offered.left_out} == {
        ("GW2-1", "recalled 2 May 2026"),
        ("WH-1", "past its date"),
    }
    assert [one.batch for one in offered.last_inks] == ["BK-1"]


@pytest.mark.parametrize(
    ("code", "count"),
    [("3RL", 3), ("7RL", 7), ("1RL", 1), ("15M1", 15), ("15 curved mag", 15), ("5F", 5), ("14RL", 14), ("fuzzy", 0)],
)
def test_a_needle_is_drawn_with_as_many_dots_as_it_has_inside_the_field(code, count):
    dots = needle_dots(code)
    assert len(dots) == count
    assert len(set(dots)) == count
    assert all(0 < x < 56 and 0 < y < 36 for x, y in dots)


def test_people_stand_with_who_was_here_last_first(still_state):
    assert [(one.name, one.code, one.last) for one in people(still_state.current.catalogue)] == [
        ("Wilma Tarrenby", "C-0042", "14 Mar 2026"),
        ("Ida Vesterholt", "C-0043", ""),
    ]


CLIENTS = {
    "C-0042": Client(code="C-0042", name="Wilma Tarrenby"),
    "C-0050": Client(code="C-0050", name="Ida Vesterholt"),
    "C-0051": Client(code="C-0051", name="Ida Vesterholt"),
}


@pytest.mark.parametrize(
    ("typed", "chosen", "meant"),
    [
        ("", "", None),
        ("Wilma Tarrenby", "", MeantClient("C-0042")),
        ("wilma  tarrenby", "", MeantClient("C-0042")),
        ("c-0042", "", MeantClient("C-0042")),
        ("Ida Vesterholt", "C-0051", MeantClient("C-0051")),
        ("Piet Larsmo", "", MeantClient("C-0061", "Piet Larsmo")),
        ("Piet Larsmo", "C-0042", MeantClient("C-0061", "Piet Larsmo")),  # a name typed after a choice counts
        ("C-0060", "", MeantClient("C-0060")),  # in a record, not in the register
    ],
)
def test_a_name_or_code_means_its_client_and_a_new_name_gets_the_next_code(typed, chosen, meant):
    assert meant_client(typed, chosen, CLIENTS, frozenset({"C-0060"})) == meant


def test_of_two_people_of_one_name_nobody_is_guessed():
    meant = meant_client("Ida Vesterholt", "", CLIENTS, frozenset())
    assert meant.name == "Ida Vesterholt"
    assert meant.code not in CLIENTS


def test_the_first_code_is_one():
    assert next_code(set()) == "C-0001"
    assert next_code({"C-0009", "Anna"}) == "C-0010"


@pytest.mark.parametrize(
    ("file", "title"),
    [
        ("night-moth-1.png", "Night moth"),
        ("snake_and_branch 2.png", "Snake and branch"),
        ("IMG_2301.png", ""),
        ("scan 3.png", ""),
        ("a1b2c3.png", ""),
        ("20260314.png", ""),
    ],
)
def test_a_stencils_name_is_offered_as_the_title_unless_a_camera_gave_it(file, title):
    assert title_of([planned(file, What.STENCIL)]) == title


def test_what_the_file_says_of_its_right_is_offered_first_with_its_maker():
    embedded = EmbeddedRights(creators=("Signe Aaldering",), licence="https://creativecommons.org/licenses/by/4.0/")
    first = right_answers("moth.jpg", embedded)[0]
    assert first.words == "As the file itself says"
    assert first.small == "Signe Aaldering, CC BY 4.0"
    assert dict(first.values)["license"] == "CC-BY-4.0"
    assert dict(first.values)["creator"] == "Signe Aaldering"
    assert source_words("moth.jpg", embedded) == "moth.jpg, names its maker"


def test_a_file_that_says_nothing_offers_nothing():
    assert [one.words for one in right_answers("a.jpg", None)] == [
        "Mine", "The client’s", "Bought", "Free licence", "By letter", "Don’t know", "Only looked at",
    ]  # fmt: skip
    assert right_answers("a.jpg", EmbeddedRights(creators=("X",)))[0].words == "Mine"
    assert source_words("a.jpg", None) == "a.jpg; the file says nothing"


def test_dont_know_names_the_picture_that_is_waited_for():
    unknown = next(one for one in right_answers("IMG_2299.jpg", None) if one.key == "unknown")
    assert unknown.holds == "whose picture IMG_2299.jpg is"


def test_of_an_earlier_day_bottles_and_boxes_opened_later_are_left_out_and_named(still_state):
    offered = materials(still_state.current.catalogue, dt.date(2025, 2, 8))
    assert offered.inks == ()
    assert {(one.batch, one.words) for one in offered.left_out} == {
        (batch, "opened 10 Jan 2026") for batch in ("BK-1", "GW2-1", "WH-1")
    }
    assert [(one.code, one.batch) for one in offered.needles] == [("3RL", "N-1"), ("15 curved mag", "N-2")]
    assert [(one.code, one.batch, one.words) for one in offered.left_boxes] == [("3RL", "N-9", "opened 1 Jun 2026")]


def test_what_was_open_on_the_day_is_offered_though_it_was_used_up_recalled_or_past_its_date_since(still_state):
    offered = materials(still_state.current.catalogue, dt.date(2026, 2, 8))
    assert {one.batch: one.words for one in offered.inks} == {
        "BK-1": "", "GW1-1": "", "GW2-1": "recalled 2 May 2026", "WH-1": "",
    }  # fmt: skip
    assert offered.left_out == ()
    on_the_last_day = materials(still_state.current.catalogue, dt.date(2026, 3, 1))
    assert "GW1-1" in {one.batch for one in on_the_last_day.inks}
    on_the_day_of_the_recall = materials(still_state.current.catalogue, dt.date(2026, 5, 2))
    assert {one.batch for one in on_the_day_of_the_recall.inks} == {"BK-1", "WH-1"}


def test_a_guess_that_is_confirmed_still_offers_the_other_answer_and_a_changed_one_the_way_back():
    picture = planned("a.jpg", What.FRESH)
    assert picture.taken_for(What.FRESH).guess.instead is picture.guess.instead is not What.FRESH
    assert picture.taken_for(What.HEALED).guess.instead is What.FRESH
