"""Open a file and everything packed in it, one thing after the other, within limits of depth and size."""

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass

from archgen.leaks.reading.apart import read_apart
from archgen.leaks.reading.disclosed import Disclosed
from archgen.leaks.reading.documents import is_document
from archgen.leaks.reading.packed import OTHER_PACKERS, TOO_MUCH, packer_of
from archgen.leaks.reading.pages import TEXT_SUFFIXES, as_text, read_page, texts_among
from archgen.leaks.reading.pictures import format_of, read_picture

TOO_DEEP = "files packed inside files too deeply to be looked into"
UNKNOWN_PACKER = "a packed file of a kind that cannot be opened here"


@dataclass(frozen=True, slots=True)
class ReadingLimits:
    """How far to go: files inside files, bytes unpacked of one file in all."""

    depth: int = 6
    unpacked: int = 64 << 20


def disclose(name: str, content: bytes, limits: ReadingLimits = ReadingLimits()) -> Iterator[Disclosed]:
    """Give what a file tells, then what each file inside it tells."""
    waiting, left, seen = deque([(name, content, 0)]), limits.unpacked, set()
    while waiting:
        name, content, depth = waiting.popleft()
        if not content or (depth and hash(content) in seen):
            continue
        seen.add(hash(content))
        found = Disclosed()
        if depth > limits.depth:
            found.unread.append(TOO_DEEP)
            yield found
            return
        _open(name, content, found, left)
        left -= sum(len(inside) for _, inside in found.inside)
        if left <= 0:
            found.unread.append(TOO_MUCH)
            found.inside.clear()
        waiting += [(inside_name, inside, depth + 1) for inside_name, inside in found.inside]
        found.inside.clear()
        yield found


def _open(name: str, content: bytes, found: Disclosed, left: int) -> None:
    suffix = name[name.rfind(".") :].lower() if "." in name else ""
    if (packer := packer_of(content)) is not None:
        packer(content, found, left)
        found.raw.append(content)
    elif is_document(content, suffix):
        read_apart("documents:read_document", content, found, most=left)
        found.raw.append(content)
    elif (file_format := format_of(content)) is not None:
        read_picture(content, file_format, found, left)
    elif (text := as_text(content, surely=suffix in TEXT_SUFFIXES)) is not None:
        read_page(text, found)
        if b"\0" in content:  # of two bytes a letter, but maybe from another byte on
            found.raw.append(content)
    else:
        found.raw.append(content)
        for row in texts_among(content):
            read_page(row, found)
        if content.startswith(OTHER_PACKERS):
            found.unread.append(UNKNOWN_PACKER)
