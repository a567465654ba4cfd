"""Near-identical pictures of the archive: what is kept of each picture, the pairs, and the groups that ask for a look.

Between the picture stage and the comparing engine, which do not know each other.
"""

from collections.abc import Iterator, Mapping
from pathlib import Path

import msgspec
from PIL import Image

from archgen.catalogue import DoubleGroup
from archgen.images.facts import Describe, ImageFacts
from archgen.storage.cache import Cache
from archgen.twins import prepare as preparing
from archgen.twins.engine import VERSION, Known, find_pairs
from archgen.twins.groups import Group, groups
from archgen.twins.model import Item, Pair
from archgen.twins.prepare import Prepared, prepare

_PAIRS_KEY = Cache.key("pairs of pictures", VERSION, str(preparing.VERSION))


def _describe(image: Image.Image) -> bytes:
    return prepare(image).to_bytes()


DESCRIBE = Describe(f"twins {preparing.VERSION}", _describe)


def find_doubles(facts: Mapping[str, ImageFacts], cache: Cache) -> tuple[DoubleGroup, ...]:
    """Compare all pictures; only those that are new or changed are compared again.

    Stencil versions of one piece belong together by their record and are left out.
    """
    items = list(_items(facts, cache.blobs))
    pairs = find_pairs(items, _known(cache))
    digests = {item.key: item.prepared.digest for item in items}
    cache.put(_PAIRS_KEY, msgspec.json.encode(Known(digests, pairs)))
    found = groups(pair for pair in pairs if not _are_versions(pair))
    return tuple(_group(group) for group in found)


def _group(group: Group) -> DoubleGroup:
    paths = (group.full, *(key for key in group.keys if key != group.full))
    return DoubleGroup(paths, any(pair.mirrored for pair in group.pairs), group.pairs)


def _items(facts: Mapping[str, ImageFacts], blobs: Path) -> Iterator[Item]:
    for path, fact in facts.items():
        if fact.description:
            prepared = Prepared.from_bytes((blobs / fact.description).read_bytes())
            taken = fact.taken.timestamp() if fact.taken else None
            yield Item(path, prepared, is_stencil=True if _folder(path) == "stencils" else None, taken=taken)


def _known(cache: Cache) -> Known | None:
    raw = cache.get(_PAIRS_KEY)
    try:
        return msgspec.json.decode(raw, type=Known) if raw else None
    except msgspec.MsgspecError:
        return None


def _folder(path: str) -> str:
    return path.split("/")[2]


def _are_versions(pair: Pair) -> bool:
    return _folder(pair.a) == _folder(pair.b) == "stencils" and pair.a.split("/")[1] == pair.b.split("/")[1]
