"""Every answer writes what the record takes, and nothing it does not understand."""

import tomllib

import pytest

from archgen.answers.choices import _BY_CODE, answer_words, answers_to, question_of
from archgen.findings import Finding, Place, Severity
from archgen.pieces.followup import ASK_AGAIN_DAYS, follow_up
from archgen.records.schema import read_piece_record
from archgen.toml.lines import key_lines
from archgen.units import add_days
from archgen.writing.record_text import SetKey, edit_text
from tests.builders import make_piece
from tests.unit.desk.pens.desk import OWL, open_desk

# What a text typed into a field may be, by the last step of its way.
TYPED = {"date": "2026-03-01", "width": "40 mm", "expires": "2027-01-01", "obtained": "2026-01-01"}
KEYS = {
    "rights": "reference.0",
    "stencil": "stencil.0",
    "photo": "photo.0",
    "record": "ink.0.batch",
    "batch": "ink.0",
    "followup": "healing.0",
    "release": "release.status",
    "piece": "",
    "embedded": "reference.0",
}
RECORD = f'{OWL}\n[[healing]]\ndate = 2026-04-20\ntouch_up = true\n[rights_override]\nreason = "x"\n'


@pytest.fixture(scope="module")
def catalogue(read_archive):
    """The archive, with a look at the healing that wants a touch-up."""
    return open_desk(read_archive / "content", read_archive / "build").state.current.catalogue


def finding(code):
    special = {
        "piece.future-date": "finished",
        "release.not-yet": "release.date",
        "record.not-described": "photos/new.jpg",
    }
    key = special.get(code) or KEYS[code.partition(".")[0]]
    return Finding(code, Severity.WARNING, "owl", Place("pieces/owl/piece.toml", 1), "x", "y", key=key)


@pytest.mark.parametrize("code", sorted(_BY_CODE))
def test_every_answer_is_understood_by_the_reader(catalogue, code):
    answers = answers_to(question_of(finding(code), catalogue))
    assert answers or code == "batch.not-recorded"  # every ink of this record has its number
    for answer in answers:
        edits = list(answer.edits)
        if answer.typed:
            step = str(answer.typed[-1])
            day = tomllib.loads(f"d = {TYPED['date']}")["d"]
            value = day if answer.kind == "date" else TYPED.get(step, "words")
            if step == "region":
                value = "forearm-inner"
            edits.append(SetKey(answer.typed, value))
        assert edits, answer
        after = edit_text(RECORD, edits, "piece.toml")
        raw = tomllib.loads(after)
        raw.pop("x-mine")
        _, problems = read_piece_record(raw, key_lines(after))
        assert problems == [], (answer, after)
        assert answer.words
        assert bool(answer.lines) == bool(answer.edits)


def test_a_question_nobody_foresaw_has_no_answer_here(catalogue):
    assert answers_to(question_of(finding("embedded.more"), catalogue)) == ()


def test_a_file_that_no_table_describes_is_described(catalogue):
    place = Place("pieces/owl/references/new.jpg")
    one = Finding("rights.missing", Severity.ERROR, "owl", place, "x", "y")
    first = answers_to(question_of(one, catalogue))[0]
    assert first.lines == '[[reference]]\nfile = "references/new.jpg"\nlicense = "own-work"'


def test_a_stencil_that_no_table_describes_is_described(catalogue):
    one = Finding("record.not-described", Severity.NOTE, "owl", Place("x"), "x", "y", key="stencils/new.png")
    (answer,) = answers_to(question_of(one, catalogue))
    assert answer.lines == '[[stencil]]\nfile = "stencils/new.png"'


@pytest.mark.parametrize("key", ["sketches", "photos/letter.pdf", ""])
def test_a_finding_about_a_file_is_not_answered_by_writing_a_field(catalogue, key):
    one = Finding("record.misplaced", Severity.NOTE, "owl", Place("x"), "x", "y", key=key)
    assert answers_to(question_of(one, catalogue)) == ()


def test_several_findings_have_the_answers_that_all_of_them_have(catalogue):
    wanted, seen = finding("stencil.no-width"), finding("photo.no-stage")
    assert answer_words([seen], catalogue) == ("Fresh", "Healed", "In progress")
    assert answer_words([seen, seen], catalogue) == ("Fresh", "Healed", "In progress")
    assert answer_words([seen, wanted], catalogue) == ()


def test_a_healed_photo_that_was_asked_for_is_not_asked_about_for_a_while(catalogue):
    question = question_of(finding("followup.no-healed-photo"), catalogue)
    asked, none = answers_to(question)
    for answer, later, is_due in ((asked, ASK_AGAIN_DAYS - 1, False), (asked, ASK_AGAIN_DAYS, True), (none, 90, False)):
        raw = tomllib.loads(edit_text(OWL, answer.edits, "piece.toml"))
        raw.pop("x-mine")
        record, _ = read_piece_record(raw, {})
        day = add_days(question.today, later)
        found = follow_up(make_piece("owl", record), catalogue.config, day).due
        assert any(item.kind.value == "healed-photo" for item in found) is is_due
