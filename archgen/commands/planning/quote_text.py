"""What `archgen quote` says."""

from collections.abc import Sequence

import msgspec
from rich.console import Console
from rich.text import Text

from archgen.languages.house import say
from archgen.quoting.quote import Quote
from archgen.wording.planning.notes import NearWords
from archgen.wording.planning.quotes import NO_PROMISE, NOTED, QuoteWords


def print_quote(console: Console, said: QuoteWords, notes: Sequence[NearWords]) -> None:
    """Print a quote with what it rests on."""
    console.print(Text(said.asked, "bold"))
    console.print()
    hours = said.hours
    if said.range is not None:
        hours = say("{hours}. {range}.", hours=hours, range=said.range)
    console.print(Text(hours))
    for name, line in ((say("Sittings"), said.sittings), (say("Price"), said.price)):
        if line:
            console.print(Text(say("{name}: {line}.", name=name, line=line)))
    for doubt in said.doubts:
        console.print(Text(doubt))
    if said.range:
        console.print(Text(say(NO_PROMISE)))
    for line in said.rests_on:
        console.print(Text(line, "dim"))
    _print_pieces(console, said.nearest_title, said.nearest)
    _print_pieces(console, say(NOTED), notes)
    _print_pieces(console, say("Please check the hours of these; they were left out"), said.to_check)


def as_json(quote: Quote) -> str:
    """Write a quote for another program; sides in mm, times in hours."""
    value = msgspec.to_builtins(quote)
    value["past"] = {key: value["past"][key] for key in ("unclear", "no_hours", "no_size")}
    return msgspec.json.format(msgspec.json.encode(value), indent=2).decode()


def _print_pieces(console: Console, title: str, pieces: Sequence[NearWords]) -> None:
    if pieces:
        console.print()
        console.print(Text(f"{title}:"))
    for piece in pieces:
        console.print(Text.assemble(f"  {piece.title}", (f"  {piece.facts}", "dim")))
