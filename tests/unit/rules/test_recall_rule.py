"""A recall is one event: one finding of the archive, as long as somebody is to be told or a label to be looked at."""

import datetime as dt

import pytest

from archgen.findings import Severity
from archgen.pieces.survey import survey
from archgen.records import model
from archgen.rules.rule import ArchiveRule, Hit
from archgen.rules.runner import record_rules, run_rules
from tests.builders import make_piece, make_record, paper_catalogue

BOTTLE = model.InkBatch(batch="GW2-2231", recalled=dt.date(2026, 5, 2))


def worn(name, batch="GW2-2231", client="C-1"):
    return make_piece(name, make_record(title=name.title(), ink=(model.Ink(batch=batch),), client=client))


def told(*clients):
    return tuple(model.Told(batch="GW2-2231", client=client, date=dt.date(2026, 5, 4)) for client in clients)


def events(tmp_path, *pieces, bottles=(BOTTLE,), **changes):
    inks = {bottle.batch: bottle for bottle in bottles}
    catalogue = paper_catalogue(tmp_path, *pieces, inks=inks, clients={}, **changes)
    return [finding for finding in run_rules(survey(catalogue)) if finding.code == "batch.recalled"]


def test_one_recall_is_one_finding_of_the_archive_with_its_pieces_and_clients(tmp_path):
    pieces = (
        worn("owl", "gw2 2231"),
        worn("moth", "lot GW2-2231", "c1"),
        worn("fern", "BK-1, GW2-2231", "C-2"),
        worn("koi", "GW02-2231", "C-3"),
        worn("boat", "GW2-2231", "C-4"),
    )
    (event,) = events(tmp_path, *pieces, worn("other", "BK-1", "C-9"), ink_lines={"GW2-2231": 49})
    assert (event.piece, event.severity, event.place.file, event.place.line) == (
        None, Severity.WARNING, "inks.toml", 49,
    )  # fmt: skip
    assert event.problem == "GW2-2231 recalled 2 May 2026: 5 pieces, 4 clients to tell."
    assert "C-4 (Boat), C-2 (Fern), C-3 (Koi), C-1 (Moth, Owl)." in event.remedy
    assert "archgen trace GW2-2231 --told" in event.remedy


def test_those_who_were_told_are_counted_out(tmp_path):
    pieces = (worn("owl"), worn("moth", client="C-2"), worn("fern", client="C-3"))
    (event,) = events(tmp_path, *pieces, told=told("C-1", "c3"))
    assert event.problem == "GW2-2231 recalled 2 May 2026: 3 pieces, 1 of 3 clients to tell."
    assert "C-2 (Moth)" in event.remedy
    assert "C-1" not in event.remedy


def test_a_recall_is_over_when_everybody_was_told(tmp_path):
    assert events(tmp_path, worn("owl"), worn("moth", client="C-2"), told=told("C-1", "C-2")) == []


@pytest.mark.parametrize(
    "bottle", [model.InkBatch(batch="GW2-2231"), model.InkBatch(batch="ZZ-1", recalled=BOTTLE.recalled)]
)
def test_without_a_recall_or_a_wearer_there_is_no_event(tmp_path, bottle):
    assert events(tmp_path, worn("owl"), bottles=(bottle,)) == []


def test_a_near_number_keeps_the_event_until_its_label_was_looked_at(tmp_path):
    pieces = (worn("owl"), worn("slip", "GW2-2213", "C-2"))
    (event,) = events(tmp_path, *pieces, told=told("C-1"))
    assert event.problem == "GW2-2231 recalled 2 May 2026: everybody was told, 1 piece with almost the same number."
    assert "GW2-2213 (Slip)" in event.remedy
    assert "--told" not in event.remedy
    known = model.InkBatch(batch="GW2-2213")
    assert events(tmp_path, *pieces, bottles=(BOTTLE, known), told=told("C-1")) == []


def test_a_near_number_alone_is_an_event_too(tmp_path):
    (event,) = events(tmp_path, worn("slip", "GW2-2213"))
    assert event.problem == "GW2-2231 recalled 2 May 2026: 1 piece with almost the same number."


def test_pieces_without_a_client_are_counted(tmp_path):
    (event,) = events(tmp_path, worn("owl"), worn("moth", client=None))
    assert event.problem == "GW2-2231 recalled 2 May 2026: 2 pieces, 1 client to tell, 1 piece without a client."
    assert "whoever wears (Moth)" not in event.remedy
    assert "whoever wears Moth" in event.remedy


def test_of_many_people_the_first_are_named(tmp_path):
    (event,) = events(tmp_path, *(worn(f"p{n:02}", client=f"C-{n:02}") for n in range(1, 12)))
    assert "C-08 (P08) and 3 more." in event.remedy
    assert "C-09" not in event.remedy


def test_two_recalls_are_two_events(tmp_path):
    other = model.InkBatch(batch="BK-1", recalled=BOTTLE.recalled)
    assert len(events(tmp_path, worn("owl"), worn("moth", "BK-1"), bottles=(BOTTLE, other))) == 2


def test_a_strange_number_stands_in_quotes_in_the_command(tmp_path):
    bottle = model.InkBatch(batch="A $B", recalled=BOTTLE.recalled)
    (event,) = events(tmp_path, worn("owl", "A $B"), bottles=(bottle,))
    assert "archgen trace 'A $B' --told" in event.remedy


def test_a_recall_is_told_before_any_picture_is_opened():
    assert "batch.recalled" in {rule.code for rule in record_rules()}


def test_a_rule_of_the_archive_that_names_no_file_points_at_the_settings(tmp_path):
    rule = ArchiveRule(
        "studio.empty", Severity.NOTE, "x.", lambda _: iter([Hit("p", "r"), Hit("q", "r", severity=Severity.ERROR)])
    )
    found = run_rules(survey(paper_catalogue(tmp_path, worn("owl"))), [rule])
    assert [(one.place.file, one.place.line, one.severity) for one in found] == [
        ("archive.toml", None, Severity.ERROR),
        ("archive.toml", None, Severity.NOTE),
    ]


@pytest.mark.parametrize("written", [None, "unknown", "see label photo", "?"])
def test_words_instead_of_a_number_are_no_record_of_a_batch(tmp_path, written):
    piece = make_piece("owl", make_record(ink=(model.Ink(batch=written, name="white"),)))
    codes = {finding.code for finding in run_rules(survey(paper_catalogue(tmp_path, piece)))}
    assert "batch.not-recorded" in codes


@pytest.mark.parametrize("written", ["GW2-2231", "lot BK-1", "GW2-2231?"])
def test_a_number_is_a_record_of_a_batch(tmp_path, written):
    piece = make_piece("owl", make_record(ink=(model.Ink(batch=written, name="white"),)))
    codes = {finding.code for finding in run_rules(survey(paper_catalogue(tmp_path, piece)))}
    assert "batch.not-recorded" not in codes
