"""Run one function over many values on several cores, results in the order of the values."""

import atexit
import ctypes
import os
import time
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, wait
from contextlib import contextmanager
from itertools import chain, zip_longest
from queue import SimpleQueue
from threading import Condition, Thread
from typing import TypeVar
from weakref import WeakSet

In = TypeVar("In")
Out = TypeVar("Out")
_Task = tuple[Future[Out], In]
# One picture, sheet or page takes less; at Ctrl+C nobody waits longer.
_MOMENT_SECONDS = 1.0
_threads: "WeakSet[Thread]" = WeakSet()


def default_workers() -> int:
    """Give the number of cores this process may use, at most eight."""
    if hasattr(os, "sched_getaffinity"):
        return min(len(os.sched_getaffinity(0)), 8)
    return min(os.cpu_count() or 1, 8)


def run(function: Callable[[In], Out], values: Sequence[In], workers: int) -> Iterator[Out]:
    """Apply function to every value; threads, since picture work lets the interpreter lock go.

    At most a few values per worker are under way at a time, so results that wait to be collected do not pile up. When
    the caller stops, what is under way is not waited for.
    """
    if workers <= 1 or len(values) <= 1:
        yield from map(function, values)
        return
    tasks: SimpleQueue[_Task[Out, In] | None] = SimpleQueue()
    for _ in range(min(workers, len(values))):
        _start(function, tasks)
    waiting: deque[Future[Out]] = deque()
    try:
        for value in values:
            waiting.append(Future())
            tasks.put((waiting[-1], value))
            if len(waiting) >= workers * 2:
                yield _result(waiting.popleft())
        while waiting:
            yield _result(waiting.popleft())
    finally:
        for future in waiting:
            future.cancel()
        for _ in range(workers):
            tasks.put(None)


@contextmanager
def begun(
    function: Callable[[In], Out], groups: Sequence[Sequence[In]], workers: int
) -> Iterator[Sequence[Iterator[Out]]]:
    """Begin at once with the values of all groups in turn, while the block does something else.

    Gives the results of each group in order. When the block ends, what is under way is not waited for.
    """
    if workers <= 1:
        yield [map(function, values) for values in groups]
        return
    pending: list[list[Future[Out]]] = [[Future() for _ in values] for values in groups]
    tasks: SimpleQueue[_Task[Out, In] | None] = SimpleQueue()
    pairs = [list(zip(futures, values, strict=True)) for futures, values in zip(pending, groups, strict=True)]
    in_turn = [pair for turn in zip_longest(*pairs) for pair in turn if pair]
    for task in (*in_turn, *[None] * workers):
        tasks.put(task)
    for _ in range(min(workers, len(in_turn))):
        _start(function, tasks)
    try:
        yield [map(_result, futures) for futures in pending]
    finally:
        for future in chain.from_iterable(pending):
            future.cancel()


def _start(function: Callable[[In], Out], tasks: SimpleQueue[_Task[Out, In] | None]) -> None:
    thread = Thread(target=_work, args=(function, tasks), daemon=True)
    _threads.add(thread)
    thread.start()


@atexit.register
def _wait_a_moment() -> None:
    """Let threads end what they are at: ended inside a library written in C++, one of them brings the program down."""
    until = time.monotonic() + _MOMENT_SECONDS
    for thread in list(_threads):
        if thread.is_alive():  # somebody may have stopped the program just before it began
            thread.join(max(0.0, until - time.monotonic()))


def _work(function: Callable[[In], Out], tasks: SimpleQueue[_Task[Out, In] | None]) -> None:
    while (task := tasks.get()) is not None:
        future, value = task
        if not future.set_running_or_notify_cancel():
            continue
        try:
            future.set_result(function(value))
        except BaseException as error:  # whatever it is, it is the caller's
            future.set_exception(error)
        del task, future, value  # the last one's result is not kept while waiting for the next


def _result(future: Future[Out]) -> Out:
    """Wait, and wake now and then: on Windows Ctrl+C does not reach a wait without an end."""
    while not future.done():
        wait((future,), timeout=0.2)
    return future.result()


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
    450 MB. To give back all at once costs more: of 24 pieces with photos of 12 megapixels a sixth of the time went into
    fetching empty pages again and again.
    """
    try:
        mallopt = ctypes.CDLL(None).mallopt
    except (OSError, AttributeError, TypeError):  # not glibc
        return
    m_trim_threshold, m_mmap_threshold, m_arena_max = -1, -3, -8  # malloc.h
    mallopt(m_arena_max, 1)
    mallopt(m_mmap_threshold, 4_000_000)
    mallopt(m_trim_threshold, 8_000_000)
