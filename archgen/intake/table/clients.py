"""Clients of a table: a code stays, a name gets its code from the register, or a new one. Nobody is ever guessed."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from archgen.plain_text import words_of
from archgen.records.model import Client

_CODE = re.compile(r"([A-Za-z]{1,4}-?)(\d{2,6})")
_FIRST = "C-0001"


@dataclass(frozen=True, slots=True)
class NewClient:
    """Somebody who is not in the register yet; the rows of the table that name them."""

    code: str
    name: str | None
    rows: tuple[int, ...]


class ClientCodes:
    """Which code each client of a table has."""

    def __init__(self, register: Mapping[str, Client]) -> None:
        self._register = register
        self._by_name: dict[str, str | None] = {}
        for code, client in register.items():
            if client.name:
                plain = words_of(client.name)
                # Two people of one name: which of them is meant nobody can know.
                self._by_name[plain] = None if plain in self._by_name else code
        self._new: dict[str, tuple[str, str | None, list[int]]] = {}
        self._last = max((int(match[2]) for code in register if (match := _CODE.fullmatch(code))), default=0)
        self._form = next((code for code in register if _CODE.fullmatch(code)), _FIRST)

    def find(self, text: str) -> tuple[str | None, str | None]:
        """Give the code that is known for a cell, else the name as it is compared."""
        if not text:
            return None, None
        code = self._known_code(text)
        return code, None if code else words_of(text)

    def code_for(self, text: str, row: int) -> str | None:
        """Give the code for a cell, a new one where nobody of the register is meant; None for an empty cell."""
        if not text:
            return None
        known = self._known_code(text)
        if known:
            return known
        plain = words_of(text)
        if plain not in self._new:
            is_code = _CODE.fullmatch(text) is not None
            self._new[plain] = (text, None, []) if is_code else (self._next(), text, [])
        self._new[plain][2].append(row)
        return self._new[plain][0]

    def used(self, rows: Iterable[int]) -> tuple[NewClient, ...]:
        """Give the new clients of rows that become pieces."""
        wanted = set(rows)
        found = ((code, name, tuple(row for row in named if row in wanted)) for code, name, named in self._new.values())
        return tuple(NewClient(code, name, named) for code, name, named in found if named)

    def is_shared_name(self, text: str) -> bool:
        """Say whether several clients of the register have this name."""
        return words_of(text) in self._by_name and self._by_name[words_of(text)] is None

    def _known_code(self, text: str) -> str | None:
        same = next((code for code in self._register if code.casefold() == text.strip().casefold()), None)
        return same or self._by_name.get(words_of(text))

    def _next(self) -> str:
        self._last += 1
        match = _CODE.fullmatch(self._form)
        before, digits = (match[1], match[2]) if match else ("C-", "0001")
        return f"{before}{self._last:0{len(digits)}}"
