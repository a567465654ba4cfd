"""Show both sites as they lie on the disk, on this computer only, to pages that come anew after every build.

The files stay as they are; into what is shown goes a script that waits for the next build, and on the portfolio's home
page what is not in it. A build that failed is said on the page that is open.
"""

import asyncio
import html
import json
import mimetypes
import os
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from http import HTTPStatus
from pathlib import Path

import uvicorn
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.routing import Mount, Route
from starlette.types import ASGIApp

from archgen.desk.guards import Door, Guard
from archgen.desk.server import listening, server_settings
from archgen.desk.shown import DESK_THEME
from archgen.desk.site_pages import not_there, own_file
from archgen.languages.house import say
from archgen.storage.files import is_inside

# An answer that has nothing new is given after this long: browsers and proxies let go of what takes a minute.
_WAIT_SECONDS = 25.0
_LOOK_EVERY = 0.05
_FOLDERS = ("archive", "portfolio", "sheets", "reprints")


@dataclass(frozen=True, slots=True)
class Turn:
    """What came of a build.

    Attributes:
        number: How many builds ended.
        trouble: Why the last one stopped; empty when it did not.
        hidden: The pieces that are not in the portfolio, by title, and the reasons.
        not_shown: How many those are.
    """

    number: int = 0
    trouble: str = ""
    hidden: Sequence[Sequence[str]] = ()
    not_shown: int = 0


class WatchedSites:
    """The sites of a build folder, and what came of the last build."""

    def __init__(self, root: Path, out: Path) -> None:
        self.root, self.out = root.resolve(), out.resolve()
        # Links lead from the sites to the artist's own files by the way on the disk.
        self._top = Path(os.path.commonpath((self.root, self.out)))
        self.turn = Turn()
        self.is_closing = False

    def built(self, hidden: Sequence[Sequence[str]], not_shown: int) -> None:
        """Note a build that came to its end."""
        self.turn = Turn(self.turn.number + 1, "", hidden, not_shown)

    def failed(self, trouble: str) -> None:
        """Note a build that stopped; what was there before stays."""
        self.turn = Turn(self.turn.number + 1, trouble, self.turn.hidden, self.turn.not_shown)

    def addresses(self, door: Door) -> tuple[str, str]:
        """Give the address of the archive and of the portfolio."""
        way = self.out.relative_to(self._top).as_posix()
        start = door.address if way == "." else f"{door.address}{way}/"
        return f"{start}archive/index.html", f"{start}portfolio/index.html"

    def file(self, path: str) -> Path | None:
        """Give a file of the sites; None when the path leads elsewhere."""
        file = self._top / path
        is_ours = any(is_inside(file, self.out / folder) for folder in _FOLDERS)
        return file if is_ours and file.is_file() else None

    def own(self, path: str) -> Response:
        """Give a file of the artist's own.

        Raises:
            HTTPException: It is hidden, or not there.
        """
        file = self._top / path
        if not file.is_relative_to(self.root):
            raise not_there()
        return own_file(self.root, file)


def sites_app(sites: WatchedSites, door: Door) -> ASGIApp:
    """Make the application that shows them."""
    routes = [Route("/turn", _turn), Route("/watched.{kind}", _watched), Route("/{path:path}", _file)]
    inner = Starlette(routes=[Mount(f"/{door.key}", routes=routes)], exception_handlers={HTTPException: _not_there})
    inner.state.sites = sites
    inner.state.key = door.key
    return Guard(inner, door)


async def _turn(request: Request) -> Response:
    """Answer when a build has ended that the page has not seen."""
    sites: WatchedSites = request.app.state.sites
    waited = 0.0
    while str(sites.turn.number) == request.query_params.get("seen") and waited < _WAIT_SECONDS:
        if sites.is_closing:
            break
        await asyncio.sleep(_LOOK_EVERY)
        waited += _LOOK_EVERY
    return JSONResponse({"turn": sites.turn.number, "trouble": sites.turn.trouble, "ends": sites.is_closing})


def _watched(request: Request) -> Response:
    """Give the script or the style sheet of what is added."""
    name = f"watched.{request.path_params['kind']}"
    if name not in DESK_THEME.files:
        raise not_there()
    return Response(DESK_THEME.content(name), media_type=mimetypes.guess_type(name)[0])


def _file(request: Request) -> Response:
    sites: WatchedSites = request.app.state.sites
    path = request.path_params["path"]
    file = sites.file(path)
    if file is None:
        return sites.own(path)
    content = file.read_bytes()
    if file.suffix == ".html":
        content = _with_watch(content, sites, file, request.app.state.key)
    return Response(content, media_type=mimetypes.guess_type(file.name)[0] or "application/octet-stream")


def _with_watch(page: bytes, sites: WatchedSites, file: Path, key: str) -> bytes:
    """Put the script that waits into a page, and let it ask; to the portfolio's home add what is not in it."""
    turn = sites.turn
    data = html.escape(json.dumps({"turn": turn.number, "trouble": turn.trouble}))
    added = (
        f'<link rel="stylesheet" href="/{key}/watched.css">{_left_out(turn) if _is_home(sites, file) else ""}'
        f'<script src="/{key}/watched.js" data-way="/{key}/turn" data-now="{data}" '
        f'data-ended="{html.escape(say("archgen build --watch has ended. This page stays as it is."))}"></script>'
    ).encode()
    allowed = b"default-src 'none'; script-src 'self'; connect-src 'self'"
    page = page.replace(b"script-src 'self'; ", b"", 1).replace(b"default-src 'none'", allowed, 1)
    head, end, tail = page.rpartition(b"</body>")
    return head + added + end + tail if end else page + added


def _is_home(sites: WatchedSites, file: Path) -> bool:
    return file == sites.out / "portfolio" / "index.html"


def _left_out(turn: Turn) -> str:
    rows = "".join(
        f'<li><b dir="auto">{html.escape(title)}</b> {html.escape(reasons)}</li>' for title, reasons in turn.hidden
    )
    more = turn.not_shown - len(turn.hidden)
    rows += f"<li>{html.escape(say('and {number} more', number=more))}</li>" if more else ""
    head = html.escape(say("Not published: {number}", number=turn.not_shown))
    only = html.escape(say("Only you see this; the portfolio doesn't say it."), quote=False)
    words = f"<summary>{head}</summary><p>{only}</p>"
    return f'<details class="archgen-left-out">{words}<ul>{rows}</ul></details>' if rows else ""


def _not_there(_request: Request, _error: Exception) -> Response:
    return PlainTextResponse(say("There is nothing at this address."), HTTPStatus.NOT_FOUND)


@contextmanager
def showing(sites: WatchedSites) -> Iterator[tuple[str, str]]:
    """Serve the sites as long as the block runs; give the address of the archive and of the portfolio.

    Raises:
        OutputError: This computer gives no port.
    """
    with listening() as listener:
        door = Door(listener.getsockname()[1])
        server = uvicorn.Server(server_settings(sites_app(sites, door)))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, name="sites", daemon=True)
        thread.start()
        try:
            yield sites.addresses(door)
        finally:
            sites.is_closing = True
            server.should_exit = True
            thread.join(timeout=10)
