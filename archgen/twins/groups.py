"""Pictures that belong together as a whole, not by a chain of chance likenesses."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from archgen.twins.model import Pair


@dataclass(frozen=True, slots=True)
class Group:
    """Keys in order, the pairs among them, and the key of the picture the others are copies or parts of."""

    keys: tuple[str, ...]
    pairs: tuple[Pair, ...]
    full: str


def groups(pairs: Iterable[Pair]) -> list[Group]:
    """Gather pairs into groups.

    A chain a~b~c is one group only if a~c holds as well, or if both are paired with one full picture: a picture that
    is a part of neither. So two crops of one photograph meet in it, while a picture that was wrongly paired with one
    member does not draw its own copies in.
    """
    ordered = sorted(pairs, key=lambda pair: (-pair.score, pair.a, pair.b))
    links: dict[str, dict[str, Pair]] = defaultdict(dict)
    for pair in ordered:
        links[pair.a][pair.b] = links[pair.b][pair.a] = pair
    left = set(links)
    out = []
    for full in sorted(links, key=lambda key: (-_fullness(key, links[key].values()), key)):
        if full not in left:
            continue
        members = [full, *sorted(key for key in links[full] if key in left)]
        if len(members) > 1:
            left.difference_update(members)
            out.append(_group(full, members, links))
    return sorted(out, key=lambda group: group.keys)


def _fullness(key: str, pairs: Iterable[Pair]) -> float:
    return sum(-1.0 if pair.part == key else 1.0 for pair in pairs)


def _group(full: str, members: Sequence[str], links: dict[str, dict[str, Pair]]) -> Group:
    inside = set(members)
    found = {pair.a + "\0" + pair.b: pair for key in members for other, pair in links[key].items() if other in inside}
    return Group(tuple(sorted(members)), tuple(found[name] for name in sorted(found)), full)
