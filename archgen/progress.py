"""Progress of long work: a protocol and a silent one."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager, nullcontext
from typing import Protocol, TypeVar

T = TypeVar("T")


class ProgressReporter(Protocol):
    """Something that is told how far a loop has come."""

    def track(self, items: Iterable[T], total: int, what: str) -> Iterator[T]:
        """Pass the items on, counting them towards total."""
        ...

    def counter(self, what: str) -> AbstractContextManager[Callable[[int, int], None]]:
        """Give a function that is told how much is done, and of how much."""
        ...


class Silent:
    """Say nothing."""

    def track(self, items: Iterable[T], total: int, what: str) -> Iterator[T]:  # noqa: ARG002
        """Pass the items on."""
        yield from items

    def counter(self, what: str) -> AbstractContextManager[Callable[[int, int], None]]:  # noqa: ARG002
        """Give a function that does nothing."""
        return nullcontext(lambda _done, _total: None)
