"""The decision table: every row, the overlays, and what settles a question.

Rows: Creative Commons 4.0 deeds and legal code section 2(b)(1); RightsStatements.org 1.0; others common practice.
"""

import datetime as dt

import pytest

from archgen.publication.rights import RightKind, answers
from archgen.records.model import Likeness, Reference, Use
from tests.builders import TODAY

LETTER = "references/letter.pdf"


def ask(**fields):
    right = answers(Reference(**fields), today=TODAY)
    return f"{right.use.answer.value} {right.show_reference.answer.value} {right.show_piece.answer.value}"


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"license": "own-work"}, "yes yes yes"),
        ({"license": "permission", "permission": LETTER}, "yes hold hold"),
        ({"permission": LETTER}, "yes hold hold"),
        ({"license": "commissioned"}, "yes hold hold"),
        ({"license": "client-supplied"}, "hold no hold"),
        ({"license": "stock", "permission": LETTER}, "yes hold hold"),
        ({"license": "stock", "rights_url": "https://example.org/terms"}, "hold no hold"),
        ({"license": "CC0-1.0"}, "yes yes yes"),
        ({"license": "CC-PDM-1.0"}, "yes yes yes"),
        ({"license": "NoC-US"}, "yes yes yes"),
        ({"license": "CC-BY-4.0", "creator": "A"}, "yes yes yes"),
        ({"license": "CC-BY-3.0-DE", "creator": "A"}, "yes yes yes"),
        ({"license": "CC-BY-SA-4.0", "creator": "A"}, "yes yes hold"),
        ({"license": "CC-BY-NC-4.0", "creator": "A"}, "hold no no"),
        ({"license": "CC-BY-NC-SA-4.0", "creator": "A"}, "hold no no"),
        ({"license": "InC-NC"}, "hold no no"),
        ({"license": "NoC-NC"}, "hold no no"),
        ({"license": "CC-BY-ND-4.0", "creator": "A"}, "hold yes no"),
        ({"license": "CC-BY-NC-ND-4.0", "creator": "A"}, "hold no no"),
        ({"license": "InC"}, "no no no"),
        ({"license": "all-rights-reserved"}, "no no no"),
        *(
            ({"license": word}, "hold no hold")
            for word in ("InC-RUU", "InC-OW-EU", "UND", "CNE", "NKC", "NoC-CR", "NoC-OKLR", "InC-EDU")
        ),
        ({}, "hold no no"),
        ({"license": "unknown"}, "hold no no"),
        ({"license": "CC-BUY-4"}, "hold no no"),
        ({"license": "permission"}, "hold no no"),
        ({"license": "stock"}, "hold no no"),
        ({"license": "MIT"}, "hold no hold"),
    ],
)
def test_the_table_answers(fields, expected):
    assert ask(**fields) == expected


def test_a_letter_lifts_what_the_licence_leaves_open():
    assert ask(license="all-rights-reserved", permission=LETTER) == "yes hold hold"


def test_a_letter_that_is_not_there_lifts_nothing():
    right = answers(Reference(permission=LETTER), today=TODAY, evidence_exists=False)
    assert right.kind is RightKind.MISSING


def test_credit_without_a_creator_is_a_question():
    assert ask(license="CC-BY-4.0") == "yes yes hold"


def test_a_recorded_answer_settles_a_question():
    assert ask(license="permission", permission=LETTER, allows=(Use.TATTOO, Use.SHOW_TATTOO)) == "yes no yes"


def test_an_answer_that_allows_nothing_settles_it_too():
    assert ask(license="client-supplied", allows=()) == "no no no"


def test_a_recorded_answer_does_not_lift_a_no():
    assert ask(license="InC", allows=(Use.TATTOO, Use.SHOW_TATTOO, Use.SHOW_REFERENCE)) == "no no no"


def test_a_right_ends_after_its_last_day():
    fields = {"license": "own-work"}
    assert ask(**fields, expires=TODAY) == "yes yes yes"
    assert ask(**fields, expires=TODAY - dt.timedelta(days=1)) == "no no hold"


AI = {"digital_source": "trainedAlgorithmicMedia"}
TERMS = {"ai_system": "Sample 2", "ai_terms": "https://example.org/terms"}


def test_a_model_whose_system_and_terms_are_not_recorded_is_a_question():
    assert ask(license="own-work", **AI) == "hold hold yes"


def test_a_model_whose_system_and_terms_are_recorded_may_be_used():
    assert ask(license="own-work", **AI, **TERMS) == "yes hold yes"


def test_terms_of_a_model_are_a_recorded_right():
    assert answers(Reference(**AI, **TERMS), today=TODAY).kind is RightKind.AI


@pytest.mark.parametrize(
    "source", ["trainedAlgorithmicMedia", "compositeWithTrainedAlgorithmicMedia", "compositeSynthetic"]
)
def test_pictures_a_trained_model_had_a_part_in_are_known_by_their_source_type(source):
    address = f"http://cv.iptc.org/newscodes/digitalsourcetype/{source}"
    assert answers(Reference(digital_source=address), today=TODAY).is_ai


def test_procedural_pictures_need_no_label():
    assert not answers(Reference(digital_source="algorithmicMedia"), today=TODAY).is_ai


@pytest.mark.parametrize(
    ("likeness", "expected"),
    [
        (None, "yes yes yes"),
        (Likeness.NONE, "yes yes yes"),
        (Likeness.CLIENT, "yes yes yes"),
        (Likeness.CONSENTED, "yes yes yes"),
        (Likeness.PUBLIC_FIGURE, "hold no no"),
        (Likeness.UNKNOWN, "hold no no"),
        (Likeness.MINOR, "hold no no"),
    ],
)
def test_a_recognisable_person_counts_beside_the_licence(likeness, expected):
    assert ask(license="CC0-1.0", likeness=likeness) == expected


def test_only_the_picture_of_a_minor_is_a_firm_no():
    firm = {
        likeness: answers(Reference(license="CC0-1.0", likeness=likeness), today=TODAY).show_piece.firm
        for likeness in (Likeness.MINOR, Likeness.UNKNOWN)
    }
    assert firm == {Likeness.MINOR: True, Likeness.UNKNOWN: False}


def test_every_no_and_every_question_has_a_reason():
    for license_word in ("InC", "stock", "CC-BY-SA-4.0", "UND", None):
        right = answers(Reference(license=license_word), today=TODAY)
        assert all(ruling.reasons for ruling in (right.use, right.show_reference, right.show_piece))
