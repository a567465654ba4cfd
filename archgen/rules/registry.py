"""Every rule, in the order in which the README lists them, and the rules that other packages add."""

from collections.abc import Iterable, Iterator

from archgen.extensions import Extensions, read_extensions
from archgen.rules import (
    completeness,
    embedded,
    followup,
    held_photos,
    materials,
    portfolio,
    recalls,
    releases,
    rights,
    versions,
)
from archgen.rules.rule import AnyRule, ArchiveRule, Rule

RULES: tuple[AnyRule, ...] = (
    *rights.RULES,
    *embedded.RULES,
    *releases.RULES,
    *held_photos.RULES,
    *recalls.RULES,
    *materials.RULES,
    *followup.RULES,
    *completeness.RULES,
    *versions.RULES,
    *portfolio.RULES,
)
# Groups of the findings that no rule makes.
_OTHER_GROUPS = ("extension", "image", "portfolio", "privacy", "record")


def added_rules() -> Extensions[AnyRule]:
    """Give the rules of other packages; an entry point names a rule, or several."""
    return read_extensions("archgen.rules", _named_rules, ())


def finding_groups() -> tuple[str, ...]:
    """Give the words that codes of findings begin with."""
    added = [rule.value for rule in added_rules().added]
    return tuple(sorted({_group(rule) for rule in (*RULES, *added)} | set(_OTHER_GROUPS)))


def _named_rules(_name: str, value: AnyRule | Iterable[AnyRule]) -> Iterator[tuple[str, AnyRule]]:
    own = {_group(rule) for rule in RULES} | set(_OTHER_GROUPS)
    for rule in (value,) if isinstance(value, Rule | ArchiveRule) else value:
        if not isinstance(rule, Rule | ArchiveRule):
            raise TypeError(f"{rule!r} is not a Rule")
        if _group(rule) in own or "." not in rule.code:
            raise ValueError(f"the code {rule.code} must begin with a word of its own and a dot")
        yield rule.code, rule


def _group(rule: AnyRule) -> str:
    return rule.code.partition(".")[0]
