"""Look at a folder as an outsider would, and say what in it is private: the whole search, from names to pixels."""

import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.doubles.paths import piece_of
from archgen.images.decode import SUFFIXES
from archgen.leaks.folder import Entry, MadeFile, entries_of, folders_of
from archgen.leaks.heard import Heard
from archgen.leaks.leak import Leak, LeakKind
from archgen.leaks.likenesses import LikenessSearch, what_is
from archgen.leaks.memory import READING, LeakMemory, Searched, file_key, made_key
from archgen.leaks.reading.disclosed import Disclosed
from archgen.leaks.reading.opening import disclose
from archgen.leaks.reading.pages import views
from archgen.leaks.reading.pictures import format_of, is_tiny
from archgen.leaks.search import LeakSearch, SearchedBytes
from archgen.leaks.values.exact import PrivateValue
from archgen.leaks.values.private_values import private_values
from archgen.leaks.values.spellings import Way
from archgen.plain_text import words_of
from archgen.publication.decision import Publication
from archgen.storage.cache import Cache
from archgen.storage.files import digest_bytes
from archgen.storage.scratch import scratch_folder
from archgen.values.frozen import Value

# Programs: a word or two that may be chance say nothing there.
_SOURCES = (".py", ".pyc", ".pyi", ".c", ".h", ".cc", ".cpp", ".hpp", ".java", ".go", ".rs", ".so", ".dll")
# Formats of many kinds, not all of which can be decoded here, sound as they may be.
_MANY_KINDS = frozenset({"TIFF", "HEIF", "BMP"})


class FolderSearch(Value, frozen=True):
    """What a search looked at and found.

    Attributes:
        files: How many files were looked at.
        values: How many private texts they were searched for.
        pictures: How many pictures of the archive theirs were compared with.
        unread: How many files could not be looked into, or not wholly.
    """

    files: int
    values: int
    pictures: int
    unread: int
    leaks: tuple[Leak, ...]


def search_folder(
    place: Path, catalogue: Catalogue, publications: Mapping[str, Publication], cache: Cache
) -> FolderSearch:
    """Search a folder or zip for everything of an archive that is not public; files that did not change only once.

    Raises:
        InputError: There is no such place.
    """
    return _searched_by(catalogue, publications, cache, lambda search: search.leaks_in(place))


def search_made(
    files: Sequence[MadeFile], catalogue: Catalogue, publications: Mapping[str, Publication], cache: Cache
) -> FolderSearch:
    """Search a folder that is being made like any other; of files that are known as blobs none is opened again."""
    return _searched_by(catalogue, publications, cache, lambda search: search.leaks_in_made(files))


def _searched_by(
    catalogue: Catalogue,
    publications: Mapping[str, Publication],
    cache: Cache,
    leaks_by: Callable[["_PlaceSearch"], Iterable[Leak]],
) -> FolderSearch:
    values = private_values(catalogue, publications)
    memory = LeakMemory(cache.folder / "leaks.json", values)
    heard = Heard(cache.folder / "leaks-heard.bin" if memory.fresh else None, READING)
    with scratch_folder() as scratch:
        likenesses = LikenessSearch(catalogue, publications, cache, Path(scratch), memory)
        search = _PlaceSearch(values, likenesses, memory, heard)
        leaks = (*leaks_by(search), *likenesses.leaks())
    memory.save()
    heard.save()
    unread = {leak.file for leak in leaks if leak.kind is LeakKind.UNREAD}
    return FolderSearch(search.files, len(values), likenesses.pictures, len(unread), leaks)


def find_leaks(place: Path, values: Iterable[PrivateValue]) -> list[Leak]:
    """Search everything in a folder or zip for private values and traces; pictures are searched for texts alone.

    Raises:
        InputError: There is no such place.
    """
    return list(_PlaceSearch(tuple(values), None, LeakMemory(None, ())).leaks_in(place))


