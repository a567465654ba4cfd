"""Compare the pictures of a folder with those of the archive, and say which look like one that is not public.

A picture that looks at least as much like one the portfolio shows is that one: of a burst one exposure may be shown.
"""

from collections import defaultdict
from collections.abc import Container, Iterable, Iterator, Mapping, MutableMapping, Sequence
from io import BytesIO
from operator import itemgetter
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.doubles.paths import folder_of, piece_of
from archgen.doubles.stored import DESCRIBE, archive_items
from archgen.images.decode import MEMORY_BYTES, UnusableError
from archgen.languages.house import say
from archgen.leaks.leak import Leak, LeakKind
from archgen.leaks.memory import Compared, LeakMemory
from archgen.metadata.avif_items import coded_pixels
from archgen.metadata.containers import parts
from archgen.picture_facts.quick_facts import describe_picture
from archgen.picture_facts.stage import quiet
from archgen.publication.decision import Publication
from archgen.records.designs.model import PICTURES
from archgen.storage.cache import Cache
from archgen.storage.files import digest_bytes
from archgen.storage.jobs import Budget
from archgen.twins.description.prepared import Prepared
from archgen.twins.engine import Known, find_pairs
from archgen.twins.model import ComparedPicture, Pair, Relation

_WHAT = {"photos": "photo", "stencils": "stencil", "references": "reference", PICTURES: "design"}
# The likest first; the last may be another picture of the same thing.
_RANKS = {
    Relation.IDENTICAL: 0, Relation.EDITED: 1, Relation.CROPPED: 2, Relation.MIRRORED: 2, Relation.TURNED: 2,
    Relation.BURST: 3, Relation.VERSION: 3,
}  # fmt: skip
_MAY_BE_ANOTHER = 3
# A picture of a few pixels has nothing to recognise in it; others cannot be looked into.
_NOTHING_TO_SEE = "image.too-small"
_WEBP_PIXELS = ("VP8 ", "VP8L", "ALPH")


class LikenessSearch:
    """The pictures of an archive, and those of a folder as they are met."""

    def __init__(
        self,
        catalogue: Catalogue,
        publications: Mapping[str, Publication],
        cache: Cache,
        scratch: Path,
        memory: LeakMemory,
    ) -> None:
        """Take the archive up."""
        self._facts, self._cache, self._memory = catalogue.facts, cache, memory
        self._described = {facts.description for facts in self._facts.values() if facts.description}
        self._public = set(_shown(catalogue, publications))
        self._own_copies = set(_digests_of_copies(catalogue, self._public, cache.blobs, memory.pixels))
        self._private_files = dict(_digests_of_files(catalogue, self._public, cache))
        self._scratch = scratch
        self._files: dict[str, list[str]] = defaultdict(list)
        self._items: dict[str, ComparedPicture] = {}
        self._fresh = self._described - memory.compared.archive
        # What each picture of the folder looks like, by descriptions, as far as that is known.
        self._alike: dict[str, dict[str, int]] = {}

    @property
    def pictures(self) -> int:
        """Count the pictures of the archive that can be compared."""
        return sum(facts.description is not None for facts in self._facts.values())

    def _archive(self) -> Sequence[ComparedPicture]:
        """Give the pictures of the archive that those of the folder were not compared with yet."""
        is_all = not self._items.keys() <= self._memory.compared.pictures.keys()
        facts = {path: one for path, one in self._facts.items() if is_all or one.description in self._fresh}
        return list(archive_items(facts, self._cache.blobs))

    def same_file(self, digest: str) -> str | None:
        """Give the file of the archive, not a public one, that has the bytes of this SHA-256."""
        return self._private_files.get(digest)

    def copy_of(self, content: bytes) -> str | None:
        """Give the digest of a picture's pixels when they are those of a public copy."""
        pixels = _digest_of_pixels(content)
        return pixels if pixels in self._own_copies else None

    def are_copies(self, pixels: Iterable[str]) -> bool:
        """Say whether these are the digests of the pixels of public copies."""
        return self._own_copies.issuperset(pixels)

    def recall(self, file: str, pictures: Sequence[str]) -> bool:
        """Take known pictures of the folder up by their digests; say whether that is possible without the file."""
        known = self._memory.compared.pictures
        described = {digest: self._cache.get_file(_key(digest)) for digest in pictures}
        if not all(digest in known and (at or not self._fresh) for digest, at in described.items()):
            return False
        for digest, at in described.items():
            self._files[digest].append(file)
            self._alike[digest] = known[digest]
            if at and self._fresh:
                self._items[digest] = ComparedPicture(digest, Prepared.from_bytes(Path(at).read_bytes()))
        return True

    def look_at(self, file: str, content: bytes) -> UnusableError | None:
        """Take up a picture of the folder; give why it cannot be compared, None when it can."""
        digest = digest_bytes(content)
        if digest in self._files:
            self._files[digest].append(file)
            return None
        try:
            described = self._describe(content, digest)
            self._items[digest] = ComparedPicture(digest, Prepared.from_bytes(described))
        except UnusableError as trouble:
            if trouble.code != _NOTHING_TO_SEE:
                return trouble
            self._alike[digest] = {}
            return None
        except Exception:  # damaged frames make the decoders raise almost anything
            return UnusableError(
                "image.damaged", say("The picture's file is damaged and cannot be decoded."), say("Replace it.")
            )
        self._cache.put_file(_key(digest), described, ".bin")
        self._files[digest].append(file)
        return None

    def _describe(self, content: bytes, digest: str) -> bytes:
        path = self._scratch / digest
        path.write_bytes(content)
        try:
            with quiet():
                return describe_picture(path, DESCRIBE, Budget(MEMORY_BYTES))[0]
        finally:
            path.unlink()

    def leaks(self) -> Iterator[Leak]:
        """Give the files whose pictures look like one that is not public, and remember what each looks like."""
        self._compare()
        paths: defaultdict[str | None, list[str]] = defaultdict(list)
        for path, facts in self._facts.items():
            paths[facts.description].append(path)
        for digest, described in self._alike.items():
            alike = {path: rank for one, rank in described.items() for path in paths.get(one, ())}
            shown = min((rank for path, rank in alike.items() if path in self._public), default=len(_RANKS))
            hidden = {path: rank for path, rank in alike.items() if path not in self._public and rank < shown}
            for path in sorted(hidden, key=lambda path: (hidden[path], path))[:1]:
                sure = hidden[path] < _MAY_BE_ANOTHER
                for file in dict.fromkeys(self._files[digest]):
                    yield Leak(file, what_is(path), path, piece_of(path), sure, LeakKind.PICTURE)
        self._memory.compared = Compared(dict(self._alike), self._described)

    def _compare(self) -> None:
        """Compare the pictures that were looked at with those of the archive they were not compared with yet."""
        archive = self._archive() if self._items else ()
        known = Known({item.key: item.prepared.digest for item in archive}, ())
        pairs = find_pairs([*archive, *self._items.values()], known) if archive else ()
        for digest, alike in _likest(pairs, self._items).items():
            before = self._memory.compared.pictures.get(digest, {})
            found = ((self._facts[path].description or "", rank) for path, rank in alike.items())
            self._alike[digest] = {**before, **dict(sorted(found, key=itemgetter(1), reverse=True))}


