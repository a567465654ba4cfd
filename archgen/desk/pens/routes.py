"""The addresses of the pens, and what the archive's pages need for them."""

from collections.abc import Callable, Mapping

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from archgen.desk.answering import Fields, form_handler, see_other
from archgen.desk.pens import (
    change_page,
    doubles_page,
    lay_page,
    noted,
    piece_pens,
    recall_pens,
    removal_page,
)
from archgen.desk.pens.wrote import WroteView, wrote_view
from archgen.desk.planning import design_pens
from archgen.desk.questions import question_page
from archgen.desk.state import DeskState
from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.writing.changes import KEPT, take_back

# Of a page of the archive, by its template: what its pens need beside the view.
PENS: Mapping[str, Callable[[DeskState, str], object]] = {
    "piece.html": piece_pens.piece_pens,
    "batch.html": recall_pens.recall_pens,
    "designs.html": design_pens.design_pens,
}


def save_take_back(state: DeskState, request: Request, fields: Fields) -> Response:
    """Take a change back and return to the page where it was made."""
    number = fields.one("number")
    page = page_within(fields.one("page"))
    with state.writing:
        past = take_back(state.root, state.out / KEPT, number_within(number))
        state.refresh()
    there = state.current.plans
    return see_other(request, f"{page if page in there or page in _OWN else 'index.html'}?wrote={past.number}")


_LONGEST_NUMBER = 9
_OWN = frozenset(("checks.html", "doubles.html", "questions.html"))


def number_within(text: str) -> int:
    """Read the number of a change.

    Raises:
        UsageError: It is none.
    """
    if not text.isdecimal() or len(text) > _LONGEST_NUMBER:
        raise UsageError(say("This can't be taken back here. Nothing was changed."))
    return int(text)


def page_within(page: str) -> str:
    """Give a page of this desk from what a form says; anything else is the first page."""
    plain = page.partition("?")[0].strip("/")
    is_ours = bool(plain) and ":" not in plain and "//" not in plain and ".." not in plain
    return plain if is_ours else "index.html"


def wrote_of(state: DeskState, request: Request) -> WroteView | None:
    """Give what was just written, when the address says so."""
    number = request.query_params.get("wrote", "")
    if not number or state.shown is None:
        return None
    return wrote_view(state, number, "/".join(request.url.path.split("/")[2:]))


ROUTES = (
    Route("/pen/take-back", form_handler(save_take_back), methods=["POST"]),
    *piece_pens.ROUTES,
    *change_page.ROUTES,
    *design_pens.ROUTES,
    *question_page.ROUTES,
    *recall_pens.ROUTES,
    *doubles_page.ROUTES,
    *lay_page.ROUTES,
    *removal_page.ROUTES,
    *noted.ROUTES,
)
