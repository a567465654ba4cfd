"""What the artist decided, as the lines of decisions.toml."""

import datetime as dt
from collections.abc import Sequence

import tomlkit

from archgen.languages.house import say
from archgen.values.frozen import Value

FILE = "decisions.toml"
# Characters up to which a list stays on one line.
_LONGEST_LINE = 100


class Verdict(Value, frozen=True):
    """One decision to be written: pictures with their digests, whether they are the same and which is kept."""

    images: tuple[str, ...]
    digests: tuple[str, ...]
    same: bool
    day: dt.date
    keep: str | None = None
    reason: str | None = None

    @property
    def words(self) -> str:
        """Say what was decided."""
        names, number = ", ".join(self.images), len(self.images)
        if self.same:
            return say("{number} pictures are one: {names}", number=number, names=names)
        return say("{number} pictures are different: {names}", number=number, names=names)

    def lines(self) -> str:
        """Give the lines for the file."""
        table = tomlkit.table()
        table.add("images", _list(self.images))
        if self.same:
            table.add("keep", self.keep or self.images[0])
        if self.reason:
            table.add("reason", self.reason)
        table.add("date", self.day)
        if any(self.digests):
            table.add("digests", _list(self.digests))
        tables = tomlkit.aot()
        tables.append(table)
        document = tomlkit.document()
        document.add("same" if self.same else "different", tables)
        return tomlkit.dumps(document).strip()


def _list(texts: Sequence[str]) -> tomlkit.items.Array:
    array = tomlkit.array()
    array.extend(texts)
    return array.multiline(len(", ".join(texts)) > _LONGEST_LINE)
