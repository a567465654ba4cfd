"""Find which of very many byte strings may occur in a content, in time that grows with the content alone.

The first and the last sixteen bytes of a string (eight or four, where it has fewer) are its anchors. All windows of a
content are looked up in a table at once; only strings whose anchors are both there are then looked for as a whole. What
has fewer than four bytes is looked for one by one. Knows bytes, not what they mean.
"""

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
import numpy.typing as npt

# Sixteen bytes are three or four words of a note; two words in a row are on many pages.
_WIDTHS = (4, 8, 16)
# Fibonacci hashing: the odd number nearest to 2^64 divided by the golden ratio spreads neighbours over the table.
_SPREAD = np.uint64(0x9E3779B97F4A7C15)
# Places of the table for each anchor, as a power of two: 97 places of 100 stay empty.
_SPARE_BITS, _MOST_BITS = 5, 24
# So few strings are found sooner one by one.
FEW = 24
# Windows looked at in one go, as many as stay near the processor.
_STRIDE = 1 << 16

_Windows = npt.NDArray[np.uint64]
_Places = npt.NDArray[np.intp]


class AnchorIndex:
    """Byte strings, each with a number of its owner; an owner may have several.

    Anchors of eight bytes are enough in bytes that are like random ones, and are looked up faster.
    """

    def __init__(self, strings: Iterable[tuple[bytes, int]], *, widest: int = _WIDTHS[-1]) -> None:
        given = list(dict.fromkeys(strings))
        one_by_one = len(given) <= FEW
        self._tiny = tuple(item for item in given if one_by_one or len(item[0]) < _WIDTHS[0])
        by_width: dict[int, list[tuple[bytes, int]]] = {}
        for item in () if one_by_one else given:
            if width := max((width for width in _WIDTHS if width <= min(len(item[0]), widest)), default=0):
                by_width.setdefault(width, []).append(item)
        self._anchors = {width: _Anchors(items, width) for width, items in by_width.items()}

    def owners_in(self, content: bytes) -> set[int]:
        """Give the owners of the strings that occur in the content."""
        found = {owner for string, owner in self._tiny if string in content}
        return found | {owner for string, owner in self._candidates(content) if string in content}

    def _candidates(self, content: bytes) -> Iterator[tuple[bytes, int]]:
        """Give the strings whose anchor occurs, whole or not."""
        if not self._anchors:
            return
        widest = max(self._anchors)
        seen: dict[int, list[_Places]] = {width: [] for width in self._anchors}
        for begin in range(0, len(content), _STRIDE):
            for width, windows in _windows(content[begin : begin + _STRIDE + widest - 1], widest):
                if width in seen:
                    seen[width].append(self._anchors[width].places_of(windows))
        for width, places in seen.items():
            if places:
                yield from self._anchors[width].strings_at(np.concatenate(places))


class _Anchors:
    """Strings under windows of a fixed width: their first and their last."""

    def __init__(self, strings: Sequence[tuple[bytes, int]], width: int) -> None:
        windows = dict(_windows(b"".join(string for string, _ in strings), width))[width]
        ends = np.cumsum([len(string) for string, _ in strings])
        firsts, lasts = windows[np.concatenate(([0], ends[:-1]))], windows[ends - width]
        self._keys, places = np.unique(np.concatenate((lasts, firsts)), return_inverse=True)
        by_last = np.argsort(places[: len(strings)], kind="stable")
        self._strings = [strings[at] for at in by_last]
        self._firsts = places[len(strings) :][by_last]
        self._begins = np.searchsorted(places[by_last], np.arange(self._keys.size + 1))
        self._bits = min(self._keys.size.bit_length() + _SPARE_BITS, _MOST_BITS)
        is_taken = np.zeros(1 << self._bits, bool)
        is_taken[self._slots(self._keys)] = True
        # Eight places in a byte: a table of 100,000 strings stays near the processor, and a look-up takes no longer.
        self._table = np.packbits(is_taken, bitorder="little")

    def places_of(self, windows: _Windows) -> _Places:
        """Give the numbers of the anchors that are among these windows."""
        slots = self._slots(windows)
        is_likely = (self._table[slots >> 3] >> (slots & 7).astype(np.uint8)) & 1
        likely = np.unique(windows[is_likely.view(bool)])
        at = np.minimum(np.searchsorted(self._keys, likely), self._keys.size - 1)
        found: _Places = at[self._keys[at] == likely]
        return found

    def strings_at(self, places: _Places) -> Iterator[tuple[bytes, int]]:
        """Give the strings both of whose anchors are among these."""
        is_there = np.zeros(self._keys.size, bool)
        is_there[places] = True
        lasts = np.flatnonzero(is_there)
        counts = self._begins[lasts + 1] - self._begins[lasts]
        numbers = np.repeat(self._begins[lasts + 1] - np.cumsum(counts), counts) + np.arange(counts.sum())
        yield from (self._strings[number] for number in numbers[is_there[self._firsts[numbers]]])

    def _slots(self, windows: _Windows) -> _Places:
        return _slots(windows, self._bits)


def _slots(windows: _Windows, bits: int) -> _Places:
    return ((windows * _SPREAD) >> np.uint64(64 - bits)).astype(np.intp)


def _windows(content: bytes, widest: int) -> Iterator[tuple[int, _Windows]]:
    """Give every window of four, eight and sixteen bytes as one number, up to a width; of sixteen a mixture."""
    values, width = np.frombuffer(content, np.uint8).astype(np.uint64), 1
    while width < widest and values.size > width:
        low, high = values[:-width], values[width:]
        values = low | (high << np.uint64(8 * width)) if width < 8 else low * _SPREAD ^ high
        width *= 2
        yield width, values
