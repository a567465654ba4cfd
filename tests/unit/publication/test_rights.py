"""The gate's table: every row, what is asked beside it, and what settles a question.

Rows: Creative Commons 4.0 deeds and legal code section 2(b)(1); RightsStatements.org 1.0, the English definitions;
IPTC NewsCodes digitalsourcetype; the others common practice.
"""

import datetime as dt

import pytest

from archgen.publication.gate import Answer, LiftedBy, PersonAnswer, RightKind, SettledBy
from archgen.publication.gate_questions import PEOPLE
from archgen.publication.gate_table import KIND_OF_WORD, TABLE
from archgen.publication.reference_rights import rights_of
from archgen.publication.rights import PictureRight, Ruling, answers_of_row, picture_right
from archgen.records.model import Piece, Reference, Use
from archgen.records.vocabulary.licences import PLAIN_WORDS, RIGHTS_STATEMENTS
from tests.builders import TODAY, paper_catalogue

NOTHING_RECORDED = {
    RightKind.AI_NO_TERMS, RightKind.EDIT, RightKind.UNKNOWN, RightKind.MISSING, RightKind.NO_PAPER,
    RightKind.UNDESCRIBED, RightKind.NO_SUCH_SOURCE, RightKind.NOT_YET, RightKind.NOT_UNDERSTOOD, RightKind.CIRCULAR,
}  # fmt: skip
LETTER = "references/letter.pdf"
ALL = (Use.TATTOO, Use.SHOW_REFERENCE, Use.SHOW_TATTOO)
DAY = dt.timedelta(days=1)
AI = {"digital_source": "trainedAlgorithmicMedia"}
EDIT = {"digital_source": "compositeWithTrainedAlgorithmicMedia"}
TERMS = {"ai_system": "Sample 2", "ai_terms": "https://example.org/terms"}


def test_a_yes_beside_a_question_makes_it_no_stricter():
    asked, granted = Ruling(Answer.HOLD, ("ask",), LiftedBy.OVERRIDE), Ruling(Answer.YES, ("ok",), LiftedBy.NOTHING)
    assert asked.worse(granted) == granted.worse(asked) == asked


@pytest.mark.parametrize("kind", RightKind)
def test_a_right_is_recorded_where_something_could_carry_a_yes(kind):
    answers = answers_of_row(kind)
    right = PictureRight(kind, answers, answers)
    assert right.is_recorded is (kind not in NOTHING_RECORDED)
    assert (right.needs_credit, right.is_ai) == (False, False)  # unless the record says so


def right_of(**fields):
    return picture_right(Reference(**fields), today=TODAY)


