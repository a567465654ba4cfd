"""Whether a picture of somebody lies, byte for byte, in a piece of somebody else too: two people may be in it."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.holdings.person import ClientRecords
from archgen.holdings.raw import tables_with
from archgen.languages.house import say
from archgen.records.model import Piece
from archgen.storage.files import digest_file
from archgen.values.frozen import Value
from archgen.writing.record_text import Edit


class SharedPicture(Value, frozen=True):
    """A picture and its copy in another piece; `edits` take that copy out of its record."""

    path: str
    copy: str
    words: str
    edits: tuple[tuple[str, Edit], ...]


def shared_pictures(person: ClientRecords, catalogue: Catalogue, paths: Iterable[str]) -> tuple[SharedPicture, ...]:
    """Find the copies; only files of the same size are read."""
    own = {piece.id for piece in person.pieces}
    of_size: dict[int, list[tuple[Piece, str]]] = {}
    for piece in catalogue.pieces:
        if piece.id not in own:
            for path in (*piece.photos, *piece.references):
                if (size := _size(catalogue, path)) is not None:
                    of_size.setdefault(size, []).append((piece, path))
    return tuple(_shared(catalogue, paths, of_size))


def _shared(
    catalogue: Catalogue, paths: Iterable[str], of_size: dict[int, list[tuple[Piece, str]]]
) -> Iterator[SharedPicture]:
    for path in paths:
        size = _size(catalogue, path)
        for piece, copy in of_size.get(size, ()) if size is not None else ():
            if _digest(catalogue, path) == _digest(catalogue, copy):
                words = say(
                    "The same picture lies in {title}, which is somebody else’s: ask them too.", title=piece.title
                )
                yield SharedPicture(path, copy, words, naming_file(catalogue.config.root, piece, copy))


def naming_file(root: Path, piece: Piece, path: str) -> tuple[tuple[str, Edit], ...]:
    """Say what of a record goes with a file of its piece: every table that is about it, points that were set on it."""
    name = path.removeprefix(f"{piece.folder}/")
    edits = (edit for key in ("file", "on") for edit in tables_with(root, piece.toml, key, name.__eq__))
    return tuple((piece.toml, edit) for edit in edits)


def _size(catalogue: Catalogue, path: str) -> int | None:
    try:
        return (catalogue.config.root / path).stat().st_size
    except OSError:
        return None


def _digest(catalogue: Catalogue, path: str) -> str | None:
    try:
        return digest_file(catalogue.config.root / path)
    except OSError:
        return None
