"""Progress of long work: a protocol, a silent one and one for the terminal."""

from collections.abc import Iterable, Iterator
from typing import Protocol, TypeVar

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

T = TypeVar("T")


class ProgressReporter(Protocol):
    """Something that is told how far a loop has come."""

    def track(self, items: Iterable[T], total: int, what: str) -> Iterator[T]:
        """Pass the items on, counting them towards total."""
        ...


class Silent:
    """Say nothing."""

    def track(self, items: Iterable[T], total: int, what: str) -> Iterator[T]:  # noqa: ARG002
        """Pass the items on."""
        yield from items


class TerminalProgress:
    """Draw a bar on standard error while it is a terminal; say nothing otherwise."""

    def __init__(self, console: Console) -> None:
        self._console = console

    def track(self, items: Iterable[T], total: int, what: str) -> Iterator[T]:
        """Pass the items on, drawing a bar that goes when the work is done."""
        if not self._console.is_terminal or total == 0:
            yield from items
            return
        columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
        with Progress(*columns, console=self._console, transient=True) as bar:
            task = bar.add_task(what, total=total)
            for item in items:
                yield item
                bar.advance(task)
