"""Run one function over many values on several cores, results in the order of the values."""

import ctypes
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from threading import Condition
from typing import TypeVar

In = TypeVar("In")
Out = TypeVar("Out")


def default_workers() -> int:
    """Give the number of cores this process may use, at most eight."""
    if hasattr(os, "sched_getaffinity"):
        return min(len(os.sched_getaffinity(0)), 8)
    return min(os.cpu_count() or 1, 8)


def run(function: Callable[[In], Out], values: Sequence[In], workers: int) -> Iterator[Out]:
    """Apply function to every value; threads, since picture work lets the interpreter lock go.

    At most a few values per worker are under way at a time, so results that wait to be collected do not pile up.
    """
    if workers <= 1 or len(values) <= 1:
        yield from map(function, values)
        return
    with ThreadPoolExecutor(workers) as pool:
        ahead = workers * 2
        waiting = [pool.submit(function, value) for value in values[:ahead]]
        for index in range(len(values)):
            result = waiting[index].result()
            waiting[index] = None  # type: ignore[call-overload]  # lets the finished result go
            if index + ahead < len(values):
                waiting.append(pool.submit(function, values[index + ahead]))
            yield result


class Budget:
    """A common supply, bytes of memory for instance, that work takes from and gives back."""

    def __init__(self, total: int) -> None:
        self._free = self._total = total
        self._changed = Condition()

    @contextmanager
    def hold(self, amount: int) -> Iterator[None]:
        """Wait until so much is free, and hold it while the block runs; more than all there is counts as all."""
        amount = min(amount, self._total)
        with self._changed:
            self._changed.wait_for(lambda: amount <= self._free)
            self._free -= amount
        try:
            yield
        finally:
            with self._changed:
                self._free += amount
                self._changed.notify_all()


def keep_memory_low() -> None:
    """Tell the C library to share one heap among threads and to give freed memory back; elsewhere do nothing.

    glibc keeps a heap per thread and trims it late: the build of the demo archive peaked at 650 MB, with this at
    450 MB.
    """
    try:
        mallopt = ctypes.CDLL(None).mallopt
    except (OSError, AttributeError, TypeError):  # not glibc
        return
    m_trim_threshold, m_arena_max = -1, -8  # malloc.h
    mallopt(m_arena_max, 1)
    mallopt(m_trim_threshold, 1_000_000)
