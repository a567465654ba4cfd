"""The parent's side: give work to a child process, keep the child for the next, and survive its death."""

import atexit
import contextlib
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, TypeVar

import msgspec

from archgen.isolation.frames import Reply, Request, receive, send, widen
from archgen.isolation.limits import WorkLimits
from archgen.languages.house import house, to_say

T = TypeVar("T")

# Telephones make HEIC, so these may read all pictures of a build: one for two cores. More than four would only hold
# memory, since what decoding takes together is limited.
MOST_CHILDREN = max(2, min(4, (os.cpu_count() or 2) // 2))
_START = "import sys; sys.path[:] = {path!r}; from archgen.isolation.serve import serve; serve()"
_TOO_LONG = to_say("takes too long")
# glibc, measured on photos of 12 megapixels: with what it does by itself reading them took a quarter more time than in
# this process and the child kept 100 MB; so it takes none more, and large blocks are given back at once.
_ENVIRONMENT = {
    "OPENBLAS_NUM_THREADS": "1",
    "MALLOC_ARENA_MAX": "1",
    "MALLOC_MMAP_THRESHOLD_": "8000000",
    "MALLOC_TRIM_THRESHOLD_": "64000000",
}


class WorkFailedError(Exception):
    """Work that a child process could not do.

    Attributes:
        why: What ended it, for the artist: "takes too long", ...
        is_certain: Whether it would end so again; not where the child was ended from outside.
    """

    def __init__(self, why: str, *, is_certain: bool = True) -> None:
        super().__init__(why)
        self.why, self.is_certain = why, is_certain

    @property
    def is_of_time(self) -> bool:
        """Say whether it took too long, rather than too much memory."""
        return self.why == _TOO_LONG


class RaisedError(Exception):
    """What the work itself raised: the name of the error's class and its words."""

    def __init__(self, kind: str, words: tuple[str, ...]) -> None:
        super().__init__(kind, *words)
        self.kind, self.words = kind, words


def call(task: str, kind: type[T], limits: WorkLimits, content: bytes = b"", **arguments: Any) -> tuple[T, bytes]:
    """Do "module:function" in a child process and give the value, as its kind, and the bytes it returns.

    The function is called with the arguments by their names, and with the content before them where there is one.

    Raises:
        WorkFailedError: It took too much, or the child process died of it.
        RaisedError: The function raised something.
    """
    encoded = {name: msgspec.Raw(msgspec.msgpack.encode(value)) for name, value in arguments.items()}
    request = Request(task, encoded, limits.cpu_s, limits.memory_bytes, house().tag)
    with _CHILDREN.one() as child:
        reply, given = child.ask(request, limits.wall_s, content)
    if reply.kind in {"MemoryError", "RecursionError"}:
        nested, large = to_say("is nested too deeply"), to_say("takes too much memory")
        raise WorkFailedError(large if reply.kind == "MemoryError" else nested)
    if reply.kind:
        raise RaisedError(reply.kind, reply.words)
    return msgspec.msgpack.decode(reply.value, type=kind), given


class _Child:
    """One child process."""

    def __init__(self) -> None:
        self._process = subprocess.Popen(  # noqa: S603  our own interpreter
            [sys.executable, "-c", _START.format(path=sys.path)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, **_ENVIRONMENT},
        )
        self._was_ended = False
        for pipe in filter(None, (self._process.stdin, self._process.stdout)):
            widen(pipe)

    @property
    def is_alive(self) -> bool:
        """Say whether it can be asked."""
        return self._process.poll() is None

    def ask(self, request: Request, wall_s: float, content: bytes) -> tuple[Reply, bytes]:
        """Give it work and wait for the answer and the bytes that belong to it.

        Raises:
            WorkFailedError: It died, or answered nothing in time.
        """
        assert self._process.stdin  # noqa: S101  both are pipes
        assert self._process.stdout  # noqa: S101
        timer = threading.Timer(wall_s, self._end_late)
        timer.daemon = True
        timer.start()
        answer = None
        try:
            with contextlib.suppress(OSError):
                send(self._process.stdin, request, content)  # type: ignore[arg-type]
                answer = receive(self._process.stdout)  # type: ignore[arg-type]
        except (
            BaseException
        ):  # somebody stopped the program: an answer that comes later must not be taken for another's
            self.end()
            raise
        finally:
            timer.cancel()
        if answer is None:
            self.end()
            raise death_of(self._process.returncode, was_ended=self._was_ended)
        return msgspec.msgpack.decode(answer[0], type=Reply), answer[1]

    def _end_late(self) -> None:
        self._was_ended = True
        self._process.kill()

    def end(self) -> None:
        """Close its ears and wait; it has nothing to lose."""
        for pipe in (self._process.stdin, self._process.stdout):
            with contextlib.suppress(OSError):
                if pipe:
                    pipe.close()
        try:
            self._process.wait(1)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()


def death_of(code: int, *, was_ended: bool) -> WorkFailedError:
    """Say what a child died of: a signal's number below zero, as subprocess gives it, or an exit code."""
    if was_ended:
        return WorkFailedError(_TOO_LONG, is_certain=False)
    name = signal.Signals(-code).name if -code in set(signal.Signals) else ""
    if name == "SIGXCPU":
        return WorkFailedError(_TOO_LONG)
    return WorkFailedError(
        to_say("stops the program that opens it"), is_certain=name not in {"SIGKILL", "SIGTERM", "SIGHUP"}
    )


class _Children:
    """The children that wait for work."""

    def __init__(self) -> None:
        self._free: list[_Child] = []
        self._lock = threading.Lock()
        self._places = threading.BoundedSemaphore(MOST_CHILDREN)
        self._pid = os.getpid()

    @contextmanager
    def one(self) -> Iterator[_Child]:
        """Give a child for a while; one that died is replaced when the next is asked for."""
        with self._places:
            child = self._waiting() or _Child()
            try:
                yield child
            finally:
                if child.is_alive:
                    with self._lock:
                        self._free.append(child)
                else:
                    child.end()

    def _waiting(self) -> _Child | None:
        with self._lock:
            if self._pid != os.getpid():  # a copy of the process: the children are the other's
                self._free, self._pid = [], os.getpid()
            while self._free:
                child = self._free.pop()
                if child.is_alive:
                    return child
                child.end()
        return None

    def end(self) -> None:
        """End all that wait."""
        with self._lock:
            while self._free:
                self._free.pop().end()


_CHILDREN = _Children()
end_children = _CHILDREN.end
atexit.register(end_children)
