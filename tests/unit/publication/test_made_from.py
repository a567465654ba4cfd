"""Merged and edited references: the strictest answer of all they were made from counts."""

import pytest

from archgen.publication.decision import decide_publication
from archgen.publication.gate import Answer, LiftedBy, RightKind
from archgen.publication.reference_rights import rights_of
from archgen.records.made_from import MadeFrom
from archgen.records.model import Likeness, Reference, Use
from tests.builders import make_piece, make_record, paper_catalogue

OWN = {"license": "own-work"}
LINK = "https://example.org/face"
AI_EDIT = {
    "digital_source": "compositeWithTrainedAlgorithmicMedia",
    "ai_system": "Sample 2",
    "ai_terms": "https://example.org/terms",
}


def ref(name, *made_from, **fields):
    return Reference(file=f"references/{name}.jpg", made_from=made_from, **fields)


def file(name):
    return f"references/{name}.jpg"


def rights(tmp_path, *references):
    piece = make_piece(record=make_record(reference=references))
    return rights_of(piece, paper_catalogue(tmp_path, piece))


def shown(tmp_path, *references):
    piece = make_piece(record=make_record(reference=references))
    return decide_publication(piece, paper_catalogue(tmp_path, piece)).shown


@pytest.mark.parametrize(
    ("source", "answer"),
    [
        ({"license": "own-work"}, Answer.YES),
        ({"license": "CC-BY-4.0", "creator": "A"}, Answer.YES),
        ({"license": "CC-BY-SA-4.0", "creator": "A"}, Answer.HOLD),
        ({"license": "InC"}, Answer.NO),
        ({}, Answer.NO),
    ],
)
@pytest.mark.parametrize("own", [{}, OWN, AI_EDIT, {**AI_EDIT, **OWN}], ids=["silent", "own", "edit", "own edit"])
def test_what_was_made_from_another_answers_as_the_other(tmp_path, own, source, answer):
    merged, _ = rights(tmp_path, ref("merged", file("a"), **own), ref("a", **source))
    assert merged.picture.show_piece.answer is answer


def test_the_strictest_of_all_sources_counts_and_its_reason_is_named(tmp_path):
    merged, *_ = rights(tmp_path, ref("merged", file("a"), file("b")), ref("a", **OWN), ref("b", license="InC"))
    assert merged.use.answer is merged.show_piece.answer is Answer.NO
    assert merged.show_piece.reasons[0].startswith("references/b.jpg: ")


def test_its_own_right_counts_too(tmp_path):
    merged, _ = rights(tmp_path, ref("merged", file("a"), license="InC"), ref("a", **OWN))
    assert merged.show_piece.answer is Answer.NO


def test_a_yes_names_the_grounds_of_all_sources(tmp_path):
    merged, *_ = rights(
        tmp_path, ref("merged", file("a"), file("b")), ref("a", **OWN), ref("b", license="CC0-1.0", likeness=None)
    )
    assert merged.show_piece.answer is Answer.YES
    assert [reason.partition(":")[0] for reason in merged.show_piece.reasons] == [file("a"), file("b")]


def test_sources_of_sources_count(tmp_path):
    merged, *_ = rights(tmp_path, ref("c", file("b")), ref("b", file("a"), **OWN), ref("a", license="InC"))
    assert merged.show_piece.answer is Answer.NO
    assert [node.name for node in merged.sources] == [file("b")]
    assert [node.name for node in merged.sources[0].sources] == [file("a")]
    assert merged.sources[0].sources[0].answer is Answer.NO


def test_a_source_may_be_a_link_of_which_no_file_is_kept(tmp_path):
    merged, _ = rights(tmp_path, ref("merged", LINK), Reference(source=f"{LINK}/", license="InC"))
    assert merged.show_piece.answer is Answer.NO
    assert merged.sources[0].name == f"{LINK}/"


def test_a_source_that_is_described_nowhere_is_no_right_recorded(tmp_path):
    (merged,) = rights(tmp_path, ref("merged", file("none"), **OWN))
    assert merged.use.answer is Answer.HOLD
    assert merged.show_piece.answer is Answer.NO
    assert merged.show_piece.lifted_by is LiftedBy.SETTING
    assert [(node.name, node.answer) for node in merged.sources] == [(file("none"), Answer.NO)]


@pytest.mark.parametrize(
    "references",
    [
        (ref("a", file("a"), **OWN),),
        (ref("a", file("b"), **OWN), ref("b", file("a"), **OWN)),
        (ref("a", file("b"), **OWN), ref("b", file("c"), **OWN), ref("c", file("b"), **OWN)),
    ],
)
def test_what_was_made_from_itself_is_an_error_that_nothing_lifts(tmp_path, references):
    for right in rights(tmp_path, *references):
        assert right.show_piece.answer is Answer.NO
        assert right.show_piece.lifted_by is LiftedBy.NOTHING


