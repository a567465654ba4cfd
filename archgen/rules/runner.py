"""Run rules over a catalogue; knows no rule by name."""

from collections.abc import Iterable

from archgen.findings import Finding, Place
from archgen.pieces.survey import SurveyedCatalogue
from archgen.records.layout import SETTINGS
from archgen.rules.registry import RULES, added_rules
from archgen.rules.rule import AnyRule, ArchiveRule, Hit, Rule


def run_rules(catalogue: SurveyedCatalogue, rules: Iterable[AnyRule] = RULES) -> list[Finding]:
    """Check the archive and every piece with a usable record; findings in order of piece, worst first."""
    chosen = tuple(rules)
    of_pieces = [rule for rule in chosen if isinstance(rule, Rule)]
    found = [
        _finding(rule, hit, piece.id, Place(piece.toml, piece.line(hit.key)))
        for piece in catalogue.pieces
        if piece.record is not None
        for rule in of_pieces
        for hit in rule.check(piece, piece.record, catalogue)
    ]
    found += [
        _finding(rule, hit, None, Place(SETTINGS))
        for rule in chosen
        if isinstance(rule, ArchiveRule)
        for hit in rule.check(catalogue)
    ]
    return sorted(set(found), key=lambda finding: finding.sort_key)


def run_added_rules(catalogue: SurveyedCatalogue) -> list[Finding]:
    """Check everything with the rules of other packages too; one that fails is a finding and checks nothing."""
    extensions = added_rules()
    found = list(extensions.findings)
    for rule in extensions.added:
        try:
            found += run_rules(catalogue, [rule.value])
        except Exception as error:
            found.append(rule.failure("rule", error))
    return found


def record_rules() -> tuple[AnyRule, ...]:
    """Give the rules that need no picture facts."""
    return tuple(rule for rule in RULES if not rule.needs_pictures)


def _finding(rule: AnyRule, hit: Hit, piece: str | None, otherwise: Place) -> Finding:
    place = Place(hit.file, hit.line) if hit.file else otherwise
    return Finding(rule.code, hit.severity or rule.severity, piece, place, hit.problem, hit.remedy, hit.key)