@dataclass
class _PlaceSearch:
    """The search of a place, file by file; texts are made ready when there is a file to be searched.

    Attributes:
        heard: What was searched of known files; asked where some values were not looked for in them yet.
    """

    values: Sequence[PrivateValue]
    likenesses: LikenessSearch | None
    memory: LeakMemory
    heard: Heard = field(default_factory=Heard)
    files: int = 0

    def leaks_in(self, place: Path) -> Iterator[Leak]:
        """Give what is found by the files' own texts and bytes."""
        for entry in entries_of(place):
            yield from self._leaks_of(entry)

    def leaks_in_made(self, files: Sequence[MadeFile]) -> Iterator[Leak]:
        """Give the same of files that are being made."""
        for entry in folders_of(files):
            yield from self._leaks_of(entry)
        for file in files:
            if file.blob:
                yield from self._leaks(file.name, made_key(file.name, file.blob), file.read)
            else:
                yield from self._leaks_of(file.read())

    @cached_property
    def _search(self) -> LeakSearch:
        return LeakSearch(self.values)

    def _leaks_of(self, entry: Entry) -> Iterator[Leak]:
        key = None if entry.trouble else file_key(entry.name, entry.target, entry.content or b"")
        return self._leaks(entry.name, key, lambda: entry)

    def _leaks(self, name: str, key: str | None, read: Callable[[], Entry]) -> Iterator[Leak]:
        """Give what is found in a file, which is only read when it is not known."""
        self.files += not name.endswith("/")
        known = self._known(name, key, read) if key else None
        found = self._searched(key, read()) if known is None else known
        if same := self.likenesses.same_file(found.digest) if self.likenesses and found.digest else None:
            yield Leak(name, what_is(same), same, piece_of(same), kind=LeakKind.PICTURE)
        yield from found.leaks

    def _known(self, name: str, key: str, read: Callable[[], Entry]) -> Searched | None:
        known = self.memory.recall(key)
        if known is None or not self._are_as_known(name, known):
            return None
        if self.memory.fresh and self._is_fresh_in(key, read):
            return None
        self.memory.keep(key, known)
        return known

    def _are_as_known(self, name: str, known: Searched) -> bool:
        """Say whether the pictures in a known file are still copies of public ones, or were compared with all."""
        if not (known.copies or known.others):
            return True
        search = self.likenesses
        return search is not None and search.are_copies(known.copies) and search.recall(name, known.others)

    @cached_property
    def _fresh(self) -> LeakSearch:
        """Give the search for what known files were not searched for yet."""
        return LeakSearch(self.memory.fresh, len(self.values))

    def _is_fresh_in(self, key: str, read: Callable[[], Entry]) -> bool:
        """Say whether a known file holds what it was not searched for yet; what pictures in it show is known."""
        content = self.heard.of(key)
        if content is not None and not self._fresh.may_stand_in(content):
            return False
        entry = read()
        if entry.trouble:
            return True  # it is told where it is searched
        one = _EntrySearch(entry, self._fresh, None)
        is_found = one.finds_anything()
        self.heard.add(key, one.heard)
        return is_found

    def _searched(self, key: str | None, entry: Entry) -> Searched:
        one = _EntrySearch(entry, self._search, self.likenesses)
        digest = hashlib.sha256(entry.content).hexdigest() if entry.content else ""
        leaks = tuple(one.leaks())
        found = Searched(leaks, tuple(one.copies), tuple(one.others), digest)
        if key and not entry.trouble:
            self.heard.add(key, one.heard)
            if not one.has_uncompared:
                self.memory.keep(key, found)
        return found