def test_a_long_chain_ends(tmp_path):
    chain = [ref(f"{n}", file(f"{n + 1}"), **OWN) for n in range(300)]
    first, *_ = rights(tmp_path, *chain, ref("300", license="InC"))
    assert first.show_piece.answer is Answer.NO


def test_a_person_in_a_source_is_a_person_in_what_was_made_from_it(tmp_path):
    merged, _ = rights(
        tmp_path, ref("merged", file("a"), likeness=Likeness.NONE), ref("a", **OWN, likeness=Likeness.MINOR)
    )
    assert merged.picture.show_piece.answer is Answer.YES
    assert merged.person.show_piece.answer is Answer.NO


def test_of_a_merged_portrait_only_what_it_was_made_from_is_asked_about(tmp_path):
    answered = (ref("merged", file("a"), **OWN), ref("a", **OWN, likeness=Likeness.CONSENTED))
    for likeness, expected in ((Likeness.CONSENTED, True), (None, False)):
        sources = (answered[0], ref("a", **OWN, likeness=likeness))
        piece = make_piece(record=make_record(reference=sources, subjects=("portrait",)))
        assert decide_publication(piece, paper_catalogue(tmp_path, piece)).shown is expected


def test_an_edit_of_which_the_original_is_not_recorded_is_held(tmp_path):
    (edit,) = rights(tmp_path, ref("edit", **AI_EDIT))
    assert edit.kind is RightKind.EDIT
    assert not shown(tmp_path, ref("edit", **AI_EDIT))
    assert not shown(tmp_path, ref("edit", digital_source="composite", **OWN))
    assert not shown(tmp_path, ref("edit", digital_source=AI_EDIT["digital_source"], **OWN))
    assert shown(tmp_path, ref("edit", file("a"), **AI_EDIT, **OWN), ref("a", **OWN))
    assert not shown(tmp_path, ref("edit", file("a"), **AI_EDIT, **OWN), ref("a", license="InC"))


def test_own_work_with_a_model_in_it_stands_on_both_words_and_names_them(tmp_path):
    (edit,) = rights(tmp_path, ref("edit", **AI_EDIT, **OWN))
    assert edit.show_piece.answer is Answer.YES
    assert edit.show_piece.reasons == (
        "Own work, and the terms of Sample 2 (https://example.org/terms), as recorded. Say that a trained model was "
        "used.",
    )
    assert shown(tmp_path, ref("edit", **AI_EDIT, **OWN))


# ---------------------------------------------------------------- looked at is not drawn from


def test_what_was_only_looked_at_keeps_nothing_in(tmp_path):
    assert not shown(tmp_path, ref("a", license="InC"), ref("b", **OWN))
    assert shown(tmp_path, ref("a", license="InC", used=False), ref("b", **OWN))
    assert shown(tmp_path, ref("a", license="InC", used=False, likeness=Likeness.UNKNOWN), ref("b", **OWN))


def test_a_reference_that_stands_twice_is_used_when_one_entry_says_so(tmp_path):
    twice = (ref("a", license="InC", used=False), ref("a", **OWN))
    assert [right.counts for right in rights(tmp_path, *twice)] == [True, True]
    assert not shown(tmp_path, *twice)
    assert shown(tmp_path, ref("a", license="InC", used=False), ref("b", **OWN))


def test_what_was_only_looked_at_counts_when_what_was_drawn_from_is_made_from_it(tmp_path):
    references = (ref("merged", file("a")), ref("a", license="InC", used=False))
    assert [right.counts for right in rights(tmp_path, *references)] == [True, True]
    assert not shown(tmp_path, *references)


def test_what_lies_behind_something_unused_does_not_count(tmp_path):
    references = (ref("merged", file("a"), used=False), ref("a", license="InC", used=False), ref("b", **OWN))
    assert [right.counts for right in rights(tmp_path, *references)] == [False, False, True]
    assert shown(tmp_path, *references)


def test_what_is_allowed_of_a_source_counts_for_what_was_made_from_it(tmp_path):
    letter = ref("a", permission="references/letter.pdf", allows=(Use.TATTOO, Use.SHOW_TATTOO))
    merged, _ = rights(tmp_path, ref("merged", file("a")), letter)
    assert (merged.use.answer, merged.show_reference.answer, merged.show_piece.answer) == (
        Answer.YES,
        Answer.NO,
        Answer.YES,
    )


def test_names_are_found_however_an_accent_is_stored():
    made = MadeFrom((Reference(file="references/e\u0301.jpg"), Reference(made_from=("references/\u00e9.jpg",))))
    assert made.direct(1) == (0,)
    assert made.unknown(1) == ()


def test_two_references_of_one_link_are_both_a_source():
    made = MadeFrom((Reference(source=LINK), Reference(source=LINK), Reference(made_from=(LINK, LINK))))
    assert made.direct(2) == (0, 1)
