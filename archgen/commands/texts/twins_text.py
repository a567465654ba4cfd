"""Near-identical pictures as text for a person and as lines of JSON for a program."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec
from rich.console import Console
from rich.text import Text

from archgen.catalogue import Catalogue, DoubleGroup
from archgen.commands.texts.screen import visible_name
from archgen.languages.house import say, say_count, within
from archgen.picture_facts.facts import ImageFacts
from archgen.twins.groups import groups
from archgen.twins.model import Pair
from archgen.units import date_words
from archgen.wording.likenesses import group_words, member_words

if TYPE_CHECKING:
    from archgen.doubles.folder import FolderDoubles

# Pictures of one group, and files with one reason, that are written out; thousands are no reading matter.
MOST_PICTURES = 12
MOST_NAMED = 5
_INDENT = 6


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


def print_folder(console: Console, found: "FolderDoubles") -> None:
    """Print the groups of a folder."""
    for number, group in enumerate(groups(found.pairs), 1):
        paths = (group.full, *(key for key in group.keys if key != group.full))
        console.print(Text(f"{number}  {group_words(group.pairs)}", "bold"))
        _print_pictures(console, paths, group.pairs, [""] * len(paths))
        console.print()


def print_count(console: Console, folder: Path, found: "FolderDoubles") -> None:
    """Print how many pictures and groups there are."""
    if not (found.pictures or found.notes):
        from archgen.images.decode import SUFFIXES

        kinds = ", ".join(sorted({suffix[1:] for suffix in SUFFIXES}))
        console.print(Text(say("There are no pictures in {folder}. Looked for: {kinds}.", folder=folder, kinds=kinds)))
        return
    pictures = say_count("{number:,} picture compared", "{number:,} pictures compared", found.pictures)
    together = say_count("{number:,} group found", "{number:,} groups found", len(groups(found.pairs)))
    console.print(f"{pictures}, {together}.")


def print_notes(console: Console, found: "FolderDoubles") -> None:
    """Print what could not be compared, a line for each reason, and how long the work took."""
    reasons: dict[str, list[str]] = {}
    for note in found.notes:
        reasons.setdefault(note.problem, []).append(visible_name(note.file))
    for problem, files in reasons.items():
        console.print(Text(f"{_named(files)}: {problem}"))
    if found.links:
        links = say_count(
            "{number:,} link was passed over: links are not followed.",
            "{number:,} links were passed over: links are not followed.",
            found.links,
        )
        console.print(links)
    if found.read:
        read = say_count(
            "{number:,} picture read in {time}",
            "{number:,} pictures read in {time}",
            found.read,
            time=_spent(found.read_s),
        )
        looked_at = say_count(
            "{number:,} pair looked at in {time}",
            "{number:,} pairs looked at in {time}",
            found.looked_at,
            time=_spent(found.compared_s),
        )
        console.print(f"{read}; {looked_at}.")


def _named(files: Sequence[str]) -> str:
    """Name the first files and say how many there are."""
    named = ", ".join(files[:MOST_NAMED])
    if len(files) > MOST_NAMED:
        named = say("{names} and {number:,} more", names=named, number=len(files) - MOST_NAMED)
    if len(files) == 1:
        return named
    return say_count("{number:,} file: {names}", "{number:,} files: {names}", len(files), names=named)


def print_archive(console: Console, catalogue: Catalogue) -> None:
    """Print the groups of an archive that are undecided, and how many are decided."""
    doubles = catalogue.twins.doubles
    for number, group in enumerate(doubles, 1):
        console.print(Text(f"{number}  {title_of(catalogue, group)}", "bold"))
        print_group(console, catalogue, group)
        console.print()
    settled = say_count("{number:,} decision", "{number:,} decisions", len(catalogue.twins.settled))
    undecided = say_count("{number:,} group undecided", "{number:,} groups undecided", len(doubles))
    console.print(f"{undecided}, {settled}.")
    if doubles:
        console.print(say("To decide: archgen twins --decide, or the page Doubles."))


def title_of(catalogue: Catalogue, group: DoubleGroup) -> str:
    """Name a group by its pieces and what it is."""
    pieces = (catalogue.piece_at(path) for path in group.paths)
    names = dict.fromkeys(piece.title for piece in pieces if piece)
    return f"{', '.join(names)}: {within(group_words(group.pairs))}"


def print_group(console: Console, catalogue: Catalogue, group: DoubleGroup) -> None:
    """Print the pictures of a group with size, date, and what they are to the first."""
    facts = [_facts(catalogue.facts.get(path)) for path in group.paths]
    if group.is_burst:
        facts[0] = say("{facts}, the sharpest", facts=facts[0])
    for text in group.again:
        _print_below(console, text)
    _print_pictures(console, group.paths, group.pairs, facts)


def _facts(facts: ImageFacts | None) -> str:
    if facts is None:
        return ""
    taken = f", {date_words(facts.taken.date())}" if facts.taken else ""
    return f"{facts.width} × {facts.height}{taken}"


def _print_pictures(console: Console, paths: Sequence[str], pairs: Sequence[Pair], facts: Sequence[str]) -> None:
    shown = paths[:MOST_PICTURES]
    relations = member_words(shown, pairs, [say("the first"), *map(str, range(2, len(shown) + 1))])
    for place, (path, known, relation) in enumerate(zip(shown, facts, relations, strict=False), 1):
        console.print(Text(f"{place:>4}  {visible_name(path)}"))
        if words := "; ".join(part for part in (known, relation) if part):
            _print_below(console, words, "dim")
    if len(paths) > MOST_PICTURES:
        console.print(f"      {say('and {number:,} more', number=len(paths) - MOST_PICTURES)}")


def _print_below(console: Console, text: str, style: str = "") -> None:
    """Print text under the name of a picture, wrapped between words; a path above it stays in one piece."""
    for line in Text(text, style).wrap(console, max(console.width - _INDENT, 20)):
        line.rstrip()
        console.print(Text(" " * _INDENT).append_text(line))


def _spent(seconds: float) -> str:
    if seconds < 99.5:
        return say("{seconds:.1f} s", seconds=seconds) if seconds < 9.95 else f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    return f"{minutes} min" if minutes < 100 else f"{minutes // 60} h {minutes % 60} min"
