"""A rule that fails, or a record over which working out fails, is a finding and hides nothing else."""

import pytest

from archgen.findings import Severity
from archgen.pieces import survey as surveying
from archgen.pieces.survey import survey
from archgen.rules.registry import RULES
from archgen.rules.rule import ArchiveRule, Hit, Rule
from archgen.rules.runner import run_rules
from tests.builders import make_piece, paper_catalogue


def three(tmp_path):
    return paper_catalogue(tmp_path, *(make_piece(id=name) for name in ("owl", "moth", "koi")))


def failing(_piece, _record, _catalogue):
    yield Hit("before it failed", "nothing")
    raise ZeroDivisionError("of nothing")


def failing_over_moth(piece, _record, _catalogue):
    if piece.id == "moth":
        raise KeyError("moth")
    yield Hit(f"seen {piece.id}", "nothing")


def failing_over_all(_catalogue):
    yield from ()
    raise RecursionError


def test_a_failing_rule_is_one_finding_a_piece_and_the_others_are_as_without_it(tmp_path):
    catalogue = survey(three(tmp_path))
    found = run_rules(catalogue, [Rule("x.fails", Severity.NOTE, "to fail", failing), *RULES])
    told = [finding for finding in found if finding.code == "rule.failed"]
    assert {finding.piece for finding in told} == {"owl", "moth", "koi"}
    assert all("x.fails" in finding.problem and "ZeroDivisionError" in finding.problem for finding in told)
    assert [finding for finding in found if finding not in told] == run_rules(catalogue)


def test_a_rule_that_fails_over_one_piece_checks_the_others(tmp_path):
    found = run_rules(survey(three(tmp_path)), [Rule("x.seen", Severity.NOTE, "to see", failing_over_moth)])
    told = {(finding.code, finding.piece) for finding in found}
    assert told == {("rule.failed", "moth"), ("x.seen", "koi"), ("x.seen", "owl")}


def test_a_failing_check_of_the_whole_archive_is_a_finding(tmp_path):
    rule = ArchiveRule("x.all", Severity.NOTE, "to fail", failing_over_all)
    (found,) = run_rules(survey(three(tmp_path)), [rule])
    assert (found.code, found.piece, found.severity) == ("rule.failed", None, Severity.ERROR)


@pytest.mark.parametrize("which", ["owl", "koi"])
def test_a_record_over_which_working_out_fails_keeps_its_piece_in_and_no_other(tmp_path, monkeypatch, which):
    whole, catalogue = surveying.overview_of, three(tmp_path)
    before = survey(catalogue)

    def over_one(piece, *more):
        if piece.id == which and piece.record:
            raise TypeError("not foreseen")
        return whole(piece, *more)

    monkeypatch.setattr(surveying, "overview_of", over_one)
    after = survey(catalogue)
    assert not after.publications[which].shown
    assert [finding.code for finding in after.findings if finding.piece == which] == ["record.not-worked-out"]
    assert {key: value for key, value in after.overviews.items() if key != which} == {
        key: value for key, value in before.overviews.items() if key != which
    }
    assert [piece.record for piece in after.pieces] == [piece.record for piece in catalogue.pieces]
