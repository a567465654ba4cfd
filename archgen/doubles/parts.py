"""Find pictures of a piece that hold another one as a smaller part than the comparison of all pictures looks for.

References are put together from others, side by side or one in a corner. So the references of a piece are cut into
pieces that are compared with each other one; stencils too, when there is a picture that nobody is said to have drawn
from. Looked at are small gray maps, so that no file is opened again: 0.14 s of processor time a picture, once.
"""

from collections.abc import Iterable, Iterator

import msgspec
import numpy as np
from PIL import Image

from archgen.catalogue import Catalogue
from archgen.records.model import Piece, PieceRecord
from archgen.storage.cache import Cache
from archgen.twins.description import prepare as preparing
from archgen.twins.description.prepared import Prepared
from archgen.twins.engine import VERSION as ENGINE
from archgen.twins.engine import find_pairs
from archgen.twins.model import ComparedPicture

# Raise with every change of what is cut out or asked for.
VERSION = 1
# Halves, quarters with a little more, and the middle: left, top, right, bottom as shares.
_CUTS = (
    (0.0, 0.0, 0.5, 1.0), (0.5, 0.0, 1.0, 1.0), (0.0, 0.0, 1.0, 0.5), (0.0, 0.5, 1.0, 1.0),
    (0.0, 0.0, 0.55, 0.55), (0.45, 0.0, 1.0, 0.55), (0.0, 0.45, 0.55, 1.0), (0.45, 0.45, 1.0, 1.0),
    (0.22, 0.22, 0.78, 0.78),
)  # fmt: skip
# Of 11 drawn merges the 9 found scored 0.95 and more; six pictures without the part gave no pair at all.
_SURE = 0.8


def find_parts(catalogue: Catalogue, cache: Cache) -> tuple[tuple[str, str], ...]:
    """Give pairs of paths: a picture, and a reference of the same piece that it holds."""
    found: set[tuple[str, str]] = set()
    for piece in catalogue.pieces:
        if piece.record and piece.references:
            for whole, parts in _questions(piece, piece.record):
                found.update((whole, part) for part in _held_by(whole, parts, catalogue, cache))
    return tuple(sorted(found))


def _questions(piece: Piece, record: PieceRecord) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Give each picture that may hold others, and those: references one another, stencils what nobody drew from."""
    used = {f"{piece.folder}/{one.file}" for one in record.reference if one.file and one.used}
    unused = tuple(path for path in piece.references if path not in used)
    yield from ((path, piece.references) for path in piece.references if path in used)
    yield from ((path, unused) for path in piece.stencils if unused)


def _held_by(whole: str, parts: Iterable[str], catalogue: Catalogue, cache: Cache) -> list[str]:
    """Give those of the parts that a picture holds, and that the comparison of all pictures did not pair with it."""
    pairs = catalogue.pairs_by_path.get(whole, ())
    known = {whole} | {pair.a for pair in pairs} | {pair.b for pair in pairs}
    wanted = [path for path in parts if path not in known and _description(path, catalogue)]
    return _parts_in(whole, wanted, catalogue, cache) if wanted and _description(whole, catalogue) else []


def _description(path: str, catalogue: Catalogue) -> str | None:
    facts = catalogue.facts.get(path)
    return facts.description if facts else None


def _parts_in(whole: str, wanted: list[str], catalogue: Catalogue, cache: Cache) -> list[str]:
    """Give those that a picture holds, kept ones where nothing changed."""
    blobs = {path: _description(path, catalogue) or "" for path in (whole, *wanted)}
    names = (f"{path} {blob}" for path, blob in blobs.items())
    key = Cache.key("parts of a picture", VERSION, str(ENGINE), str(preparing.VERSION), *names)
    raw = cache.get(key)
    if raw is not None:
        return msgspec.json.decode(raw, type=list[str])
    try:
        prepared = {path: Prepared.from_bytes((cache.blobs / blob).read_bytes()) for path, blob in blobs.items()}
    except (OSError, ValueError):  # a damaged cache costs a question, not the build
        return []
    found = _compared(prepared[whole], {path: prepared[path] for path in wanted}, "/stencils/" in whole)
    cache.put(key, msgspec.json.encode(found))
    return found


def _compared(whole: Prepared, parts: dict[str, Prepared], is_stencil: bool) -> list[str]:
    items = [ComparedPicture(path, one) for path, one in parts.items() if one.views]
    cut = [ComparedPicture(f"{number}", one, is_stencil or None) for number, one in enumerate(_cut(whole))]
    names = {one.key for one in cut}
    return sorted(
        {
            pair.a if pair.b in names else pair.b
            for pair in find_pairs([*items, *cut])
            if (pair.a in names) is not (pair.b in names) and pair.score >= _SURE
        }
    )


def _cut(whole: Prepared) -> Iterable[Prepared]:
    rows, columns = whole.shape
    for left, top, right, bottom in _CUTS:
        box = np.s_[round(top * rows) : round(bottom * rows), round(left * columns) : round(right * columns)]
        yield preparing.prepare(Image.fromarray(np.ascontiguousarray(whole.gray[box])))
