"""Say which private values stand in a text, in bytes or in pixels; knows values and spellings, not files.

Texts are searched in time that grows with their length alone (`archgen.leaks.anchors`): what may be there is then
compared word by word. In bytes that are no text, short values turn up by chance, so the longer the content and the more
values there are, the more a value must have; in the pixels of pictures only values that chance never writes are looked
for.
"""

import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property

from archgen.leaks.anchors import AnchorIndex
from archgen.leaks.values.contacts import LEAST_DIGITS, digits_by_ending, is_same_number
from archgen.leaks.values.exact import PrivateValue
from archgen.leaks.values.names import names_among, stands_as_full_name, stands_as_name, written_together
from archgen.leaks.values.prices import prices_in
from archgen.leaks.values.spellings import Running, Spelling, Way, raw_spellings, spelled, stands_as_code
from archgen.plain_text import BEYOND_ASCII, without_accents
from archgen.values.frozen import Value

# 82,000 values in 1 GB of random bytes are met by chance less than once in a million times.
PIXEL_BITS = 65.0
# What a value must have beyond the logarithms of the content's length and of the values: one chance in 65,000.
_BYTE_BITS = 16.0
_SMALL = bytes(range(256)).lower()
_SEPARATORS = bytes(byte for byte in range(128) if not chr(byte).isalnum())
# Latin letters with accents in UTF-8, U+00C0 to U+024F.
_ACCENTED = re.compile(rb"[\xc3-\xc8][\x80-\xbf]|\xc9[\x80-\x8f]")

# The bytes that were searched of a file, each once.
SearchedBytes = dict[bytes, None]


class _Sought(Value, frozen=True):
    """A value with what is compared."""

    value: PrivateValue
    spelling: Spelling


class LeakSearch:
    """Private values, ready to be looked for."""

    def __init__(self, values: Iterable[PrivateValue], among: int = 0) -> None:
        """Make them ready; `among` is how many are looked for altogether, when these are only some."""
        given = list(values)
        self._prices = {value.value: value for value in given if value.way is Way.PRICE}
        known = ((value, spelled(value.value)) for value in given if value.way is not Way.PRICE)
        self._sought: Sequence[_Sought] = [_Sought(value, plain) for value, plain in known if plain]
        self._bits = [item.spelling.bits for item in self._sought]
        self._byte_bits = _BYTE_BITS + doublings(max(among, len(given)))
        numbered = list(enumerate(self._sought))
        names = [(number, item) for number, item in numbered if item.value.way is Way.NAME]
        self._in_text = AnchorIndex((_key(item), number) for number, item in numbered if item.value.way is not Way.NAME)
        self._in_names = AnchorIndex((_key(item), number) for number, item in names)
        together = ((number, written_together(item.value.value)) for number, item in names)
        joined = [(name.encode(), number) for number, name in together if name]
        self._together = AnchorIndex(joined)
        short = [(_key(item), number) for number, item in numbered if item.value.way is Way.CODE]
        self._short = AnchorIndex(short)
        in_files = [(number, item) for number, item in numbered if item.value.way is not Way.CODE]
        forms = [(form, number) for number, item in in_files for form in _forms(item) if form]
        self._in_bytes = AnchorIndex(forms)
        long = ((form, number) for form, number in forms if self._bits[number] >= PIXEL_BITS)
        self._in_pixels = AnchorIndex(long, widest=8)
        self._strings = [string for string, _ in (*short, *forms, *joined)]

    @cached_property
    def _anywhere(self) -> AnchorIndex:
        prices = (amount.replace(".", "").encode() for amount in self._prices)
        return AnchorIndex((string, 0) for string in (*self._strings, *prices))

    def may_stand_in(self, heard: bytes) -> bool:
        """Say whether any value may stand in a file of which this was searched; never no where one does.

        Pixels, where a text stands by chance alone, aside.
        """
        return bool(self._anywhere.owners_in(heard))

    def in_text(self, text: str, heard: SearchedBytes | None = None, *, is_path: bool = False) -> list[PrivateValue]:
        """Give the values that stand in a text, or in a path; `heard` takes in the bytes that are searched."""
        read = _Text(text, is_path=is_path)
        likely = _owners_in(self._in_text, _run_together(read.plain), heard)
        likely |= _owners_in(self._together, read.plain.encode(), heard)
        # Files have names of everyday words: these are looked for only where a name stands.
        names = read.plain if is_path else " ".join(names_among(read.plain))
        likely |= _owners_in(self._in_names, _run_together(names), heard)
        found = self._confirmed(likely, [read])
        if self._prices and not is_path:
            found += [self._prices[amount] for amount in dict.fromkeys(prices_in(text, self._prices))]
        return found

    def in_bytes(self, content: bytes, heard: SearchedBytes | None = None) -> list[PrivateValue]:
        """Give the values that stand in bytes, in whatever encoding; `heard` takes in the bytes that are searched."""
        bits = self._byte_bits + math.log2(len(content) + 1)
        likely = _owners_in(self._in_bytes, content.translate(_SMALL, _SEPARATORS), heard)
        if (plain := _ACCENTED.sub(_without_accent, content)) != content:
            likely |= _owners_in(self._in_bytes, plain.translate(_SMALL, _SEPARATORS), heard)
        found = self._among(content, {number for number in likely if self._bits[number] >= bits})
        text = _as_words(content)
        if text and (codes := _owners_in(self._short, _run_together(without_accents(text)), heard)):
            found += self._confirmed(codes, [_Text(text)])
        return found

    def in_pixels(self, content: bytes) -> list[PrivateValue]:
        """Give the values that stand in the bytes of a picture and are too long to be chance."""
        return self._among(content, self._in_pixels.owners_in(content.translate(_SMALL, _SEPARATORS)))

    def _among(self, content: bytes, likely: set[int]) -> list[PrivateValue]:
        return self._confirmed(likely, [_Text(text, is_binary=True) for text in _readings(content)]) if likely else []

    def _confirmed(self, likely: set[int], texts: Sequence["_Text"]) -> list[PrivateValue]:
        sought = (self._sought[number] for number in sorted(likely))
        return [item.value for item in sought if any(text.holds(item) for text in texts)]


