"""Let a short piece of work come to its end although somebody stops the program; a second stop counts at once."""

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType


@contextmanager
def finishing_first() -> Iterator[None]:
    """Hold back a stop (Ctrl+C) until the block has ended, then stop.

    Outside the main thread, where no stop arrives, nothing is held back.

    Raises:
        KeyboardInterrupt: Somebody stopped the program meanwhile.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    stops: list[int] = []

    def note(number: int, _frame: FrameType | None) -> None:
        if stops:
            raise KeyboardInterrupt
        stops.append(number)

    before = signal.signal(signal.SIGINT, note)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
    if stops:
        raise KeyboardInterrupt