def _key(digest: str) -> str:
    """Give the key of the description of a picture of a folder."""
    return Cache.key("searched picture", 1, digest, DESCRIBE.name)


def what_is(path: str) -> str:
    """Name a file of the archive by the folder it lies in."""
    return _WHAT.get(folder_of(path), "file")


def _likest(pairs: Iterable[Pair], found: Mapping[str, ComparedPicture]) -> Mapping[str, Mapping[str, int]]:
    """Give, for each picture of the folder, those of the archive it looks like and how much.

    Of several copies only one may have been compared with the archive: what it looks like, they all do.
    """
    alike: dict[str, dict[str, int]] = {digest: {} for digest in found}
    copies: list[tuple[str, str]] = []
    for pair in pairs:
        for one, other in ((pair.a, pair.b), (pair.b, pair.a)):
            if one in found and other in found:
                if pair.relation is Relation.IDENTICAL:
                    copies.append((one, other))
            elif one in found:
                alike[one][other] = min(_RANKS[pair.relation], alike[one].get(other, len(_RANKS)))
    for one, other in copies:
        for path, rank in tuple(alike[other].items()):
            alike[one].setdefault(path, rank)
    return alike


def _shown(catalogue: Catalogue, publications: Mapping[str, Publication]) -> Iterator[str]:
    for piece in catalogue.to_show:
        yield from (f"{piece.folder}/{photo.file}" for photo in publications[piece.id].photos)


def _digests_of_copies(
    catalogue: Catalogue, public: Iterable[str], blobs: Path, known: MutableMapping[str, str]
) -> Iterator[str]:
    """Give the digests of the copies made for the portfolio: marks of rights change the file, never the pixels."""
    for path in public:
        facts = catalogue.facts.get(path)
        for copy in facts.public if facts else ():
            if copy.blob not in known and (blobs / copy.blob).is_file():
                known[copy.blob] = _digest_of_pixels((blobs / copy.blob).read_bytes()) or ""
            if known.get(copy.blob):
                yield known[copy.blob]


def _digests_of_files(catalogue: Catalogue, public: Container[str], cache: Cache) -> Iterator[tuple[str, str]]:
    """Give the digests of pictures that are not public, and of the letters and releases beside them."""
    yield from ((facts.digest, path) for path, facts in catalogue.facts.items() if path not in public)
    for piece in catalogue.to_show:
        record = piece.record
        named = (record.release.file, *(one.permission for one in record.reference)) if record else ()
        for paper in dict.fromkeys((*piece.papers, *(f"{piece.folder}/{name}" for name in named if name))):
            if (catalogue.config.root / paper).is_file():
                yield cache.digest(catalogue.config.root / paper), paper


def _digest_of_pixels(content: bytes) -> str | None:
    if content[:4] == b"RIFF":
        found = [part.content for part in parts(BytesIO(content), "WEBP", len(content)) if part.name in _WEBP_PIXELS]
    elif content[4:12] == b"ftypavif":
        found = coded_pixels(content)
    else:
        return None
    return digest_bytes(*found) if found else None
