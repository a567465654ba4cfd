"""The terminal as a page: what records, files and their names say is seen on it and commands nothing.

Control characters move the cursor, colour, clear and even answer; others turn the direction of writing, so that a name
reads as another. Everything that is printed goes through `visible`: click and whatever else writes by the streams, rich
by its console, which alone may write its own colours behind them.
"""

import re
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, TextIO, cast

if TYPE_CHECKING:
    from rich.console import Console

# Control characters but tab and line feed, a return that no line feed follows, line and paragraph separators, what
# turns the direction of writing, and halves of characters, which no terminal can be given.
_UNSEEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]|\r(?!\n)"
)


def visible(text: str) -> str:
    r"""Write what would not be seen so that it is, as ``\u001b``; inside a text of JSON it stays the same text."""
    return _UNSEEN.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


def visible_name(name: str) -> str:
    """Write the name of a file on one line."""
    return visible(name).replace("\n", "\\n").replace("\t", "\\t")


def print_laid_out(text: str) -> None:
    """Print what a console laid out before, with its colours."""
    own_stream(sys.stdout).write(text)


class VisibleStream:
    """Standard output or error on which everything is visible; all else is the stream's own."""

    def __init__(self, stream: TextIO) -> None:
        self.own = stream

    def write(self, text: str) -> int:
        """Write a text."""
        self.own.write(visible(text))
        return len(text)

    def writelines(self, lines: Iterable[str]) -> None:
        """Write several texts."""
        for line in lines:
            self.write(line)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.own, name)


def own_stream(stream: TextIO) -> TextIO:
    """Give the stream itself, for what may command the terminal."""
    return stream.own if isinstance(stream, VisibleStream) else stream


@contextmanager
def printing_visibly() -> Iterator[None]:
    """Let everything that is printed be visible."""
    before = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = (cast("TextIO", VisibleStream(stream)) for stream in before)
    try:
        yield
    finally:
        sys.stdout, sys.stderr = before


def new_console(*, errors: bool = False, wraps: bool = False) -> "Console":
    """Give a console of rich on standard output or error; no text given to it is markup."""
    from rich.console import Console, ConsoleOptions, RenderableType
    from rich.segment import Segment

    class VisibleConsole(Console):
        def render(self, renderable: RenderableType, options: ConsoleOptions | None = None) -> Iterable[Segment]:
            for segment in super().render(renderable, options):
                is_text = not segment.control and segment.text != "\n"
                yield Segment(visible(segment.text), segment.style) if is_text else segment

    # Its own colours are commands, too.
    file = own_stream(sys.stderr if errors else sys.stdout)
    return VisibleConsole(file=file, highlight=False, markup=False, emoji=False, soft_wrap=not wraps)
