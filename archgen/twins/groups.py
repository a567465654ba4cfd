"""Pictures that belong together as a whole, not by a chain of chance likenesses."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from archgen.twins.model import Pair
from archgen.values.frozen import Value

# Score from which a pair counts as certain: most right pairs have more, most wrong ones less.
CERTAIN = 0.9

_Links = dict[str, dict[str, Pair]]


class PictureGroup(Value, frozen=True):
    """Keys in order, the pairs among them, and the key of the picture the others are copies or parts of."""

    keys: tuple[str, ...]
    pairs: tuple[Pair, ...]
    full: str


def groups(pairs: Iterable[Pair]) -> list[PictureGroup]:
    """Gather pairs into groups; each picture is in one at most.

    A group has a full picture, one that is a part of no other member. A picture joins it as a part or a certain copy
    of the full picture, or when it is paired with every member. So two parts of one photograph meet in it, while a
    picture that was paired with one member by chance does not draw its own copies in.
    """
    links: _Links = defaultdict(dict)
    for pair in sorted(pairs, key=lambda pair: (pair.a, pair.b)):
        links[pair.a][pair.b] = links[pair.b][pair.a] = pair
    left = set(links)
    out = []
    for full in sorted(links, key=lambda key: (-_fullness(key, links[key].values()), key)):
        if full in left:
            members = _members(full, links, left)
            if len(members) > 1:
                left.difference_update(members)
                out.append(_group(full, members, links))
    return sorted(out, key=lambda group: group.keys)


def _fullness(key: str, pairs: Iterable[Pair]) -> int:
    return sum(-1 if pair.part == key else 1 for pair in pairs)


def _members(full: str, links: _Links, left: set[str]) -> list[str]:
    members = [full]
    for key, pair in sorted(links[full].items(), key=lambda entry: (-entry[1].score, entry[0])):
        if key not in left or pair.part == full:
            continue
        if pair.part == key or pair.score >= CERTAIN or all(other in links[key] for other in members):
            members.append(key)
    return members


def _group(full: str, members: Sequence[str], links: _Links) -> PictureGroup:
    inside = set(members)
    found = {(pair.a, pair.b): pair for key in members for other, pair in links[key].items() if other in inside}
    return PictureGroup(tuple(sorted(members)), tuple(found[names] for names in sorted(found)), full)
