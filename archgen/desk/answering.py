"""What every handler of the desk needs: the state, fields of a form, pages from templates, trouble in a sentence."""

import secrets
import shutil
import traceback
from collections.abc import Awaitable, Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from http import HTTPStatus
from pathlib import Path

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response

from archgen.desk.inbox.waiting import InboxState
from archgen.desk.shown import ShownArchive, desk_theme
from archgen.desk.state import DeskState
from archgen.desk.uploads import Received, receive_form
from archgen.errors import ArchgenError
from archgen.languages.house import house, say
from archgen.outputs.archive.context import Site

MOST_FIELDS = 5000
# Below the build folder: files on their way into a piece, each form in a folder of its own.
INCOMING = "incoming"
_LATER = HTTPStatus.SEE_OTHER


@dataclass(frozen=True, slots=True)
class DeskBar:
    """What the head of every page says of the desk.

    Attributes:
        waiting: Pictures in the inbox.
        has_inbox: Whether there is an archive to file them into.
        wrote: What was just written, for the panel above the page; None when nothing was.
    """

    waiting: int = 0
    has_inbox: bool = True
    wrote: object = None


@dataclass(frozen=True, slots=True)
class SentenceView:
    """A page that says one thing: what happened, and where to go on.

    Attributes:
        way_on: Address from the desk's first folder and words; none: only the way back.
        again_after: Seconds until the page looks again; 0: it stays.
        share: How much is done of what is waited for, 0 to 1; None: nobody knows.
    """

    site: Site
    title: str
    sentences: tuple[str, ...]
    way_on: tuple[str, str] | None = None
    again_after: int = 0
    share: float | None = None


class Fields:
    """The fields of a form as they were sent; what is not there is empty."""

    def __init__(self, form: FormData | Sequence[tuple[str, str]]) -> None:
        items = form.multi_items() if isinstance(form, FormData) else form
        self._values: dict[str, list[str]] = {}
        for name, value in items:
            if isinstance(value, str):
                self._values.setdefault(name, []).append(value.replace("\r\n", "\n").strip())

    def one(self, name: str) -> str:
        """Give the last value that says anything."""
        return next((value for value in reversed(self.all(name)) if value), "")

    def all(self, name: str) -> list[str]:
        """Give all values of a name in their order."""
        return self._values.get(name, [])

    def names(self) -> list[str]:
        """Give the names that were sent, in their order."""
        return list(self._values)


FormHandler = Callable[[DeskState, Request, Fields], Response]


def desk_of(request: Request) -> DeskState:
    """Give the state of the desk that is asked."""
    state: DeskState = request.app.state.desk
    return state


def form_handler(handle: FormHandler) -> Callable[[Request], Awaitable[Response]]:
    """Make an endpoint of a function that gets the fields of a form and may take its time."""

    async def endpoint(request: Request) -> Response:
        form = await request.form(max_fields=MOST_FIELDS, max_files=0)
        try:
            return await run_in_threadpool(handle, desk_of(request), request, Fields(form))
        finally:
            await form.close()

    return endpoint


FileFormHandler = Callable[[DeskState, Request, Fields, Sequence[Received]], Response]


def file_form_handler(handle: FileFormHandler, kinds: Sequence[str]) -> Callable[[Request], Awaitable[Response]]:
    """Make an endpoint of a function that gets a form with files; they are there until it has answered."""

    async def endpoint(request: Request) -> Response:
        state = desk_of(request)
        folder = state.out / INCOMING / secrets.token_hex(8)
        content_type = request.headers.get("content-type", "")
        try:
            received, fields = await receive_form(folder, content_type, request.stream(), kinds)
            return await run_in_threadpool(handle, state, request, Fields(fields), received)
        finally:
            await run_in_threadpool(_take_away, folder)

    return endpoint


def _take_away(folder: Path) -> None:
    shutil.rmtree(folder, ignore_errors=True)
    with suppress(OSError):  # another form's files are on their way
        folder.parent.rmdir()


def way_home(request: Request) -> str:
    """Give the way from a page back to the desk's first folder, so that every link stays relative."""
    below = request.url.path.split("/")[2:]
    return "../" * (len(below) - 1)


def see_other(request: Request, path: str) -> Response:
    """Send the browser to a page after a form, so that reloading sends nothing twice."""
    return RedirectResponse(way_home(request) + path or ".", _LATER)


def desk_page(request: Request, template: str, view: object, *, status: int = 200, pens: object = None) -> Response:
    """Fill a template of the desk's theme."""
    bar = request.app.state.bar(request)
    text = desk_theme().render(template, view=view, root=way_home(request), desk=bar, pens=pens)
    return HTMLResponse(text, status)


def sentence_page(request: Request, title: str, *sentences: str, status: int = 200) -> Response:
    """Answer with one sentence and a way back."""
    view = SentenceView(site_of(desk_of(request).shown), title, sentences, way_on=("index.html", say("To the pieces")))
    return desk_page(request, "sentence.html", view, status=status)


def inbox_of(request: Request) -> InboxState:
    """Give the inbox, looked at anew."""
    inbox = desk_of(request).inbox
    if inbox is None:
        raise HTTPException(HTTPStatus.NOT_FOUND)
    inbox.look()
    return inbox


def site_of(shown: ShownArchive | None) -> Site:
    """Give what every page says; before an archive is read there is little to say."""
    return shown.context.site if shown else Site(say("Desk"), house().tag, (), "")


def show_trouble(request: Request, error: Exception) -> Response:
    """Say what the artist can put right; anything else is a mistake of this program."""
    match error:
        case ArchgenError():
            return sentence_page(request, say("That did not work"), str(error), status=HTTPStatus.CONFLICT)
        case HTTPException(status_code=HTTPStatus.NOT_FOUND):
            return sentence_page(request, say("Nothing here"), say("There is no such page in the archive."), status=404)
        case HTTPException():
            return sentence_page(request, say("That did not work"), str(error.detail), status=error.status_code)
    traceback.print_exception(error)
    words = say("This is a mistake in archgen, not in your archive. Nothing of yours was changed by it.")
    try:
        return sentence_page(request, say("That did not work"), words, status=500)
    except Exception:  # what is broken may be what every page shows
        return PlainTextResponse(words, 500)
