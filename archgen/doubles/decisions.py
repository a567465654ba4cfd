"""What the artist has decided, as far as it still holds: a decision is about files as they were that day."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping

from archgen.languages.house import say, say_all, say_count
from archgen.records.model import Decision, DecisionRegister
from archgen.units import date_words
from archgen.values.frozen import Value

# Enough of a SHA-256 to tell that a file is another one.
DIGEST_SIGNS = 16


class HeldDecision(Value, frozen=True):
    """A decision with its verdict; changed names the files that are no longer what was decided about."""

    decision: Decision
    same: bool
    line: int
    changed: tuple[str, ...]

    @property
    def rank(self) -> tuple[dt.date, int]:
        """Order entries: the later one counts, of one day the one that stands lower in the file."""
        return (self.decision.date or dt.date.min, self.line)

    @property
    def kept(self) -> str:
        """Give the picture that is kept of one and the same."""
        return self.decision.keep or self.decision.images[0]


class Decided:
    """All decisions, ready to be asked about pairs."""

    def __init__(self, register: DecisionRegister, lines: Mapping[str, int], digests: Mapping[str, str]) -> None:
        """Take the register, the lines of its tables, and the digests of the files that are there now."""
        self._entries = tuple(_entries(register, lines, digests))
        self._of: dict[str, list[HeldDecision]] = defaultdict(list)
        for entry in self._entries:
            for path in set(entry.decision.images):
                self._of[path].append(entry)

    def verdict(self, a: str, b: str) -> bool | None:
        """Say whether two pictures are the same; None when that is undecided, or was decided of other files."""
        holding = [entry for entry in self._common(a, b) if not entry.changed]
        return max(holding, key=lambda entry: entry.rank).same if holding else None

    def why_again(self, a: str, b: str) -> str:
        """Say why a pair that was decided is asked again; empty when it was not decided or still is."""
        if self.verdict(a, b) is not None:
            return ""
        old = max(self._common(a, b), key=lambda entry: entry.rank, default=None)
        if old is None:
            return ""
        word = say("same") if old.same else say("different")
        decided = say("You decided “{word}”", word=word)
        if old.decision.date:
            decided = say("You decided “{word}” on {day}", word=word, day=date_words(old.decision.date))
        return say_count(
            "{decided}, but {names} was changed since then.",
            "{decided}, but {names} were changed since then.",
            len(old.changed),
            decided=decided,
            names=say_all([path.rpartition("/")[2] for path in old.changed]),
        )

    def standing_for(self, path: str) -> str:
        """Give the picture kept instead of this one; itself when nothing was decided."""
        seen = {path}
        while True:
            held = [e for e in self._of.get(path, ()) if e.same and not e.changed and e.kept != path]
            held = [entry for entry in held if self.verdict(path, entry.kept)]
            if not held:
                return path
            path = max(held, key=lambda entry: entry.rank).kept
            if path in seen:  # two decisions that keep each other's picture
                return min(seen)
            seen.add(path)

    @property
    def settled(self) -> tuple[HeldDecision, ...]:
        """Give the decisions that hold, latest first."""
        return tuple(
            sorted((entry for entry in self._entries if not entry.changed), key=lambda entry: entry.rank, reverse=True)
        )

    def _common(self, a: str, b: str) -> list[HeldDecision]:
        return [entry for entry in self._of.get(a, ()) if b in entry.decision.images]


def _entries(
    register: DecisionRegister, lines: Mapping[str, int], digests: Mapping[str, str]
) -> Iterator[HeldDecision]:
    for table, decisions in (("same", register.same), ("different", register.different)):
        for number, decision in enumerate(decisions):
            there = [path for path in decision.images if path in digests]
            if len(set(there)) > 1:
                changed = tuple(_changed(decision, digests))
                yield HeldDecision(decision, table == "same", lines.get(f"{table}.{number}", number), changed)


def _changed(decision: Decision, digests: Mapping[str, str]) -> Iterator[str]:
    """Find the files whose digest was written down and is another one now; a missing file doesn't count."""
    for path, then in zip(decision.images, decision.digests, strict=False):
        now = digests.get(path)
        if then and now and not now.startswith(then):
            yield path