def _owners_in(index: AnchorIndex, content: bytes, heard: SearchedBytes | None) -> set[int]:
    if heard is not None:
        heard[content] = None
    return index.owners_in(content)


def doublings(values: int) -> int:
    """Give the logarithm of a number of values, whole: what is found in bytes stays so until they are twice as many."""
    return math.ceil(math.log2(max(values, 1)))


class _Text:
    """One text, brought to each form that a value is compared in when the first value asks for it."""

    def __init__(self, text: str, *, is_path: bool = False, is_binary: bool = False) -> None:
        self._text = text
        self._is_path = is_path
        self._is_binary = is_binary

    def holds(self, item: _Sought) -> bool:
        """Say whether a value stands here, compared as it wants to be."""
        match item.value.way:
            case Way.WORDS:
                # In a file's own fields a length may stand right before a text and look like a letter of it.
                is_long = self._is_binary and item.spelling.bits >= PIXEL_BITS
                return self._running.holds(item.spelling) or (is_long and item.spelling.joined in self._running.joined)
            case Way.NUMBER:
                number = item.spelling.joined
                return any(is_same_number(one, number) for one in self._numbers.get(number[-LEAST_DIGITS:], ()))
            case Way.NAME:
                return stands_as_name(self.plain, item.value.value, is_path=self._is_path)
            case Way.FULL_NAME:
                return stands_as_full_name(self.plain, without_accents(item.value.value))
            case Way.CODE:
                return stands_as_code(self._text, item.value.value, is_path=self._is_path)
            case Way.PRICE:
                return False  # looked for in `in_text`

    @cached_property
    def _running(self) -> Running:
        return Running(self._text)

    @cached_property
    def _numbers(self) -> Mapping[str, set[str]]:
        return digits_by_ending(self._text)

    @cached_property
    def plain(self) -> str:
        """Give the text in small letters without accents."""
        return without_accents(self._text)


def _key(item: _Sought) -> bytes:
    """Give what of a value must stand in a text, run together; of a telephone number its last digits."""
    joined = item.spelling.joined[-LEAST_DIGITS:] if item.value.way is Way.NUMBER else item.spelling.joined
    return joined.encode()


def _forms(item: _Sought) -> Iterator[bytes]:
    """Give the ways a value may stand in bytes, run together: accents and large letters beside ASCII count there."""
    yield _key(item)
    if not item.value.value.isascii():
        for written in raw_spellings(item.value.value):
            for encoding in ("utf-8", "latin-1", "utf-16-le", "utf-16-be"):
                raw = written.encode(encoding, errors="ignore")
                if encoding != "latin-1" or len(raw) == len(written):
                    yield raw.translate(_SMALL, _SEPARATORS)


def _without_accent(letter: re.Match[bytes]) -> bytes:
    return without_accents(letter[0].decode()).encode()


def _run_together(plain: str) -> bytes:
    """Bring a text in small letters without accents to the form of `Spelling.joined`, in bytes."""
    if not plain.isascii():
        plain = BEYOND_ASCII.sub(_letters_of_run, without_accents(plain))
    return plain.encode().translate(None, _SEPARATORS)


def _letters_of_run(run: re.Match[str]) -> str:
    return "".join(letter for letter in run[0] if letter.isalnum())


def _as_words(content: bytes) -> str:
    """Give bytes that are nothing but a text, such as a comment; empty for all others."""
    try:
        text = content.decode()
    except UnicodeDecodeError:
        return ""
    return text if text.isprintable() else ""


def _readings(content: bytes) -> Iterator[str]:
    """Read bytes in the encodings in which text is met in files."""
    yield content.decode("utf-8", errors="replace")
    yield content.decode("latin-1")
    if b"\0" in content:
        yield content.replace(b"\0", b"").decode("latin-1")
    for begin in (0, 1):
        for encoding in ("utf-16-le", "utf-16-be"):
            yield content[begin : len(content) - (len(content) - begin) % 2].decode(encoding, errors="replace")
