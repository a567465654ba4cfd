"""The inbox's addresses: its page, pictures that arrive, and what the artist says of them."""

from http import HTTPStatus
from pathlib import Path
from urllib.parse import urlencode

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route

from archgen.desk.answering import Fields, desk_of, desk_page, form_handler, inbox_of, see_other
from archgen.desk.file_names import safe_name
from archgen.desk.inbox.view import inbox_view
from archgen.desk.state import DeskState
from archgen.desk.uploads import LARGEST_PICTURE, receive_form, receive_one, too_large_words
from archgen.errors import UsageError
from archgen.intake.plan import What
from archgen.languages.house import say


def inbox_page(request: Request) -> Response:
    """Show what waits."""
    context = desk_of(request).current.context
    said = tuple(request.query_params.getlist("said"))[:20]
    view = inbox_view(inbox_of(request), context, request.query_params.get("look", ""), said)
    return desk_page(request, "inbox.html", view)


def small_picture(request: Request) -> Response:
    """Give the small copy of a picture that waits."""
    name = request.path_params["name"]
    path: Path = inbox_of(request).blobs / name
    if not name.replace(".", "").isalnum() or not path.is_file():
        raise HTTPException(HTTPStatus.NOT_FOUND)
    return FileResponse(path)


def how_far(request: Request) -> Response:
    """Say whether the plan is ready, for the page's script."""
    inbox = inbox_of(request)
    return JSONResponse({"planning": inbox.is_planning, "waiting": inbox.waiting()})


async def upload(request: Request) -> Response:
    """Take one picture as it comes; one that is announced as too large is not waited for."""
    announced = request.headers.get("content-length", "")
    if announced.isdecimal() and int(announced) > LARGEST_PICTURE:
        name = safe_name(request.query_params.get("name", ""))
        return JSONResponse({"name": name, "said": too_large_words(name)}, HTTPStatus.REQUEST_ENTITY_TOO_LARGE)
    received = await receive_one(inbox_of(request).folder, request.query_params.get("name", ""), request.stream())
    status = HTTPStatus.OK if received.path else HTTPStatus.UNPROCESSABLE_ENTITY
    return JSONResponse({"name": received.name, "said": received.words}, status)


async def upload_form(request: Request) -> Response:
    """Take the pictures of a form, and say on the inbox's page what was left out."""
    inbox = inbox_of(request)
    content_type = request.headers.get("content-type", "")
    received, _ = await receive_form(inbox.folder, content_type, request.stream())
    inbox.look()
    return see_other(request, f"inbox.html{_said([one.words for one in received if one.words])}")


def _said(sentences: list[str]) -> str:
    return f"?{urlencode([('said', one) for one in sentences[:20]])}" if sentences else ""


def note(_state: DeskState, request: Request, fields: Fields) -> Response:
    """Take what the artist says of a picture: what it is, where it belongs."""
    inbox = inbox_of(request)
    key, what, group = fields.one("picture"), fields.one("what"), fields.one("group")
    picture = next((one for one in inbox.plan.pictures if one.key == key), None)
    if picture is None:
        raise UsageError(say("This picture is not in the inbox any more. Look at the page again."))
    if what in {one.value for one in What}:
        inbox.said.what[key] = What(what)
        if What(what) is picture.guess.what:
            del inbox.said.what[key]
    if group:
        inbox.said.group[key] = group
    return see_other(request, f"inbox.html?look={key}#shot-{key}" if fields.one("look") else f"inbox.html#shot-{key}")


def not_there(_state: DeskState, request: Request, fields: Fields) -> Response:
    """Say that a group does not belong to the piece it was proposed for."""
    inbox_of(request).said.not_there.add(fields.one("group"))
    return see_other(request, "inbox.html")


ROUTES = (
    Route("/inbox.html", inbox_page),
    Route("/inbox/img/{name}", small_picture),
    Route("/inbox/state", how_far),
    Route("/upload", upload, methods=["POST"]),
    Route("/upload-form", upload_form, methods=["POST"]),
    Route("/inbox/say", form_handler(note), methods=["POST"]),
    Route("/inbox/another", form_handler(not_there), methods=["POST"]),
)
