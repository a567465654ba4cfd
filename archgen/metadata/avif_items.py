"""Items of an AVIF or HEIF file: where the bytes of each lie, and how more are added; knows no pixels.

ISO/IEC 14496-12, clause 8.11 (meta, iloc, iinf, iref); ISO/IEC 23008-12, annex A (Exif and XMP as items).
"""

import struct
from collections.abc import Iterator, Sequence
from typing import NamedTuple

# What an item of pixels is called; every other one tells something.
PIXELS = frozenset({"av01", "hvc1", "hvc2", "avc1", "vvc1", "grid", "iovl", "iden"})
_HEAD = 8
_IN_FILE, _IN_META = 0, 1
# A list may name the same bytes over and over, in a few bytes of its own: so many boxes, and so many parts of items,
# and all items together no longer than so many times the file. Pictures in tiles of telephones have some fifty.
_MOST, _MOST_TIMES = 100_000, 4


class FileBox(NamedTuple):
    """A box: its name, where its content begins, where it ends."""

    name: str
    begin: int
    end: int


class Item(NamedTuple):
    """An item: its number, what it is, and where its bytes begin and end."""

    number: int
    kind: str
    spans: tuple[tuple[int, int], ...]


class NewItem(NamedTuple):
    """An item to be added: what it is, what follows that in its entry (a name, a media type), its bytes."""

    kind: bytes
    named: bytes
    content: bytes


class Meta:
    """The box that says what is in a file.

    Attributes:
        references: The ways in which items belong to each other, such as ``thmb`` and ``auxl``.

    Raises:
        ValueError: There is none, or it makes no sense.
    """

    def __init__(self, content: bytes) -> None:
        self._content = content
        try:
            self.box = next(box for box in boxes(content, 0, len(content)) if box.name == "meta")
            self.inside = {box.name: box for box in boxes(content, self.box.begin + 4, self.box.end)}
            self.items = tuple(self._items())
            self.references = frozenset(self._references())
        except (KeyError, IndexError, StopIteration, struct.error) as error:
            raise ValueError("the list of what is in the file makes no sense") from error

    @property
    def pixels(self) -> tuple[tuple[int, int], ...]:
        """Give where the pixels lie, in the order of the file."""
        return tuple(sorted(span for item in self.items if item.kind in PIXELS for span in item.spans))

    def _references(self) -> Iterator[str]:
        if found := self.inside.get("iref"):
            yield from (box.name for box in boxes(self._content, found.begin + 4, found.end))

    def _items(self) -> Iterator[Item]:
        kinds = dict(self._kinds())
        for number, spans in self._spans():
            yield Item(number, kinds.get(number, ""), spans)

    def _kinds(self) -> Iterator[tuple[int, str]]:
        listed = self.inside["iinf"]
        first = listed.begin + (6 if self._content[listed.begin] == 0 else 8)
        for box in boxes(self._content, first, listed.end):
            width = "H" if self._content[box.begin] < 3 else "I"
            number, _, kind = struct.unpack_from(f">{width}H4s", self._content, box.begin + 4)
            yield number, kind.decode("latin-1")

    def _spans(self) -> Iterator[tuple[int, tuple[tuple[int, int], ...]]]:
        placed = self.inside["iloc"]
        version, _, sizes, more = struct.unpack_from(">B3sBB", self._content, placed.begin)
        read = _Numbers(self._content, placed.begin + 6)
        wide = 2 if version < 2 else 4
        end, left, most = len(self._content), _MOST, _MOST_TIMES * len(self._content)
        if (items := read.next(wide)) > _MOST:
            raise struct.error("items without end")
        for _ in range(items):
            number, lies = read.next(wide), read.next(2) & 15 if version else _IN_FILE
            read.next(2)  # which other file it lies in: none
            base, spans = read.next(more >> 4), []
            for _ in range(read.next(2)):
                read.next(more & 15 if version else 0)
                begin, length = base + read.next(sizes >> 4), read.next(sizes & 15)
                begin = min(begin + (self.inside["idat"].begin if lies == _IN_META else 0), end)
                spans.append((begin, min(begin + length, end) if length else end))
                left, most = left - 1, most - (spans[-1][1] - begin)
                if min(left, most) < 0:
                    raise struct.error("items that lie over each other")
            # One that lies inside another item has no bytes of its own.
            yield number, tuple(spans) if lies in (_IN_FILE, _IN_META) else ()