def ask(**fields):
    answers = right_of(**fields).answers
    return " ".join(ruling.answer.value for ruling in (answers.use, answers.show_reference, answers.show_piece))


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"license": "own-work"}, "yes yes yes"),
        ({"license": "permission", "permission": LETTER}, "hold hold hold"),
        ({"permission": LETTER}, "hold hold hold"),
        ({"license": "commissioned"}, "hold no hold"),
        ({"license": "commissioned", "permission": LETTER}, "hold hold hold"),
        ({"license": "client-supplied"}, "hold no hold"),
        ({"license": "stock", "permission": LETTER}, "hold hold hold"),
        ({"license": "stock", "rights_url": "https://example.org/terms"}, "hold no hold"),
        ({"license": "CC0-1.0"}, "yes yes yes"),
        ({"license": "CC-PDM-1.0"}, "yes yes yes"),
        ({"license": "PDDL-1.0"}, "yes yes yes"),
        ({"license": "CC-BY-4.0", "creator": "A"}, "yes yes yes"),
        ({"license": "CC-BY-3.0-DE", "creator": "A"}, "yes yes yes"),
        ({"license": "CC-BY-SA-4.0", "creator": "A"}, "yes yes hold"),
        ({"license": "CC-BY-NC-4.0", "creator": "A"}, "hold no no"),
        ({"license": "CC-BY-NC-SA-4.0", "creator": "A"}, "hold no no"),
        ({"license": "CC-BY-ND-4.0", "creator": "A"}, "hold yes no"),
        ({"license": "CC-BY-NC-ND-4.0", "creator": "A"}, "hold no no"),
        ({"license": "InC"}, "no no no"),
        ({"license": "InC-OW-EU"}, "hold no hold"),
        ({"license": "InC-EDU"}, "hold no hold"),
        ({"license": "InC-NC"}, "hold no no"),
        ({"license": "InC-RUU"}, "hold no hold"),
        ({"license": "NoC-CR"}, "hold no hold"),
        ({"license": "NoC-NC"}, "hold no no"),
        ({"license": "NoC-OKLR"}, "hold no hold"),
        ({"license": "NoC-US"}, "hold hold hold"),
        ({"license": "CNE"}, "hold no hold"),
        ({"license": "UND"}, "hold no hold"),
        ({"license": "NKC"}, "hold no hold"),
        ({"license": "all-rights-reserved"}, "no no no"),
        ({"license": "InC", "permission": LETTER}, "hold hold hold"),
        ({"license": "CC-BY-NC-4.0", "creator": "A", "permission": LETTER}, "hold hold hold"),
        ({"license": "MIT"}, "hold no hold"),
        ({}, "hold no no"),
        ({"license": "unknown"}, "hold no no"),
        ({"license": "CC-BY-99"}, "hold no no"),
        ({"license": "permission"}, "hold no no"),
        ({"license": "stock"}, "hold no no"),
        ({"license": "stock", "rights_url": "see drawer", "allows": ALL}, "hold no no"),
        ({**AI}, "hold no hold"),
        ({**AI, **TERMS}, "yes hold yes"),
        ({**AI, "license": "own-work"}, "hold no hold"),
        ({**AI, "license": "own-work", "permission": LETTER}, "hold hold hold"),
        ({**AI, **TERMS, "license": "own-work"}, "yes hold yes"),
        ({**AI, **TERMS, "license": "InC"}, "no no no"),
        ({**EDIT}, "hold no no"),
        ({**EDIT, **TERMS}, "hold no no"),
        ({**EDIT, **TERMS, "license": "own-work"}, "yes hold yes"),
        ({**EDIT, **TERMS, "license": "own-work", "allows": ALL}, "yes yes yes"),
        ({**EDIT, **TERMS, "license": "own-work", "allows": (Use.TATTOO,)}, "yes no no"),
        ({**EDIT, "license": "own-work"}, "hold no hold"),
        ({**EDIT, "license": "own-work", "ai_system": "Sample 2"}, "hold no hold"),
        ({**TERMS, "license": "own-work"}, "yes hold yes"),
        ({**TERMS, "license": "own-work", "digital_source": "composite"}, "yes hold yes"),
        ({**TERMS, "license": "own-work", "digital_source": "compositeSynthetic"}, "yes hold yes"),
        ({**TERMS, "digital_source": "compositeSynthetic"}, "hold no no"),
        ({**TERMS, "license": "client-supplied", "digital_source": "compositeSynthetic"}, "hold no hold"),
        ({**EDIT, **TERMS, "license": "CC-BY-4.0", "creator": "A"}, "yes hold yes"),
        ({**EDIT, "license": "CC-BY-4.0", "creator": "A"}, "hold hold yes"),
        ({"ai_system": "Sample 2", "license": "own-work"}, "hold no hold"),
        ({"digital_source": "compositeSynthetic", "license": "own-work"}, "hold no hold"),
        ({"digital_source": "composite", "license": "own-work"}, "hold no no"),
        ({"digital_source": "compositeCapture", "license": "own-work"}, "hold no no"),
        ({"digital_source": "algorithmicallyEnhanced", "license": "own-work"}, "yes yes yes"),
        ({"digital_source": "algorithmicMedia", "license": "own-work"}, "yes yes yes"),
        ({"digital_source": "screenCapture", "license": "own-work"}, "hold hold hold"),
        ({"digital_source": "screenCapture", "license": "own-work", "creator": "A"}, "yes yes yes"),
        ({**EDIT, **TERMS, "made_from": ("references/a.jpg",)}, "yes hold yes"),
        ({"made_from": ("references/a.jpg",)}, "yes yes yes"),  # what it was made from is asked beside it
        ({"license": "own-work", "made_from": ("references/a.jpg",)}, "yes yes yes"),
        ({"license": "InC", "made_from": ("references/a.jpg",)}, "no no no"),
    ],
)
def test_the_table_answers(fields, expected):
    assert ask(**fields) == expected


def test_every_rights_statement_has_a_row_and_sentences_of_its_own():
    rows = [TABLE[KIND_OF_WORD[word]] for word in RIGHTS_STATEMENTS]
    assert len({id(row) for row in rows}) == 12
    for cell in ("use", "show_reference", "show_piece"):
        assert len({getattr(row, cell).words for row in rows}) == 12
    assert all(word in row.source for word, row in zip(RIGHTS_STATEMENTS, rows, strict=True))


def test_every_word_a_record_may_use_has_its_row():
    assert set(KIND_OF_WORD) == {*PLAIN_WORDS, *RIGHTS_STATEMENTS, "CC-PDM-1.0"}
    assert set(TABLE) == set(RightKind)
    assert set(PEOPLE) == set(PersonAnswer)


