"""What parent and child say to each other: two lengths of eight bytes, a message, and bytes that belong to it."""

import contextlib
from collections.abc import Iterable
from types import ModuleType
from typing import IO, BinaryIO, NamedTuple

import msgspec

try:
    import fcntl as _fcntl

    _PIPES: ModuleType | None = _fcntl
except ImportError:  # Windows
    _PIPES = None

# Half of a picture of 12 megapixels goes through in 2 ms so, and in 8 through what a pipe usually holds.
_PIPE_BYTES = 1 << 20

# No answer is longer: a gray page of 250 million pixels.
LONGEST_BYTES = 400_000_000


class Request(msgspec.Struct, frozen=True):
    """A piece of work: "module:function", what it is called with, what it may take, in which language."""

    task: str
    arguments: dict[str, msgspec.Raw]
    cpu_s: float
    memory_bytes: int
    language: str


class Reply(msgspec.Struct, frozen=True):
    """What came of it: the value, or what was raised; `kind` names the error's class, empty when there was none."""

    value: msgspec.Raw = msgspec.Raw(b"\xc0")
    kind: str = ""
    words: tuple[str, ...] = ()


class Stretch(NamedTuple):
    """So many bytes, made one part after the other while they are sent."""

    length: int
    parts: Iterable[bytes]


def send(stream: BinaryIO, message: Request | Reply, content: bytes | Stretch = b"") -> None:
    """Write one message and the bytes beside it.

    Raises:
        OSError: Nobody reads it.
    """
    raw = msgspec.msgpack.encode(message)
    beside = Stretch(len(content), (content,)) if isinstance(content, bytes) else content
    stream.write(len(raw).to_bytes(8, "big") + beside.length.to_bytes(8, "big"))
    stream.write(raw)
    for part in beside.parts:
        stream.write(part)
    stream.flush()


def receive(stream: BinaryIO) -> tuple[bytes, bytes] | None:
    """Read one message and the bytes beside it; None where the other side has ended, or makes no sense."""
    head = stream.read(16)
    lengths = int.from_bytes(head[:8], "big"), int.from_bytes(head[8:], "big")
    if len(head) < 16 or sum(lengths) > LONGEST_BYTES:
        return None
    raw, content = (stream.read(length) for length in lengths)
    return (raw, content) if (len(raw), len(content)) == lengths else None


def widen(pipe: IO[bytes]) -> None:
    """Let a pipe hold more, where that can be had."""
    if asked := getattr(_PIPES, "F_SETPIPE_SZ", None):
        with contextlib.suppress(OSError):
            _PIPES.fcntl(pipe.fileno(), asked, _PIPE_BYTES)  # type: ignore[union-attr]  # it has the name
