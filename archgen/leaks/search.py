"""Look at a finished public folder as an outsider would, and say which private values can be found in it.

Every byte of every file counts, and every file's name. Texts are compared word by word, without case, accents or
signs between words, so that "Anna Sample", "anna-sample" and "Anna&nbsp;S&#97;mple" are the same. In the bare
bytes of pictures, where four letters turn up by chance, values of fewer than six signs are not looked for.
"""

import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from archgen.findings import Finding, Place, Severity
from archgen.leaks.extraction import Disclosed, disclose, views
from archgen.leaks.private_values import PrivateValue
from archgen.plain_text import words_of

_SHORTEST_IN_BYTES = 6


@dataclass(frozen=True, slots=True)
class Leak:
    """A private value, or a trace nobody meant to publish, found in a file of the folder.

    Attributes:
        file: The file, relative to the folder.
        what: What was found, in plain words.
        value: The private value itself; None for a trace.
        piece: The piece it belongs to, where it belongs to one.
        sure: False when it may be an ordinary word.
    """

    file: str
    what: str
    value: str | None
    piece: str | None
    sure: bool = True


def find_leaks(folder: Path, private_values: Iterable[PrivateValue]) -> list[Leak]:
    """Search every file below a folder for private values and for traces of people, places and devices."""
    search = _Search(private_values)
    leaks: list[Leak] = []
    for path in sorted(folder.rglob("*")):
        if not path.is_file():
            continue
        name = path.relative_to(folder).as_posix()
        found = disclose(name, path.read_bytes())
        leaks += [Leak(name, what, None, None) for what in dict.fromkeys(found.traces)]
        leaks += [
            Leak(name, value.what, value.value, value.piece, value.sure)
            for value in dict.fromkeys(search.found_in(found, name))
        ]
    return leaks


class _Search:
    """Private values by their first word: a text is only searched for values whose first word is in it."""

    def __init__(self, values: Iterable[PrivateValue]):
        self._by_word: dict[str, list[tuple[str, PrivateValue]]] = {}
        self._by_raw_word: dict[bytes, list[tuple[bytes, PrivateValue]]] = {}
        self._unspaced: list[tuple[str, PrivateValue]] = []
        for value in values:
            words = words_of(value.value)
            if not words.strip():
                continue
            if words.isascii():
                self._by_word.setdefault(words.split(maxsplit=1)[0], []).append((words, value))
            else:
                # Scripts without spaces between words: look anywhere in the text.
                self._unspaced.append((words.strip(), value))
            if len(words.replace(" ", "")) >= _SHORTEST_IN_BYTES:
                for raw in _spellings(value.value):
                    self._by_raw_word.setdefault(raw.split(maxsplit=1)[0], []).append((raw, value))

    def found_in(self, found: Disclosed, name: str) -> Iterator[PrivateValue]:
        for text in (*views(name), *found.texts):
            yield from self._in_text(words_of(text))
        for content in found.raw:
            yield from self._in_bytes(_byte_words(content))
            if b"\0" in content:
                # Without zero bytes two-byte text (as in EXIF and PDF) reads like one-byte text.
                yield from self._in_bytes(_byte_words(content.replace(b"\0", b"")))

    def _in_text(self, text: str) -> Iterator[PrivateValue]:
        for word in self._by_word.keys() & set(text.split()):
            yield from (value for words, value in self._by_word[word] if words in text)
        yield from (value for words, value in self._unspaced if words in text)

    def _in_bytes(self, content: bytes) -> Iterator[PrivateValue]:
        for word in self._by_raw_word.keys() & set(content.split()):
            yield from (value for words, value in self._by_raw_word[word] if words in content)


# ASCII letters small, digits and bytes of other scripts as they are, every other sign a space.
_PLAIN_BYTES = bytes(byte if byte > 0x7F or chr(byte).isalnum() else 0x20 for byte in bytes(range(256)).lower())


def _byte_words(content: bytes) -> bytes:
    return b" ".join((b"", *content.translate(_PLAIN_BYTES).split(), b""))


def _spellings(text: str) -> set[bytes]:
    """Give the ways a value may stand in bare bytes; accents count there, and large letters outside ASCII."""
    found = set()
    for written in (text, text.lower(), text.upper()):
        for encoding in ("utf-8", "latin-1"):
            found.add(_byte_words(unicodedata.normalize("NFC", written).encode(encoding, errors="replace")))
    return {raw for raw in found if raw.strip()}


def leak_findings(leaks: Iterable[Leak], folder: str = "portfolio") -> tuple[Finding, ...]:
    """Give leaks as findings: errors where certain, else questions."""
    return tuple(_finding(leak, Place(f"{folder}/{leak.file}")) for leak in leaks)


def _finding(leak: Leak, place: Place) -> Finding:
    if leak.value is None:
        problem = f"This public file carries {leak.what}."
        remedy = "Build again; if it stays, leave the picture or page out of the portfolio."
        return Finding("privacy.trace", Severity.ERROR, leak.piece, place, problem, remedy)
    article = "An" if leak.what[0] in "aeio" else "A"
    problem = f'{article} {leak.what} would be public here: "{leak.value}".'
    if leak.sure:
        remedy = "Take it out of the public texts (story.md, title, alt, about.md and so on), then build again."
        return Finding("privacy.leak", Severity.ERROR, leak.piece, place, problem, remedy)
    remedy = "If the word is meant as a name, take it out of the public texts; if not, nothing need be done."
    return Finding("privacy.name", Severity.WARNING, leak.piece, place, problem, remedy)