@dataclass(slots=True)
class _EntrySearch:
    """The search of one file, with what was found so far.

    Attributes:
        copies: The digests of the pixels of pictures in it that are copies of public ones.
        others: The digests of other pictures in it.
        has_uncompared: Whether one of them could not be compared.
        heard: The bytes that were searched, each once.
    """

    entry: Entry
    search: LeakSearch
    likenesses: LikenessSearch | None
    values: dict[PrivateValue, None] = field(default_factory=dict)
    traces: dict[str, None] = field(default_factory=dict)
    unread: dict[str, None] = field(default_factory=dict)
    not_compared: dict[str, None] = field(default_factory=dict)
    of_its_name: dict[PrivateValue, None] = field(default_factory=dict)
    copies: dict[str, None] = field(default_factory=dict)
    others: dict[str, None] = field(default_factory=dict)
    has_uncompared: bool = False
    heard: SearchedBytes = field(default_factory=dict)

    def leaks(self) -> Iterator[Leak]:
        """Give what is in it, each thing once."""
        for name in filter(None, (self.entry.name, self.entry.target)):
            self._path(name)
        self.of_its_name = dict(self.values)
        if self.entry.trouble:
            self.unread[self.entry.trouble] = None
        if self.entry.content:
            for found in disclose(self.entry.name, self.entry.content):
                self._look_at(found)
            if (self.copies or self.others) and not (self.unread or self.not_compared):
                self._forget_names_of_another_picture()
            self._check_kind(self.entry.content)
        name = self.entry.name
        yield from (Leak(name, why, None, None, kind=LeakKind.UNREAD) for why in self.unread)
        yield from (Leak(name, why, None, None, sure=False, kind=LeakKind.UNREAD) for why in self.not_compared)
        yield from (Leak(name, what, None, None, kind=LeakKind.TRACE) for what in self.traces)
        told = (value for value in _told_once(self.values) if value.sure or not name.lower().endswith(_SOURCES))
        yield from (Leak(name, value.what, value.value, value.piece, value.sure) for value in told)

    def finds_anything(self) -> bool:
        """Say whether any value is in it, certain or not."""
        for _ in self.leaks():
            pass
        return bool(self.values)

    def _forget_names_of_another_picture(self) -> None:
        """Leave out that the file is called by everyday words like one of ours: what it shows was compared."""
        chance = {value for value in self.of_its_name if value.way is Way.FULL_NAME}
        self.values = {value: None for value in self.values if value not in chance}

    def _look_at(self, found: Disclosed) -> None:
        for name in found.names:
            self._path(name)
        for text in found.texts:
            self._add(self.search.in_text(text, self.heard))
        for content in found.raw:
            self._add(self.search.in_bytes(content, self.heard))
        for content in found.pixels:
            self._add(self.search.in_pixels(content))
        self.traces |= dict.fromkeys(found.traces)
        self.unread |= dict.fromkeys(found.unread)
        for picture in filter(None, found.pictures if self.likenesses else ()):
            assert self.likenesses is not None  # noqa: S101 (there are no pictures without)
            if copy := self.likenesses.copy_of(picture):
                self.copies[copy] = None
                continue
            self.others[digest_bytes(picture)] = None
            if trouble := self.likenesses.look_at(self.entry.name, picture):
                self.has_uncompared = True
                why = trouble.problem.rstrip(".")
                is_unknown = trouble.code == "image.not-a-picture" and format_of(picture) in _MANY_KINDS
                if is_unknown and is_tiny(picture):
                    continue
                (self.not_compared if is_unknown else self.unread)[why[0].lower() + why[1:]] = None

    def _path(self, name: str) -> None:
        for view in views(name):
            self._add(self.search.in_text(view, self.heard, is_path=True))

    def _check_kind(self, content: bytes) -> None:
        """Name a file that is called a picture and begins like none."""
        suffix = self.entry.name[self.entry.name.rfind(".") :].lower()
        if suffix in SUFFIXES and format_of(content) is None:
            self.unread["it is called a picture but cannot be opened as one"] = None

    def _add(self, values: Iterable[PrivateValue]) -> None:
        self.values |= dict.fromkeys(values)


def _told_once(values: Iterable[PrivateValue]) -> Iterator[PrivateValue]:
    """Leave out questions about words that a certain find in the same file already holds."""
    found = list(values)
    certain = [words_of(value.value) for value in found if value.sure]
    for value in found:
        if value.sure or not any(words_of(value.value) in words for words in certain):
            yield value
