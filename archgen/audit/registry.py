"""Every rule, in the order in which the README lists them."""

from archgen.audit.rule import Rule
from archgen.audit.rules import completeness, embedded, followup, materials, releases, rights, versions

RULES: tuple[Rule, ...] = (
    *rights.RULES,
    *embedded.RULES,
    *releases.RULES,
    *materials.RULES,
    *followup.RULES,
    *completeness.RULES,
    *versions.RULES,
)
