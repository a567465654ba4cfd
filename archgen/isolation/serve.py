"""The child's side: do one piece of work after the other until the parent process goes."""

import os
import signal
import sys
import threading
from importlib import import_module
from typing import Any, BinaryIO

import msgspec

from archgen.isolation.frames import Reply, Request, Stretch, receive, send
from archgen.isolation.limits import STACK_BYTES, WorkLimits, keep_within
from archgen.languages.house import speak


def serve() -> None:
    """Answer on what was standard output, so that nothing a library prints can be taken for an answer."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl+C is the parent's
    answers = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    # A thread, since only the stack of a new one can be made larger on every system.
    threading.stack_size(STACK_BYTES)
    worker = threading.Thread(target=_answer_all, args=(sys.stdin.buffer, answers))
    worker.start()
    worker.join()


def _answer_all(requests: BinaryIO, answers: BinaryIO) -> None:
    while (asked := receive(requests)) is not None:
        request, content = msgspec.msgpack.decode(asked[0], type=Request), asked[1]
        del asked
        try:
            send(answers, *_done(request, content))
        except BrokenPipeError:
            return


def _done(request: Request, content: bytes) -> tuple[Reply, bytes | Stretch]:
    try:
        speak(request.language)
        module, _, name = request.task.partition(":")
        work: Any = getattr(import_module(module), name)
        # What the work needs is there now; its limits are about the file.
        keep_within(WorkLimits(request.cpu_s, request.memory_bytes))
        arguments = {key: msgspec.msgpack.decode(one) for key, one in request.arguments.items()}
        value, given = work(*((content,) if content else ()), **arguments)
        return Reply(msgspec.Raw(msgspec.msgpack.encode(value))), given
    except BaseException as error:  # whatever the work runs into, the parent is told
        words = tuple(str(one) for one in error.args) if isinstance(error, Exception) else ()
        return Reply(kind=type(error).__name__, words=words), b""