class _Numbers:
    """Numbers of given lengths, one behind the other."""

    def __init__(self, content: bytes, at: int) -> None:
        self._content, self._at = content, at

    def next(self, length: int) -> int:
        """Read the next number of so many bytes; 0 where it takes none."""
        begin, self._at = self._at, self._at + length
        if self._at > len(self._content):
            raise struct.error("the box ends too early")
        return int.from_bytes(self._content[begin : self._at], "big")


def boxes(content: bytes, at: int, end: int) -> Iterator[FileBox]:
    """List the boxes between two places."""
    left = _MOST
    while at + _HEAD <= end:
        length, name = struct.unpack_from(">I4s", content, at)
        head = _HEAD
        if length == 1:
            head, length = 16, struct.unpack_from(">Q", content, at + _HEAD)[0]
        length = length or end - at
        if length < head:
            raise struct.error("a box shorter than its head")
        if not (left := left - 1):
            raise struct.error("boxes without end")
        yield FileBox(name.decode("latin-1"), at + head, min(at + length, end))
        at += length


def coded_pixels(content: bytes) -> list[bytes]:
    """Give the pixels of a file as they are coded; none where it is not told where they lie."""
    try:
        return [content[begin:end] for begin, end in Meta(content).pixels]
    except ValueError:
        return []


def beside_pixels(content: bytes) -> list[bytes]:
    """Give each item that is no picture, and all bytes of a file that belong to no picture in it.

    Raises:
        ValueError: It is not told where the pictures lie.
    """
    meta = Meta(content)
    found = [
        b"".join(content[begin:end] for begin, end in item.spans) for item in meta.items if item.kind not in PIXELS
    ]
    kept, at = [], 0
    for begin, end in meta.pixels:
        kept.append(content[at:begin])
        at = max(at, end)
    return [*found, b" ".join((*kept, content[at:]))]


def with_items(content: bytes, added: Sequence[NewItem]) -> bytes:
    """Add items that tell of the first picture to a file of our own encoder; everything else stays as it is.

    Raises:
        ValueError: It is laid out otherwise.
    """
    meta = Meta(content)
    try:
        if not content.startswith(b"\0\0\0\0\x44\0", meta.inside["iloc"].begin) or "iref" in meta.inside:
            raise ValueError("this file was not made by our own encoder")
        grown = len(_meta_with(content, meta, added, 0, len(content))) - (meta.box.end - meta.box.begin + _HEAD)
        told = _meta_with(content, meta, added, grown, len(content) + grown + _HEAD)
    except (KeyError, struct.error) as error:
        raise ValueError("this file was not made by our own encoder") from error
    data = _box(b"mdat", b"".join(item.content for item in added))
    return content[: meta.box.begin - _HEAD] + told + content[meta.box.end :] + data


def _meta_with(content: bytes, meta: Meta, added: Sequence[NewItem], grown: int, at: int) -> bytes:
    """Write the box again with the new items, whose bytes begin `at`; all others lie `grown` bytes further."""
    (primary,) = struct.unpack_from(">H", content, meta.inside["pitm"].begin + 4)
    first = max(item.number for item in meta.items) + 1
    places = [(item.number, begin + grown, end - begin) for item in meta.items for begin, end in item.spans]
    for number, item in enumerate(added, first):
        places.append((number, at, len(item.content)))
        at += len(item.content)
    located = b"".join(struct.pack(">HHHII", number, 0, 1, begin, length) for number, begin, length in places)
    listed = meta.inside["iinf"]
    entries = content[listed.begin + 6 : listed.end] + b"".join(
        _box(b"infe", struct.pack(">IHH", 0x02000000, number, 0) + item.kind + item.named)
        for number, item in enumerate(added, first)
    )
    again = {
        "iloc": _box(b"iloc", b"\0\0\0\0\x44\0" + struct.pack(">H", len(places)) + located),
        "iinf": _box(b"iinf", struct.pack(">IH", 0, len(meta.items) + len(added)) + entries),
    }
    kept = (
        again.get(name) or _box(name.encode("latin-1"), content[box.begin : box.end])
        for name, box in meta.inside.items()
    )
    tells = (_box(b"cdsc", struct.pack(">HHH", number, 1, primary)) for number in range(first, first + len(added)))
    head = content[meta.box.begin : meta.box.begin + 4]
    return _box(b"meta", b"".join((head, *kept, _box(b"iref", b"".join((bytes(4), *tells))))))


def _box(name: bytes, content: bytes) -> bytes:
    return struct.pack(">I4s", len(content) + _HEAD, name) + content
