"""What parent and child say to each other: a length of eight bytes, then so many bytes."""

from typing import BinaryIO

import msgspec

# No answer is longer: a gray page of 120 million pixels.
LONGEST_BYTES = 400_000_000


class Request(msgspec.Struct, frozen=True):
    """A piece of work: "module:function", what it is called with, what it may take."""

    task: str
    arguments: dict[str, msgspec.Raw]
    cpu_s: float
    memory_bytes: int


class Reply(msgspec.Struct, frozen=True):
    """What came of it: the value, or what was raised; `kind` names the error's class, empty when there was none."""

    value: msgspec.Raw = msgspec.Raw(b"\xc0")
    content: bytes = b""
    kind: str = ""
    words: tuple[str, ...] = ()


def send(stream: BinaryIO, message: Request | Reply) -> None:
    """Write one message.

    Raises:
        OSError: Nobody reads it.
    """
    raw = msgspec.msgpack.encode(message)
    stream.write(len(raw).to_bytes(8, "big"))
    stream.write(raw)
    stream.flush()


def receive(stream: BinaryIO) -> bytes | None:
    """Read one message; None where the other side has ended, or makes no sense."""
    head = stream.read(8)
    length = int.from_bytes(head, "big")
    if len(head) < 8 or length > LONGEST_BYTES:
        return None
    raw = stream.read(length)
    return raw if len(raw) == length else None
