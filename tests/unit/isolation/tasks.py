"""What the child is asked to do in these tests."""

import os
import signal
from pathlib import Path


def add(a, b):
    return a + b, b"and bytes"


def who():
    return os.getpid(), b""


def refuse(words):
    raise ValueError(words)


def eat(size):
    return len(bytearray(size)), b""


def spin():
    while True:
        pass


def sleep_for_ever():
    signal.pause()


def die(number):
    os.kill(os.getpid(), number)
    signal.pause()  # it reaches another thread first


def nest(depth):
    return nest(depth + 1)


def chatter():
    os.write(1, b"\0\0\0\0\0\0\0\1\0\0\0\0\0\0\0\0!")
    print("not an answer", flush=True)
    return "answered", b""


def write(path):
    Path(path).write_bytes(b"x")
    return None, b""


def size(content):
    return len(content), b""


def die_of(content, **_):  # noqa: ARG001  as readers of a content are called
    os.kill(os.getpid(), signal.SIGSEGV)
    signal.pause()


def drown_in(content, **_):  # noqa: ARG001
    return len(bytearray(1 << 30)), b""


def get_lost_in(content, **_):  # noqa: ARG001
    spin()
