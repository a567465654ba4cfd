"""Show on the terminal how far long work has come."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import TypeVar

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

T = TypeVar("T")


class TerminalProgress:
    """Draw a bar on standard error while it is a terminal; say nothing otherwise."""

    def __init__(self, console: Console) -> None:
        self._console = console

    def track(self, items: Iterable[T], total: int, what: str) -> Iterator[T]:
        """Pass the items on, drawing a bar that goes when the work is done."""
        if not self._console.is_terminal or total == 0:
            yield from items
            return
        with self._bar() as bar:
            task = bar.add_task(what, total=total)
            for item in items:
                yield item
                bar.advance(task)

    @contextmanager
    def counter(self, what: str) -> Iterator[Callable[[int, int], None]]:
        """Give a function that moves a bar; until its first call the bar only shows that work goes on."""
        if not self._console.is_terminal:
            yield lambda _done, _total: None
            return
        with self._bar() as bar:
            task = bar.add_task(what, total=None)
            yield lambda done, total: bar.update(task, completed=done, total=total)

    def _bar(self) -> Progress:
        columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
        return Progress(*columns, console=self._console, transient=True)
