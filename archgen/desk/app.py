"""The desk as a web application: its routes, what may be reached before the archive is read, its guard."""

import inspect
from collections.abc import Callable, Mapping
from functools import wraps
from http import HTTPStatus

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Mount, Route
from starlette.types import ASGIApp

from archgen.desk import site_pages, starting
from archgen.desk.answering import DeskBar, SentenceView, desk_of, desk_page, show_trouble, site_of
from archgen.desk.filing import handlers as filing_handlers
from archgen.desk.guards import Door, Guard
from archgen.desk.inbox import handlers as inbox_handlers
from archgen.desk.inbox.view import home_pens
from archgen.desk.pens import routes as pens
from archgen.desk.pens.routes import wrote_of
from archgen.desk.planning import order_page, quote_page
from archgen.desk.state import DeskState
from archgen.languages.house import say

# Of a page of the archive, by its template: what its pens need beside the view, made from the state and its path.
PensOf = Callable[[DeskState, str], object]
PENS: Mapping[str, PensOf] = {"list.html": home_pens, **pens.PENS}


def alive(_request: Request) -> Response:
    """Answer a page that says somebody is still at the desk."""
    return Response(status_code=HTTPStatus.NO_CONTENT)


# What needs no archive.
EARLY = frozenset((alive, site_pages.asset, site_pages.now, *(route.endpoint for route in starting.ROUTES)))
ROUTES = (
    Route("/alive", alive),
    *starting.ROUTES,
    *inbox_handlers.ROUTES,
    *filing_handlers.ROUTES,
    *pens.ROUTES,
    *quote_page.ROUTES,
    *order_page.ROUTES,
    *site_pages.ROUTES,
)


def desk_app(state: DeskState, door: Door) -> ASGIApp:
    """Make the application of one desk."""
    routes = [_answered(route) for route in (*ROUTES, *site_pages.LAST_ROUTES)]
    inner = Starlette(routes=[Mount(f"/{door.key}", routes=routes)], exception_handlers={HTTPException: _trouble})
    inner.state.desk = state
    inner.state.bar = _bar
    inner.state.pens = PENS
    return Guard(inner, door)


def _answered(route: Route) -> Route:
    """Give a route whose trouble is said in a sentence, and which waits until the archive is read."""
    endpoint = route.endpoint

    @wraps(endpoint)
    async def answer(request: Request) -> Response:
        if endpoint not in EARLY and desk_of(request).shown is None:
            return await run_in_threadpool(waiting, request)
        try:
            if inspect.iscoroutinefunction(endpoint):
                response: Response = await endpoint(request)
                return response
            return await run_in_threadpool(endpoint, request)
        except Exception as error:
            return await run_in_threadpool(show_trouble, request, error)

    return Route(route.path, answer, methods=list(route.methods or ("GET",)))


async def _trouble(request: Request, error: Exception) -> Response:
    return await run_in_threadpool(show_trouble, request, error)


def waiting(request: Request) -> Response:
    """Say how far the first reading is, and look again in a moment."""
    state = desk_of(request)
    if starting.needs_start(state):
        return starting.start_page(request)
    if state.trouble:
        view = SentenceView(site_of(None), say("The archive cannot be read"), tuple(state.trouble.splitlines()))
        return desk_page(request, "sentence.html", view, status=HTTPStatus.CONFLICT)
    state.wait(0.5)
    done = state.progress
    words = f"{done.what}."
    if done.total:
        words = say("{what}: {done} of {total}.", what=done.what, done=done.done, total=done.total)
    share = done.done / done.total if done.total else None
    sentences = (
        words,
        say("The first time takes a while: every picture is looked at once. Nothing of yours is changed."),
    )
    view = SentenceView(site_of(None), say("Reading the archive"), sentences, again_after=1, share=share)
    return desk_page(request, "sentence.html", view)


def _bar(request: Request) -> DeskBar:
    state = desk_of(request)
    waiting_now = state.inbox.waiting() if state.inbox else 0
    return DeskBar(waiting=waiting_now, has_inbox=state.inbox is not None, wrote=wrote_of(state, request))
