"""What `archgen find` says."""

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console
from rich.text import Text

from archgen.languages.house import say, say_count
from archgen.outputs.archive.answers import Found, SearchResult
from archgen.searching.index import AnswerKind

if TYPE_CHECKING:
    from archgen.intake.comparing.pieces_like import PieceLike


def print_answers(console: Console, answers: SearchResult, out: Path) -> None:
    """Print the answers, each with the lines that show why it was found, and how its stencil is printed again."""
    if answers.said:
        console.print(Text(answers.said))
    if not answers.found and not answers.said:
        console.print(say("Nothing found for these words."))
    for found in answers.found:
        console.print()
        console.print(Text.assemble((found.name, "bold"), f"  {say(found.kind.value)}"))
        if found.facts:
            console.print(Text(f"  {found.facts}"))
        for heading, cut in found.lines:
            parts = ((text, "bold underline" if matched else "") for text, matched in cut)
            console.print(Text.assemble(f"  {heading}: ", *parts))
        if found.to_print:
            file = (out / "archive" / found.to_print).resolve()
            console.print(Text(f"  {say('Print: {file}', file=file)}", style="dim"))
    if left := answers.total - len(answers.found):
        more = say_count(
            "{number} more answer. Add a word to narrow it down; --most shows more.",
            "{number} more answers. Add a word to narrow it down; --most shows more.",
            left,
        )
        console.print(f"\n{more}")


def as_json(question: str, answers: SearchResult) -> str:
    """Write the answers for another program."""
    found = [_value(one) for one in answers.found]
    corrections = [{"typed": typed, "shown": shown} for typed, shown in answers.corrections]
    value = {
        "question": question,
        "said": answers.said,
        "corrections": corrections,
        "failed": answers.failed,
        "total": answers.total,
        "answers": found,
    }
    return json.dumps(value, ensure_ascii=False, indent=2)


def _value(found: Found) -> dict[str, object]:
    return {
        "kind": found.kind.value,
        "id": found.id,
        **({"piece": found.piece} if found.piece else {}),
        **({"stencil": found.id} if found.kind is AnswerKind.STENCIL else {}),
        "name": found.name,
        "facts": found.facts,
        "lines": [{"heading": heading, "text": "".join(text for text, _ in cut)} for heading, cut in found.lines],
        "page": found.href,
        "print": found.to_print,
    }


def print_likes(console: Console, found: "Sequence[PieceLike]", overlays: Mapping[str, Path]) -> None:
    """Print the pieces that a picture shows, by which of their pictures, and where their lines can be seen on it."""
    if not found:
        console.print(say("No filed piece is like this picture."))
    for one in found:
        console.print()
        console.print(Text.assemble((one.title or say("No piece"), "bold"), f"  {one.piece}"))
        likeness = f"{one.words} {one.path}"
        sentence = f"{likeness}." if one.is_sure else say("{likeness}: look at both.", likeness=likeness)
        console.print(Text(f"  {sentence}"))
        if one.piece in overlays:
            laid = say("Laid on each other: {file}", file=overlays[one.piece])
            console.print(Text(f"  {laid}", style="dim"))
    if any(one.laid and not one.is_sure for one in found) and not overlays:
        hint = say("To see the lines on your picture, add --overlay and the name of a new folder.")
        console.print(f"\n{hint}")


def likes_as_json(found: "Sequence[PieceLike]", overlays: Mapping[str, Path]) -> str:
    """Write the same for another program; `overlay` is the picture with the lines laid on it, or null."""
    answers = [
        {
            "piece": one.piece,
            "name": one.title,
            "picture": one.path,
            "how": one.words,
            "sure": one.is_sure,
            "overlay": str(overlays[one.piece]) if one.piece in overlays else None,
        }
        for one in found
    ]
    return json.dumps({"answers": answers}, ensure_ascii=False, indent=2)
