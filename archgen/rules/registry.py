"""Every rule, in the order in which the README lists them."""

from archgen.rules import completeness, embedded, followup, materials, releases, rights, versions
from archgen.rules.rule import Rule

RULES: tuple[Rule, ...] = (
    *rights.RULES,
    *embedded.RULES,
    *releases.RULES,
    *materials.RULES,
    *followup.RULES,
    *completeness.RULES,
    *versions.RULES,
)
