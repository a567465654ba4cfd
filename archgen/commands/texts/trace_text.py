"""Print the answer to a recall so that no word breaks, however narrow the window."""

from collections.abc import Iterable, Sequence

from rich.cells import cell_len
from rich.console import Console
from rich.text import Text

from archgen.languages.house import say
from archgen.outputs.sheets.recall_list import NOT_LISTED, GapLine, NearLine, PieceLine, TraceList, WearerLine

_STEP = "  "


def print_trace(console: Console, listed: TraceList) -> None:
    """Print who wears a batch, what is left of it, which numbers are near, and which pieces cannot be ruled out."""
    console.print(Text.assemble((listed.title, "bold"), "  ", say("read {day}", day=listed.read_on)))
    for label, text in listed.facts:
        _print(console, f"{label}: {text}")
    _print(console, listed.summary)
    console.print()
    bottles = (
        [f"{one.batch}  {one.product}", _joined(", ", *_dated(one.opened, one.expires))] for one in listed.bottles
    )
    _print_block(console, say("On whose skin"), map(_wearer_lines, listed.wearers))
    _print_block(console, say("Still open: put it aside"), bottles)
    _print_block(console, say("Almost the same number: check the label"), map(_near_lines, listed.near))
    _print_block(console, say("Numbers that begin like it"), map(_beginning_lines, listed.beginnings))
    _print_block(console, say("Cannot be ruled out"), map(_gap_lines, listed.unrecorded))
    _print_block(console, say(NOT_LISTED), ([line] for line in listed.ruled_out))


def _print_block(console: Console, title: str, entries: Iterable[Sequence[str]]) -> None:
    """Print a title and entries, each with its first line further out than the others."""
    found = list(entries)
    if not found:
        return
    console.print(Text(title, "bold"))
    for first, *more in found:
        _print(console, _STEP + first)
        for line in filter(None, more):
            _print(console, 2 * _STEP + line)
    console.print()


def _print(console: Console, line: str) -> None:
    """Print a line; what does not fit goes on below its beginning."""
    text = line.lstrip(" ")
    indent = " " * (len(line) - len(text))
    for part in _wrapped(text, console.width - len(indent)):
        console.print(Text(indent + part))


def _wrapped(text: str, width: int) -> list[str]:
    """Break a text between words; one that is wider than the window stays whole, since rich would cut it."""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if lines[-1] and cell_len(longer) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return [line.rstrip(" ") for line in lines]


def _joined(between: str, *texts: str) -> str:
    return between.join(text for text in texts if text)


def _dated(opened: str, expires: str) -> list[str]:
    return [
        say("opened {day}", day=opened) if opened else "",
        say("expires {day}", day=expires) if expires else "",
    ]


def _wearer_lines(wearer: WearerLine) -> list[str]:
    also = say("also written {spellings}", spellings=wearer.spellings) if wearer.spellings else ""
    who = _joined(_STEP, wearer.client or say("Client not recorded"), wearer.contact, also)
    return [who, *(say("Told {when}", when=words) for words in wearer.told), *_piece_lines(wearer.pieces)]


def _piece_lines(pieces: Iterable[PieceLine], *, with_client: bool = False) -> list[str]:
    lines = []
    for piece in pieces:
        client = piece.client or say("client not recorded") if with_client else ""
        written = say("written: {batches}", batches=piece.written) if piece.written else ""
        about = _joined("; ", piece.placement, piece.batches, piece.use, written, piece.warning)
        lines += [_joined(_STEP, piece.days or say("date not recorded"), client, piece.piece), about and _STEP + about]
    return lines


def _near_lines(near: NearLine) -> list[str]:
    return [f"{near.batch}  {near.difference}, {near.used}", *_piece_lines(near.pieces, with_client=True)]


def _beginning_lines(near: NearLine) -> list[str]:
    return [_joined(_STEP, near.batch, _joined(", ", near.product, near.used))]


def _gap_lines(gap: GapLine) -> list[str]:
    return [_joined(_STEP, gap.days or say("date not recorded"), gap.client, gap.piece), gap.why]
