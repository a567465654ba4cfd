"""What the references of one piece were made from: merged, edited, copied from a screen. Knows names, not rights."""

import unicodedata
from collections.abc import Iterable, Sequence

from archgen.records.model import Reference


class MadeFrom:
    """The references of one piece by their numbers, and which of them each was made from."""

    def __init__(self, references: Sequence[Reference]) -> None:
        by_name: dict[str, list[int]] = {}
        for number, reference in enumerate(references):
            for name in {_plain(text) for text in (reference.file, reference.source) if text}:
                by_name.setdefault(name, []).append(number)
        self._direct = [
            tuple(dict.fromkeys(found for name in reference.made_from for found in by_name.get(_plain(name), ())))
            for reference in references
        ]
        self._unknown = [
            tuple(dict.fromkeys(name for name in reference.made_from if _plain(name) not in by_name))
            for reference in references
        ]

    def direct(self, number: int) -> tuple[int, ...]:
        """Give what a reference was made from."""
        return self._direct[number]

    def unknown(self, number: int) -> tuple[str, ...]:
        """Give the names a reference was made from that are no reference of the piece."""
        return self._unknown[number]

    def reached(self, number: int) -> tuple[int, ...]:
        """Give all a reference was made from, near ones first; itself only when it leads back to itself."""
        found: dict[int, None] = {}
        ahead = list(self._direct[number])
        for other in ahead:
            if other not in found:
                found[other] = None
                ahead += self._direct[other]
        return tuple(found)

    def with_all_behind(self, numbers: Iterable[int]) -> frozenset[int]:
        """Give these references and all they were made from."""
        wanted = set(numbers)
        return frozenset(wanted.union(*(self.reached(number) for number in wanted)))


def _plain(name: str) -> str:
    return unicodedata.normalize("NFC", name.strip()).rstrip("/")