@pytest.mark.parametrize("kind", RightKind)
def test_a_row_says_why_what_could_change_it_and_where_it_is_from(kind):
    row = TABLE[kind]
    for cell in (row.use, row.show_reference, row.show_piece):
        assert cell.answer is Answer.YES or cell.words
    says_yes = Answer.YES in {cell.answer for cell in (row.use, row.show_reference, row.show_piece)}
    assert row.changed_by
    assert row.source
    assert row.rests_on or not says_yes


@pytest.mark.parametrize("kind", RightKind)
def test_nobody_is_told_yes_about_showing_what_may_not_even_be_drawn_after(kind):
    row = TABLE[kind]
    assert row.use.answer is not Answer.NO or row.show_piece.answer is Answer.NO


# ---------------------------------------------------------------- what a paper and a recorded answer give


@pytest.mark.parametrize(
    "word", [None, "permission", "commissioned", "client-supplied", "stock", "unknown", "InC", "MIT"]
)
def test_a_paper_gives_only_what_is_recorded_of_it(word):
    fields = {"license": word, "permission": LETTER}
    assert "yes" not in ask(**fields)
    assert ask(**fields, allows=(Use.TATTOO,)) == "yes no no"
    assert ask(**fields, allows=(Use.TATTOO, Use.SHOW_TATTOO)) == "yes no yes"
    assert ask(**fields, allows=ALL) == "yes yes yes"
    assert ask(**fields, allows=()) == "no no no"


def test_a_letter_that_is_not_there_gives_nothing():
    right = picture_right(Reference(permission=LETTER, allows=ALL), today=TODAY, evidence_exists=False)
    assert right.kind is RightKind.MISSING
    assert right.answers.show_piece.answer is Answer.NO


@pytest.mark.parametrize("word", ["client-supplied", "commissioned", "CC-BY-SA-4.0", "NoC-US", "InC-EDU", "UND", "MIT"])
def test_the_recorded_answer_settles_an_open_question(word):
    fields = {"license": word, "creator": "A"}
    assert ask(**fields, allows=(Use.TATTOO, Use.SHOW_TATTOO)).split()[2] == "yes"
    assert ask(**fields, allows=(Use.TATTOO,)).split()[2] == "no"


@pytest.mark.parametrize(
    "word", ["InC", "all-rights-reserved", "CC-BY-NC-4.0", "CC-BY-ND-4.0", "NoC-NC", "unknown", None]
)
def test_the_recorded_answer_alone_lifts_no_no(word):
    assert ask(license=word, creator="A", allows=ALL).split()[2] == "no"


@pytest.mark.parametrize("word", ["own-work", "CC0-1.0", "CC-BY-4.0"])
def test_what_is_recorded_as_not_allowed_is_not_allowed_whatever_the_right(word):
    assert ask(license=word, creator="A", allows=()) == "no no no"
    assert ask(license=word, creator="A", allows=(Use.TATTOO,)) == "yes no no"


def test_a_word_that_is_not_known_is_settled_and_lifted_by_nothing():
    fields = {"license": "CC-BY-99", "permission": LETTER, "allows": ALL}
    assert ask(**fields) == "hold no no"
    assert right_of(**fields).answers.show_piece.lifted_by is LiftedBy.NOTHING
    assert right_of(license=None).answers.show_piece.lifted_by is LiftedBy.SETTING


def test_what_is_not_understood_is_settled_and_lifted_by_nothing():
    right = picture_right(Reference(license="own-work", allows=ALL), today=TODAY, understood=False)
    assert right.kind is RightKind.NOT_UNDERSTOOD
    assert right.answers.show_piece.lifted_by is LiftedBy.NOTHING


@pytest.mark.parametrize("allows", [None, ALL])
def test_only_a_creator_answers_for_missing_credit(allows):
    assert ask(license="CC-BY-4.0", allows=allows) == "yes hold hold"
    assert ask(license="CC-BY-4.0", allows=allows, creator="A") == "yes yes yes"


def test_only_a_maker_answers_for_a_picture_of_a_screen():
    assert ask(license="own-work", digital_source="screenCapture", allows=ALL) == "hold hold hold"


def test_the_question_about_showing_what_a_model_made_can_be_answered():
    assert ask(**AI, **TERMS, allows=ALL) == "yes yes yes"
    assert ask(**EDIT, **TERMS, license="CC0-1.0", allows=ALL) == "yes yes yes"


# ---------------------------------------------------------------- dates


