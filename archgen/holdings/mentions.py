"""Where else in the archive's own texts a person is named: records, registers and notes, as they stand on the disk.

A sentence that names them can go by itself; where the name is a title, a folder or a file's, only a hand can change it.
"""

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.holdings.going import Going
from archgen.holdings.raw import leaves, raw_statements, raw_text
from archgen.languages.house import say
from archgen.leaks.search import LeakSearch
from archgen.records.model import Piece
from archgen.records.registers import CLIENTS, DECISIONS, INKS, TOLD
from archgen.toml.statements import Way
from archgen.values.frozen import Value
from archgen.writing.record_text import RemoveKey, SetKey

_SENTENCES = re.compile(r"[^.!?;\n]*[.!?;]+(?=\s|\Z)|[^\n]+")
# What the artist wrote in sentences.
_PATHS = frozenset(("file", "on", "keep"))
_SPOKEN = frozenset(("note", "notes", "alt", "held", "use", "reason", "how", "by"))


class NamedThere(Value, frozen=True):
    """What names a person: what can go by a yes, and what only a hand can change."""

    going: tuple[Going, ...]
    by_hand: tuple[str, ...]


def where_named(catalogue: Catalogue, search: LeakSearch, planned: Iterable[Going]) -> NamedThere:
    """Look through every text of the archive but what is planned to go anyway."""
    root = catalogue.config.root
    files = {one.path for one in planned if one.is_file}
    ways = {(path, edit.way) for one in planned for path, edit in one.edits}
    going: list[Going] = []
    by_hand: list[str] = []
    for file in (CLIENTS, TOLD, DECISIONS, INKS, *(piece.toml for piece in catalogue.pieces)):
        for way, one in _in_toml(root, file, search):
            if any((file, way[:size]) in ways for size in range(1, len(way) + 1)):
                continue
            if isinstance(one, str):
                by_hand.append(one)
            else:
                going.append(one)
    texts = (_in_text(root, path, search) for path in _texts(root, catalogue.pieces) if path not in files)
    going += [found for found in texts if found]
    for piece in catalogue.pieces:
        by_hand += _names(piece, search, files)
    return NamedThere(tuple(going), tuple(dict.fromkeys(by_hand)))


def without_sentences(text: str, sentences: Iterable[str]) -> str:
    """Take sentences out of a text, with the space behind; of a line that held no more its bullet and end go too."""
    for sentence in sentences:
        before, found, after = text.partition(sentence)
        if not found:
            continue
        line, rest = before.rpartition("\n")[2], after.partition("\n")[0]
        if (line + rest).strip(" \t\r-*"):
            text = before + (after[1:] if after[:1] in {" ", "\t"} else after)
        else:
            text = before[: len(before) - len(line)] + after[len(rest) + 1 :]
    return text


def naming_sentences(text: str, search: LeakSearch) -> tuple[str, ...]:
    """Give the sentences that name them, as they stand."""
    found = (match[0].strip().lstrip("-* ") for match in _SENTENCES.finditer(text))
    return tuple(sentence for sentence in found if sentence and search.in_text(sentence))


def _in_toml(root: Path, file: str, search: LeakSearch) -> Iterator[tuple[Way, Going | str]]:
    read = raw_statements(root, file)
    if read is None:
        return
    lines = {one.path: read.line(one) for one in read.found if one.path}
    for way, value in leaves(read.values):
        if not isinstance(value, str) or not search.in_text(value):
            continue
        line = next((lines[way[:size]] for size in range(len(way), 0, -1) if way[:size] in lines), 1)
        if way[-1] in _SPOKEN:
            yield way, _sentence_going(file, way, value, search, line)
        elif file != CLIENTS and way[-1] not in _PATHS and not isinstance(way[-1], int):
            # A name or contact in the register that is no longer theirs is somebody's who shares it.
            yield way, say("{file}, line {line}: {key} says “{words}”", file=file, line=line, key=way[-1], words=value)


def _sentence_going(file: str, way: Way, value: str, search: LeakSearch, line: int) -> Going:
    sentences = naming_sentences(value, search) or (value,)
    left = without_sentences(value, sentences).strip()
    edit = SetKey(way, left) if left else RemoveKey(way)
    return Going(file, say("words that name them"), (line,), edits=((file, edit),), shown=" … ".join(sentences))


def _texts(root: Path, pieces: Iterable[Piece]) -> Iterator[str]:
    yield from (path.name for path in sorted(root.glob("*.md")))
    for piece in pieces:
        yield from (path.relative_to(root).as_posix() for path in sorted((root / piece.folder).glob("*.md")))


def _in_text(root: Path, path: str, search: LeakSearch) -> Going | None:
    text = raw_text(root, path)
    sentences = naming_sentences(text, search)
    if not sentences:
        return None
    first = text.count("\n", 0, max(text.find(sentences[0]), 0)) + 1
    return Going(path, say("words that name them"), (first,), sentences=sentences, shown=" … ".join(sentences))


def _names(piece: Piece, search: LeakSearch, gone: set[str]) -> Iterator[str]:
    if search.in_text(piece.folder.rpartition("/")[2], is_path=True):
        yield say("{folder}: the folder’s name", folder=piece.folder)
    for path in (*piece.photos, *piece.stencils, *piece.references):
        name = path.rpartition("/")[2]
        if path not in gone and search.in_text(name, is_path=True):
            yield say("{file}: the file’s name", file=path)
