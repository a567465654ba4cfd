"""Who is who among client codes: people are counted, not spellings of their codes."""

import re
from collections.abc import Iterable

# Letters and digits, each run by itself.
_RUN = re.compile(r"\d+|[^\W\d_]+")


class People:
    """The clients of an archive, each under one code.

    Capitals, what stands between, and zeros in front do not make another person ("c7" is "C-0007"), unless the register
    has both. A spelling that could be two people of the register stays by itself.
    """

    def __init__(self, registered: Iterable[str], written: Iterable[str]) -> None:
        self._registered = frozenset(registered)
        self._written = tuple(sorted(set(written) - self._registered))
        self._by_key: dict[tuple[str, ...], list[str]] = {}
        for code in (*sorted(self._registered), *self._written):
            self._by_key.setdefault(_key(code), []).append(code)

    @property
    def spellings(self) -> tuple[str, ...]:
        """Give how codes are written that the register does not write so."""
        return self._written

    def code_of(self, written: str) -> str:
        """Give the code of the person: that of the register, else the first of the spellings there are."""
        if written in self._registered:
            return written
        same = self._by_key.get(_key(written), [written])
        registered = [code for code in same if code in self._registered]
        if len(registered) > 1:
            return written
        return registered[0] if registered else same[0]


def _key(code: str) -> tuple[str, ...]:
    runs = _RUN.findall(code.casefold())
    return tuple(run.lstrip("0") or "0" if run.isdigit() else run for run in runs) or (code,)
