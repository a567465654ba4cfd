"""Run rules over a catalogue; knows no rule by name."""

from collections.abc import Iterable

from archgen.findings import Finding, Place
from archgen.pieces.survey import SurveyedCatalogue
from archgen.records.model import Piece
from archgen.rules.registry import RULES, added_rules
from archgen.rules.rule import Hit, Rule


def run_rules(catalogue: SurveyedCatalogue, rules: Iterable[Rule] = RULES) -> list[Finding]:
    """Check every piece with a usable record; findings in order of piece, worst first."""
    chosen = tuple(rules)
    found = [
        _finding(rule, hit, piece)
        for piece in catalogue.pieces
        if piece.record is not None
        for rule in chosen
        for hit in rule.check(piece, piece.record, catalogue)
    ]
    return sorted(set(found), key=lambda finding: finding.sort_key)


def run_added_rules(catalogue: SurveyedCatalogue) -> list[Finding]:
    """Check every piece with the rules of other packages too; one that fails is a finding and checks nothing."""
    extensions = added_rules()
    found = list(extensions.findings)
    for rule in extensions.added:
        try:
            found += run_rules(catalogue, [rule.value])
        except Exception as error:
            found.append(rule.failure("rule", error))
    return found


def record_rules() -> tuple[Rule, ...]:
    """Give the rules that need no picture facts."""
    return tuple(rule for rule in RULES if not rule.needs_pictures)


def _finding(rule: Rule, hit: Hit, piece: Piece) -> Finding:
    place = Place(hit.file) if hit.file else Place(piece.toml, piece.line(hit.key))
    return Finding(rule.code, hit.severity or rule.severity, piece.id, place, hit.problem, hit.remedy, hit.key)
