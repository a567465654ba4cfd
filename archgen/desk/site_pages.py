"""The pages of the archive with pens, and the files they show: styles, picture copies, the artist's own files."""

import mimetypes
import re
from http import HTTPStatus
from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, Response
from starlette.routing import Route

from archgen.desk.answering import desk_of, desk_page
from archgen.desk.shown import DESK_THEME
from archgen.outputs.archive.context import NOW
from archgen.outputs.archive.list_scripts import lasting_name
from archgen.storage.files import is_inside

_BLOB = re.compile(r"[0-9a-f]{32}\.[a-z0-9]{2,5}")
# What the artist's own files may be shown as; anything else is offered for keeping. A drawing or a page among them
# may hold scripts of strangers, so each opens in a world of its own.
_SHOWN_TYPES = ("image/", "application/pdf", "text/plain")
_STRANGER = "sandbox; default-src 'none'; img-src 'self' data:; style-src 'unsafe-inline'"


def not_there() -> HTTPException:
    """Give what says that there is nothing at an address."""
    return HTTPException(HTTPStatus.NOT_FOUND)


def archive_page(request: Request) -> Response:
    """Show a page of the archive as it is read now."""
    path = request.path_params.get("path", "") or "index.html"
    shown = desk_of(request).current
    plan = shown.plans.get(path)
    if plan is None:
        raise not_there()
    pens = request.app.state.pens.get(plan.template)
    return desk_page(request, plan.template, plan.view(), pens=pens(desk_of(request), path) if pens else None)


def list_script(request: Request) -> Response:
    """Give the script of a list as it is now, whichever it was asked for."""
    script = desk_of(request).current.list_scripts.get(lasting_name(f"{request.path_params['name']}.js"))
    if script is None or script.make is None:
        raise not_there()
    return Response(script.make(), media_type="text/javascript")


def now(request: Request) -> Response:
    """Give the counts in the head of every page, and the day."""
    shown = desk_of(request).shown
    return Response(shown.context.site.now() if shown else b"", media_type="text/css")


def asset(request: Request) -> Response:
    """Give a style sheet, script or drawing of the theme."""
    wanted = f"assets/{request.path_params['path']}"
    name = next((name for name, path in DESK_THEME.assets.items() if path == wanted), None)
    if name is None:
        raise not_there()
    return Response(DESK_THEME.content(name), media_type=mimetypes.guess_type(name)[0])


def picture_copy(request: Request) -> Response:
    """Give a copy of a picture from the build folder's cache."""
    name = request.path_params["name"]
    path = desk_of(request).cache.blobs / name
    if not _BLOB.fullmatch(name) or not path.is_file():
        raise not_there()
    return FileResponse(path)


def original(request: Request) -> Response:
    """Give a file of the archive folder, as the links of the pages name them; nothing hidden, nothing outside."""
    root, path = desk_of(request).root, request.path_params["path"]
    return own_file(root, root / path)


def own_file(folder: Path, path: Path) -> Response:
    """Give a file of the artist's folder.

    Raises:
        HTTPException: It is hidden, outside, or not there.
    """
    try:
        is_hidden = any(part.startswith(".") for part in path.relative_to(folder).parts)
        is_there = not is_hidden and is_inside(path, folder) and path.is_file()
    except (ValueError, OSError):  # a name with a zero byte, or one too long for the disk
        is_there = False
    if not is_there:
        raise not_there()
    kind = mimetypes.guess_type(path.name)[0] or "application/octet-stream"
    if path.suffix in {".toml", ".md"}:
        kind = "text/plain"
    is_shown = kind.startswith(_SHOWN_TYPES)
    return FileResponse(
        path,
        headers={"Content-Security-Policy": _STRANGER},
        media_type=kind if is_shown else "application/octet-stream",
        filename=None if is_shown else path.name,
    )


ROUTES = (
    Route("/", archive_page),
    Route("/assets/{path:path}", asset),
    Route("/img/{name}", picture_copy),
    Route(f"/{NOW}", now),
    Route("/data/{name}.js", list_script),
    Route("/originals/{path:path}", original),
)
LAST_ROUTES = (Route("/{path:path}", archive_page),)
