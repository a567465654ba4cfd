"""Near-identical pictures as text for a person and as lines of JSON for a program."""

from collections.abc import Sequence

import msgspec
from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from archgen.catalogue import Catalogue, DoubleGroup
from archgen.doubles.folder import FolderDoubles
from archgen.doubles.shelf import piece_of
from archgen.doubles.words import group_words, pair_words
from archgen.images.facts import ImageFacts
from archgen.twins.groups import groups
from archgen.twins.model import Pair
from archgen.units import date_words

# Pictures of one group and files with a note that are written out; thousands of copies are no reading matter.
MOST_PICTURES = 12
MOST_NOTES = 20


def pair_json(pair: Pair, **more: str) -> str:
    """Give a pair as one line of JSON."""
    values = {
        "a": pair.a,
        "b": pair.b,
        "relation": pair.relation.value,
        "mirrored": pair.mirrored,
        "turned": pair.turned,
        "score": pair.score,
        "part": pair.part,
        "box": pair.box,
        "weight": pair.weight,
        "transform": pair.transform,
        **more,
    }
    return msgspec.json.encode(values).decode()


def print_folder(console: Console, found: FolderDoubles) -> None:
    """Print the groups of a folder."""
    together = groups(found.pairs)
    for number, group in enumerate(together, 1):
        paths = (group.full, *(key for key in group.keys if key != group.full))
        console.print(Text(f"{number}  {group_words(group.pairs)}", "bold"))
        _print_pictures(console, paths, group.pairs, [""] * len(paths))
        console.print()
    console.print(f"{found.pictures} pictures compared, {_count(len(together), 'group')} found.")


def print_notes(console: Console, found: FolderDoubles) -> None:
    """Print what could not be compared."""
    for note in found.notes[:MOST_NOTES]:
        console.print(Text(f"{note.file}: {note.problem}"))
    if len(found.notes) > MOST_NOTES:
        console.print(f"and {len(found.notes) - MOST_NOTES} more files that could not be compared.")


def print_archive(console: Console, catalogue: Catalogue) -> None:
    """Print the groups of an archive that are undecided, and how many are decided."""
    doubles = catalogue.twins.doubles
    for number, group in enumerate(doubles, 1):
        console.print(Text(f"{number}  {title_of(catalogue, group)}", "bold"))
        print_group(console, catalogue, group)
        console.print()
    console.print(f"{_count(len(doubles), 'group')} undecided, {_count(len(catalogue.twins.settled), 'decision')}.")
    if doubles:
        console.print("To decide: archgen twins --decide, or the page Doubles.")


def title_of(catalogue: Catalogue, group: DoubleGroup) -> str:
    """Name a group by its pieces and what it is."""
    titles = {piece.id: piece.title for piece in catalogue.pieces}
    names = dict.fromkeys(titles[piece_of(path)] for path in group.paths)
    return f"{', '.join(names)}: {group_words(group.pairs).lower()}"


def print_group(console: Console, catalogue: Catalogue, group: DoubleGroup) -> None:
    """Print the pictures of a group with size, date, and what they are to the first."""
    facts = [_facts(catalogue.facts.get(path)) for path in group.paths]
    if group.is_burst:
        facts[0] += ", the sharpest"
    for text in group.again:
        console.print(Padding(Text(text), (0, 0, 0, 6)))
    _print_pictures(console, group.paths, group.pairs, facts)


def _facts(facts: ImageFacts | None) -> str:
    if facts is None:
        return ""
    taken = f", {date_words(facts.taken.date())}" if facts.taken else ""
    return f"{facts.width} × {facts.height}{taken}"


def _print_pictures(console: Console, paths: Sequence[str], pairs: Sequence[Pair], facts: Sequence[str]) -> None:
    by_keys = {frozenset((pair.a, pair.b)): pair for pair in pairs}
    for place, (path, known) in enumerate(zip(paths[:MOST_PICTURES], facts, strict=False)):
        pair = by_keys.get(frozenset((paths[0], path)))
        words = "; ".join(part for part in (known, pair_words(pair, path) if pair else "") if part)
        console.print(Text.assemble(f"{place + 1:>4}  {path}", (f"\n      {words}" if words else "", "dim")))
    if len(paths) > MOST_PICTURES:
        console.print(f"      and {len(paths) - MOST_PICTURES} more")


def _count(number: int, one: str) -> str:
    return f"{number} {one if number == 1 else one + 's'}"
