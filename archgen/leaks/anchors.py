"""Find which of very many byte strings may occur in a content, in time that grows with the content alone.

Of every string one window of eight bytes (four, where it has fewer than eight) is its anchor. All windows of a content
are looked up in a table of bits at once; only strings whose anchor is there are then looked for as a whole. What has
fewer than four bytes is looked for one by one. Knows bytes, not what they mean.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping

import numpy as np
import numpy.typing as npt

_LONG, _SHORT = 8, 4
# Fibonacci hashing: the odd number nearest to 2^64 divided by the golden ratio spreads neighbours over the table.
_SPREAD = np.uint64(0x9E3779B97F4A7C15)
# Places of the table for each anchor, as a power of two: 97 places of 100 stay empty.
_SPARE_BITS, _MOST_BITS = 5, 24
# Windows looked at in one go, so that a large content takes no more memory than this many times twenty bytes.
_STRIDE = 1 << 20


class AnchorIndex:
    """Byte strings, each with a number of its owner; an owner may have several."""

    def __init__(self, strings: Iterable[tuple[bytes, int]]) -> None:
        given = list(dict.fromkeys(strings))
        self._tiny = tuple(item for item in given if len(item[0]) < _SHORT)
        self._short = _Anchors([item for item in given if _SHORT <= len(item[0]) < _LONG], _SHORT)
        self._long = _Anchors([item for item in given if len(item[0]) >= _LONG], _LONG)

    def owners_in(self, content: bytes) -> set[int]:
        """Give the owners of the strings that occur in the content."""
        found = {owner for string, owner in self._tiny if string in content}
        for anchors in (self._short, self._long):
            for string, owner in anchors.candidates(content):
                if owner not in found and string in content:
                    found.add(owner)
        return found


class _Anchors:
    """Strings under one window of a fixed width each."""

    def __init__(self, strings: list[tuple[bytes, int]], width: int) -> None:
        self._width = width
        self._by_anchor = _under_rarest_window(strings, width)
        keys = np.array(sorted(self._by_anchor), np.uint64)
        self._keys = keys
        self._bits = min(keys.size.bit_length() + _SPARE_BITS, _MOST_BITS)
        self._table = np.zeros(1 << self._bits, bool)
        self._table[self._places(keys)] = True

    def candidates(self, content: bytes) -> Iterator[tuple[bytes, int]]:
        """Give the strings whose anchor occurs, whole or not."""
        if not self._keys.size:
            return
        seen: set[int] = set()
        for begin in range(0, max(len(content) - self._width + 1, 0), _STRIDE):
            windows = _windows(content[begin : begin + _STRIDE + self._width - 1], self._width)
            likely = windows[self._table[self._places(windows)]]
            at = np.minimum(np.searchsorted(self._keys, likely), self._keys.size - 1)
            seen.update(np.unique(likely[self._keys[at] == likely]).tolist())
        for key in sorted(seen):
            yield from self._by_anchor[key]

    def _places(self, windows: npt.NDArray[np.uint64]) -> npt.NDArray[np.intp]:
        return ((windows * _SPREAD) >> np.uint64(64 - self._bits)).astype(np.intp)


def _under_rarest_window(strings: list[tuple[bytes, int]], width: int) -> Mapping[int, list[tuple[bytes, int]]]:
    """Put each string under that of its windows which the fewest strings have: it is the likeliest to be absent."""
    windows = [_windows(string, width).tolist() for string, _ in strings]
    common = Counter(window for own in windows for window in own)
    found: dict[int, list[tuple[bytes, int]]] = defaultdict(list)
    for string, own in zip(strings, windows, strict=True):
        found[min(own, key=lambda window: (common[window], window))].append(string)
    return found


def _windows(content: bytes, width: int) -> npt.NDArray[np.uint64]:
    """Give every window of so many bytes (a power of two) as one number."""
    values = np.frombuffer(content, np.uint8).astype(np.uint64)
    step = 1
    while step < width:
        values = values[:-step] | (values[step:] << np.uint64(8 * step))
        step *= 2
    return values
