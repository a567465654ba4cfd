"""What other installed packages add, through entry points; knows packages, not what they add.

Whatever cannot be used is a finding, and everything else goes on: a package that somebody else wrote is no reason for
the artist to have no archive.
"""

import sys
from collections.abc import Callable, Collection, Iterable
from functools import lru_cache
from importlib.metadata import EntryPoint, EntryPoints, entry_points
from typing import Any, Generic, TypeVar

from archgen.findings import Finding, Place, Severity
from archgen.languages.house import say
from archgen.values.frozen import Value

T = TypeVar("T")

GROUPS = ("archgen.rules", "archgen.outputs", "archgen.themes")


class Added(Value, Generic[T], frozen=True):
    """One thing another package adds, under its own name."""

    package: str
    name: str
    value: T

    def failure(self, what: str, error: BaseException) -> Finding:
        """Say that it did not work; `what` names its kind, such as "rule"."""
        return _finding(
            self.package,
            "failed",
            say('The {what} "{name}" failed: {error}.', what=say(what), name=self.name, error=_shown(error)),
        )


class Extensions(Value, Generic[T], frozen=True):
    """All that is added of one kind, and what was said about the rest."""

    added: tuple[Added[T], ...]
    findings: tuple[Finding, ...]


def are_installed() -> bool:
    """Say whether other packages add anything at all."""
    return any(_installed(group, tuple(sys.path)) for group in GROUPS)


def read_extensions(
    group: str, accept: Callable[[str, Any], Iterable[tuple[str, T]]], taken: Collection[str]
) -> Extensions[T]:
    """Load what packages add to a group, in the order of their names.

    Args:
        group: Name of the entry points' group, such as "archgen.rules".
        accept: Gives the named things an entry point adds, from its name and what it loads; raises what it likes where
            that is of no use.
        taken: Names that cannot be added, because they are there.
    """
    added: dict[str, Added[T]] = {}
    findings = []
    installed = _installed(group, tuple(sys.path))
    entries = sorted(installed, key=lambda entry: (_package_of(entry), entry.name, entry.value))
    for entry in entries:
        package = _package_of(entry)
        try:
            found = list(accept(entry.name, entry.load()))
        except (Exception, SystemExit) as error:  # loading runs whatever stands in the package
            said = say(
                '"{name}" in the group {group} cannot be used: {error}.',
                name=entry.name,
                group=group,
                error=_shown(error),
            )
            findings.append(_finding(package, "unusable", said))
            continue
        for name, value in found:
            if name in taken or name in added:
                whose = (
                    say("the package {package}", package=added[name].package)
                    if name in added
                    else say("archgen itself")
                )
                findings.append(
                    _finding(
                        package, "name-taken", say('"{name}" is there already, from {whose}.', name=name, whose=whose)
                    )
                )
            else:
                added[name] = Added(package, name, value)
    return Extensions(tuple(added.values()), tuple(findings))


@lru_cache
def _installed(group: str, _path: tuple[str, ...]) -> EntryPoints:
    """Read what all packages on the path add; once, since it takes 40 ms where a hundred are installed."""
    return entry_points(group=group)


def _package_of(entry: EntryPoint) -> str:
    return entry.dist.name if entry.dist else entry.module


def _shown(error: BaseException) -> str:
    return " ".join(f"{type(error).__name__}: {error}".split()).rstrip(".: ")


def _finding(package: str, code: str, problem: str) -> Finding:
    remedy = say(
        "It was left out. Ask whoever wrote the package, or uninstall it: pip uninstall {package}.", package=package
    )
    return Finding(
        f"extension.{code}", Severity.WARNING, None, Place(say("package {package}", package=package)), problem, remedy
    )
