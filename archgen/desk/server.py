"""Run the desk: on this computer only, at a port nobody knows beforehand, until it is stopped or left alone."""

import contextlib
import os
import shutil
import socket
import threading
import time
import webbrowser
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import uvicorn
from filelock import FileLock, Timeout
from starlette.types import ASGIApp, Receive, Scope, Send

from archgen.desk.answering import INCOMING
from archgen.desk.app import desk_app
from archgen.desk.background import BackgroundBuild
from archgen.desk.guards import Door
from archgen.desk.state import DeskState
from archgen.errors import OutputError, disk_reason
from archgen.languages.house import say
from archgen.records.layout import is_archive
from archgen.storage.build_folder import DESK_LOCK
from archgen.storage.staging import output_folder
from archgen.writing.changes import KEPT, finish_interrupted

# After this long without a touch the desk closes: a page forgotten open tells names and health to whoever sits down.
IDLE_SECONDS = 3600.0
_LOOK_EVERY = 5.0
_ADDRESS = ".desk-address"


class OpenDeskError(Exception):
    """A desk of this archive is open already.

    Attributes:
        address: Where; None when it does not say.
    """

    def __init__(self, address: str | None) -> None:
        super().__init__(address)
        self.address = address


class IdleClock:
    """Notes when the desk was asked last."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app
        self.asked = time.monotonic()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on."""
        self.asked = time.monotonic()
        try:
            await self._app(scope, receive, send)
        finally:
            self.asked = time.monotonic()

    @property
    def idle_seconds(self) -> float:
        """Give how long nobody asked."""
        return time.monotonic() - self.asked


def run_desk(
    state: DeskState, tell: Callable[[str], None], *, opens_browser: bool = True, idle_after: float = IDLE_SECONDS
) -> None:
    """Serve until Ctrl-C or until nobody was there for a while.

    Raises:
        OpenDeskError: Another desk has this archive.
        OutputError: The build folder cannot be used, or this computer gives no port.
    """
    with output_folder(state.out, state.root):
        pass  # said before a browser opens
    if is_archive(state.root):
        for words in finish_interrupted(state.root, state.out / KEPT):
            tell(words)
    with listening() as listener, the_only_desk(state.out) as remember:
        door = Door(listener.getsockname()[1])
        remember(door.address)
        builder = BackgroundBuild(state.root, state.out, state.renew, state.may_tidy)
        state.build_again = builder.ask
        clock = IdleClock(desk_app(state, door))
        server = uvicorn.Server(server_settings(clock))
        if is_archive(state.root):
            threading.Thread(target=state.load, name="reading", daemon=True).start()
        threading.Thread(target=_close_when_idle, args=(server, clock, idle_after, tell), daemon=True).start()
        builder.start()
        tell(say("The desk is open at {address}", address=door.address))
        tell(say("Only this computer can reach it. Ctrl+C closes it."))
        if opens_browser:
            threading.Thread(target=webbrowser.open, args=(door.address,), daemon=True).start()
        try:
            with contextlib.suppress(KeyboardInterrupt):
                server.run(sockets=[listener])
        finally:
            builder.stop()
        tell(say("The desk is closed. Everything that was saved is on the disk."))


@contextmanager
def listening() -> Iterator[socket.socket]:
    """Take a free port of the loopback address.

    Raises:
        OutputError: There is none.
    """
    try:
        with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as listener:
            listener.bind(("127.0.0.1", 0))
            listener.listen(128)  # a browser that is quicker than the start waits instead of being refused
            yield listener
    except OSError as error:
        raise OutputError(
            say("This computer gives the desk no port ({reason}). Close other programs.", reason=disk_reason(error))
        ) from error


@contextmanager
def the_only_desk(out: Path) -> Iterator[Callable[[str], None]]:
    """Keep a second desk out; gives a function that notes the address for it, readable by this user alone.

    Raises:
        OpenDeskError: One is open.
    """
    place = out / _ADDRESS

    def remember(address: str) -> None:
        place.unlink(missing_ok=True)
        with open(os.open(place, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="utf-8") as stream:  # noqa: PTH123
            stream.write(address)

    try:
        with FileLock(out / DESK_LOCK, timeout=0):
            shutil.rmtree(out / INCOMING, ignore_errors=True)  # of a desk that was killed
            try:
                yield remember
            finally:
                place.unlink(missing_ok=True)
    except Timeout:
        raise OpenDeskError(_noted(place)) from None


def _noted(place: Path) -> str | None:
    try:
        return place.read_text(encoding="utf-8") or None
    except OSError:
        return None


def server_settings(app: ASGIApp) -> uvicorn.Config:
    """Give the settings of a server that is reached from this computer alone."""
    return uvicorn.Config(
        app,
        http="h11",
        ws="none",
        lifespan="off",
        loop="asyncio",
        log_level="error",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=5,
        h11_max_incomplete_event_size=32_768,
    )


def _close_when_idle(server: uvicorn.Server, clock: IdleClock, idle_after: float, tell: Callable[[str], None]) -> None:
    while not server.should_exit:
        time.sleep(min(_LOOK_EVERY, idle_after / 4))
        if clock.idle_seconds > idle_after:
            minutes = round(idle_after / 60)
            tell(say("Nobody has touched the desk for {minutes} minutes, so it closes.", minutes=minutes))
            server.should_exit = True
