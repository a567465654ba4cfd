"""Whom a question goes to, and the order in which questions are worked off."""

import pytest

from archgen.findings import Finding, Place, Severity
from archgen.records import model
from archgen.rules.asking import Asked, sort_questions, whom_to_ask
from archgen.wording.questions import ASKED_WORDS, asked_words
from tests.builders import make_piece, make_record, paper_catalogue


def finding(code, piece=None, key="", severity=Severity.WARNING):
    place = Place("pieces/x/piece.toml", 1)
    return Finding(code, severity, piece.id if piece else None, place, "Problem.", "Remedy.", key)


@pytest.mark.parametrize(
    ("code", "asked"),
    [
        ("batch.recalled", Asked.EVENT),
        ("batch.expired", Asked.LABEL),
        ("needle.expired", Asked.LABEL),
        ("record.unknown-ink", Asked.LABEL),
        ("record.unknown-client", Asked.MYSELF),
        ("release.not-asked", Asked.CLIENT),
        ("release.not-yet", Asked.MYSELF),
        ("release.empty-paper", Asked.MYSELF),
        ("followup.touch-up", Asked.CLIENT),
        ("rights.missing", Asked.MAKER),
        ("rights.seems-from", Asked.MYSELF),
        ("rights.used-after-all", Asked.MYSELF),
        ("rights.no-evidence", Asked.MYSELF),
        ("rights.circular", Asked.MYSELF),
        ("rights.override-not-yet", Asked.MYSELF),
        ("rights.same-picture", Asked.MYSELF),
        ("embedded.license", Asked.MAKER),
        ("embedded.unread", Asked.MYSELF),
        ("piece.no-size", Asked.MYSELF),
        ("other-package.something", Asked.MYSELF),
    ],
)
def test_each_code_has_its_address(code, asked):
    assert whom_to_ask(finding(code), None) is asked


def piece_with(*references):
    return make_piece(record=make_record(reference=references, client="C-0042"))


def test_what_the_client_brought_is_asked_of_the_client():
    piece = piece_with(model.Reference(license="own-work"), model.Reference(license="Client-supplied"))
    assert whom_to_ask(finding("rights.ask", piece, "reference.1.license"), piece) is Asked.CLIENT
    assert whom_to_ask(finding("rights.ask", piece, "reference.0.license"), piece) is Asked.MAKER
    assert whom_to_ask(finding("rights.ask", piece, "rights_override"), piece) is Asked.MAKER
    assert whom_to_ask(finding("rights.ask", piece, "reference.7"), piece) is Asked.MAKER


def test_a_likeness_of_the_client_is_asked_of_the_client_and_a_right_of_the_maker():
    piece = piece_with(model.Reference(license="CC-BY-4.0", likeness=model.Likeness.CLIENT))
    assert whom_to_ask(finding("rights.likeness", piece, "reference.0.likeness"), piece) is Asked.CLIENT
    assert whom_to_ask(finding("rights.missing", piece, "reference.0.license"), piece) is Asked.MAKER


def test_questions_stand_by_address_and_worst_first(tmp_path):
    one = make_piece("a", record=make_record(client="C-0002"))
    two = make_piece("b", record=make_record(client="C-0001"))
    none = make_piece("c", record=make_record(client=None))
    found = [
        finding("piece.no-size", one, severity=Severity.NOTE),
        finding("release.not-asked", none),
        finding("release.not-asked", one),
        finding("release.refused", one, severity=Severity.ERROR),
        finding("release.not-asked", two),
        finding("rights.missing", one),
        finding("batch.expired", one),
        finding("batch.recalled"),
    ]
    sorted_out = sort_questions(found, paper_catalogue(tmp_path, one, two, none))
    assert [(questions.asked, questions.client) for questions in sorted_out] == [
        (Asked.EVENT, None),
        (Asked.CLIENT, "C-0001"),
        (Asked.CLIENT, "C-0002"),
        (Asked.CLIENT, None),
        (Asked.MAKER, None),
        (Asked.LABEL, None),
        (Asked.MYSELF, None),
    ]
    assert [f.code for f in sorted_out[2].findings] == ["release.refused", "release.not-asked"]
    assert sum(len(questions.findings) for questions in sorted_out) == len(found)


def test_every_address_has_words_and_a_client_its_code(tmp_path):
    assert set(ASKED_WORDS) == set(Asked)
    piece = make_piece(record=make_record(client="C-0042"))
    (questions,) = sort_questions([finding("release.refused", piece)], paper_catalogue(tmp_path, piece))
    assert "C-0042" in asked_words(questions)


def test_one_person_in_two_spellings_is_one_address(tmp_path):
    one = make_piece("a", record=make_record(client="C-0007"))
    two = make_piece("b", record=make_record(client="c0007"))
    found = [finding("release.refused", piece) for piece in (one, two)]
    (questions,) = sort_questions(found, paper_catalogue(tmp_path, one, two))
    assert (questions.client, len(questions.findings)) == ("C-0007", 2)