def test_a_right_counts_from_its_day_to_its_last():
    assert ask(license="own-work", obtained=TODAY) == "yes yes yes"
    assert ask(license="own-work", obtained=TODAY + DAY) == "hold no no"
    assert ask(license="own-work", expires=TODAY) == "yes yes yes"
    assert ask(license="own-work", expires=TODAY - DAY) == "no no no"


@pytest.mark.parametrize("dates", [{"obtained": TODAY + DAY}, {"expires": TODAY - DAY}])
def test_a_recorded_answer_does_not_reach_beyond_the_dates_of_a_letter(dates):
    assert ask(license="permission", permission=LETTER, allows=ALL, **dates).split()[2] == "no"


# ---------------------------------------------------------------- a yes names what it rests on


@pytest.mark.parametrize(
    ("fields", "named"),
    [
        ({"license": "CC-BY-4.0", "creator": "A", "obtained": dt.date(2025, 1, 11)}, ("CC BY 4.0", "11 Jan 2025")),
        ({"license": "own-work"}, ("Own work",)),
        (
            {"license": "permission", "permission": LETTER, "allows": ALL, "obtained": dt.date(2026, 3, 2)},
            ("Letter", "2 Mar 2026", "letter.pdf"),
        ),
        ({"license": "stock", "permission": LETTER, "allows": ALL}, ("Receipt", "letter.pdf")),
        ({"license": "client-supplied", "allows": ALL}, ("Your recorded answer", "nothing in writing")),
        (
            {"license": "stock", "rights_url": "https://example.org/t", "allows": ALL},
            ("Your recorded answer", "https://example.org/t"),
        ),
        ({**AI, **TERMS}, ("Sample 2", "https://example.org/terms")),
    ],
)
def test_a_yes_names_what_it_rests_on(fields, named):
    ruling = right_of(**fields).answers.show_piece
    assert ruling.answer is Answer.YES
    assert all(text in ruling.reasons[0] for text in named)


@pytest.mark.parametrize("use", Use)
def test_a_yes_of_a_letter_names_the_use_it_allows(use):
    answers = right_of(permission=LETTER, allows=(use,)).answers
    by_use = dict(zip(Use, (answers.use, answers.show_reference, answers.show_piece), strict=True))
    words = {Use.TATTOO: "the tattoo", Use.SHOW_REFERENCE: "the reference", Use.SHOW_TATTOO: "showing the tattoo"}
    assert by_use[use].reasons[0].endswith(f"{words[use]}.")


# ---------------------------------------------------------------- the model's label


@pytest.mark.parametrize(
    "source", ["trainedAlgorithmicMedia", "compositeWithTrainedAlgorithmicMedia", "compositeSynthetic"]
)
def test_pictures_a_trained_model_had_a_part_in_are_known_by_their_source_type(source):
    address = f"http://cv.iptc.org/newscodes/digitalsourcetype/{source}"
    assert right_of(digital_source=address).is_ai


def test_procedural_and_composed_pictures_need_no_label():
    assert not right_of(digital_source="algorithmicMedia").is_ai
    assert not right_of(digital_source="composite").is_ai


# ---------------------------------------------------------------- the stricter of two


def test_the_stricter_of_two_answers_counts_and_equal_ones_keep_both_reasons():
    yes, hold, no = (Ruling(answer, (answer.value,)) for answer in Answer)
    assert yes.worse(no).reasons == no.worse(yes).reasons == ("no",)
    assert hold.worse(yes) == hold
    assert hold.worse(Ruling(Answer.HOLD, ("more",))).reasons == ("hold", "more")


def test_what_nothing_lifts_is_not_lost_beside_a_no_that_can_be_lifted():
    stuck = answers_of_row(RightKind.CIRCULAR).use
    no = answers_of_row(RightKind.RESERVED).use
    for both in (stuck.worse(no), no.worse(stuck)):
        assert both.answer is Answer.NO
        assert both.lifted_by is LiftedBy.NOTHING
        assert set(both.reasons) == {*stuck.reasons, *no.reasons}


def test_rows_without_a_sound_word_are_settled_by_correcting_it():
    rows = {kind for kind, row in TABLE.items() if row.lifted_by is LiftedBy.NOTHING}
    assert rows == {RightKind.NOT_UNDERSTOOD, RightKind.CIRCULAR}
    assert all(TABLE[kind].settled_by is SettledBy.CORRECTION for kind in rows)


def test_a_record_that_cannot_be_read_has_no_rights(tmp_path):
    piece = Piece(id="owl", record=None)
    assert rights_of(piece, paper_catalogue(tmp_path, piece)) == ()
