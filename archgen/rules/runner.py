"""Run rules over a catalogue; knows no rule by name."""

from collections.abc import Callable, Iterable, Iterator
from functools import partial
from itertools import chain

from archgen.findings import Finding, Place, Severity
from archgen.languages.house import say, to_say
from archgen.pieces.survey import SurveyedCatalogue
from archgen.records.layout import SETTINGS
from archgen.records.model import Piece
from archgen.rules.registry import RULES, added_rules
from archgen.rules.rule import AnyRule, ArchiveRule, Hit, Rule
from archgen.values.frozen import Value


def run_rules(catalogue: SurveyedCatalogue, rules: Iterable[AnyRule] = RULES) -> list[Finding]:
    """Check the archive and every piece with a usable record; findings in order of piece, worst first.

    A rule that fails is a finding, and keeps neither another rule nor another piece from being checked.
    """
    chosen = tuple(rules)
    found: list[Finding] = []
    for check in chain(_checks_of_pieces(catalogue, chosen), _checks_of_archive(catalogue, chosen)):
        try:
            found += check()
        except Exception as error:  # a mistake in one rule is no reason to say nothing else
            found.append(check.failure(error))
    return sorted(set(found), key=lambda finding: finding.sort_key)


class _Check(Value, frozen=True):
    """One rule asked about one piece, or about the archive."""

    rule: AnyRule
    ask: Callable[[], Iterator[Hit]]
    piece: Piece | None

    def __call__(self) -> list[Finding]:
        return [self._finding(hit) for hit in self.ask()]

    def failure(self, error: Exception) -> Finding:
        problem = say(
            'The check "{code}" could not be made ({name}: {error}).',
            code=self.rule.code,
            name=type(error).__name__,
            error=error,
        )
        return Finding("rule.failed", Severity.ERROR, self._id, self._place(""), problem, say(_REPORT))

    def _finding(self, hit: Hit) -> Finding:
        place = Place(hit.file, hit.line) if hit.file else self._place(hit.key)
        severity = hit.severity or self.rule.severity
        return Finding(self.rule.code, severity, self._id, place, hit.problem, hit.remedy, hit.key)

    @property
    def _id(self) -> str | None:
        return self.piece.id if self.piece else None

    def _place(self, key: str) -> Place:
        return Place(self.piece.toml, self.piece.line(key)) if self.piece else Place(SETTINGS)


_REPORT = to_say("Everything else was checked. This is a mistake in archgen: please report it with this line.")


def _checks_of_pieces(catalogue: SurveyedCatalogue, rules: Iterable[AnyRule]) -> Iterator[_Check]:
    of_pieces = [rule for rule in rules if isinstance(rule, Rule)]
    for piece in catalogue.pieces:
        if piece.record is not None:
            yield from (_Check(rule, partial(rule.check, piece, piece.record, catalogue), piece) for rule in of_pieces)


def _checks_of_archive(catalogue: SurveyedCatalogue, rules: Iterable[AnyRule]) -> Iterator[_Check]:
    yield from (_Check(rule, partial(rule.check, catalogue), None) for rule in rules if isinstance(rule, ArchiveRule))


def run_added_rules(catalogue: SurveyedCatalogue) -> list[Finding]:
    """Check everything with the rules of other packages too; one that fails is a finding and checks nothing."""
    extensions = added_rules()
    found = list(extensions.findings)
    for rule in extensions.added:
        checks = chain(_checks_of_pieces(catalogue, [rule.value]), _checks_of_archive(catalogue, [rule.value]))
        try:
            found += sorted({finding for check in checks for finding in check()}, key=lambda finding: finding.sort_key)
        except Exception as error:
            found.append(rule.failure("rule", error))
    return found


def record_rules() -> tuple[AnyRule, ...]:
    """Give the rules that need no picture facts."""
    return tuple(rule for rule in RULES if not rule.needs_pictures)
