"""Remember, while the program runs, which bytes stood next to each other in what was searched, to ask of all at once.

A text that is private since a moment ago is looked for in every file that is known. Where eight bytes of it in a row
were in none of them, it is in none of them: one look at a table instead of opening thousands of files. While an archive
is watched, a changed note then costs the changed pages alone. The table may say yes by chance, never no.
"""

from collections.abc import Iterable

import numpy as np

from archgen.leaks.anchors import slots_of_windows

# 16 MB; a page has some thousand windows of its own, and a text many of which each must be there.
_TABLE_BITS = 24


class Heard:
    """What was searched so far.

    Attributes:
        files: The keys of the files of which everything is in the table.
    """

    def __init__(self) -> None:
        self._table = np.zeros(1 << _TABLE_BITS, bool)
        self.files: set[str] = set()

    def add(self, content: bytes) -> None:
        """Take in bytes that are searched."""
        for slots in slots_of_windows(content, _TABLE_BITS):
            self._table[slots] = True

    def may_hold(self, strings: Iterable[bytes]) -> bool:
        """Say whether one of these may stand in what was heard; what has fewer than eight bytes always may."""
        return any(all(self._table[slots].all() for slots in slots_of_windows(one, _TABLE_BITS)) for one in strings)
