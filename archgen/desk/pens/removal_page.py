"""A client's removal at the desk: each file and line has its own tick, is looked at once more, and goes in one step."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from archgen.desk.answering import Fields, desk_of, desk_page, form_handler
from archgen.desk.pens.saving import carry_out_at_desk
from archgen.desk.state import DeskState
from archgen.errors import OutputError, UsageError
from archgen.holdings.carrying import removal_change
from archgen.holdings.going import Going
from archgen.holdings.person import find_person
from archgen.holdings.removal import RemovalPlan, plan_removal
from archgen.holdings.removal_words import NO_ADVICE, keeping_words, online_words, removal_afterwards
from archgen.languages.house import say
from archgen.outputs.archive.context import Site
from archgen.outputs.site_pages import PagePicture, picture
from archgen.writing.changes import KEPT, removals_to_end, throw_away

_SEEN = 16


@dataclass(frozen=True, slots=True)
class GoingRow:
    """A thing that would go, with its picture where it is one."""

    number: int
    where: str
    going: Going
    picture: PagePicture | None


@dataclass(frozen=True, slots=True)
class RemovalView:
    """The page; `is_last_look` shows only what was ticked and asks once more."""

    site: Site
    code: str
    seen: str
    rows: tuple[GoingRow, ...]
    keeping: tuple[str, ...]
    online: tuple[str, ...]
    by_hand: tuple[str, ...]
    is_last_look: bool
    no_advice: str
    afterwards: tuple[str, ...]


def show_removal(request: Request) -> Response:
    """Show what would go; nothing is ticked."""
    state = desk_of(request)
    code, plan = _planned(state, request.path_params["code"])
    return desk_page(request, "removal.html", _view(state, code, plan, plan.going, is_last_look=False))


def save_removal(state: DeskState, request: Request, fields: Fields) -> Response:
    """Show what was ticked once more, or remove it."""
    with state.writing:
        code, plan = _planned(state, request.path_params["code"])
        if fields.one("seen") != _digest(plan):
            raise OutputError(say("The archive was changed meanwhile. Nothing was removed; look at the list again."))
        ticked = set(fields.all("yes"))
        chosen = [one for number, one in enumerate(plan.going, 1) if str(number) in ticked]
        if not chosen:
            raise UsageError(say("Nothing was ticked, so nothing was removed."))
        if fields.one("sure") != "yes":
            return desk_page(request, "removal.html", _view(state, code, plan, chosen, is_last_look=True))
        kept = state.out / KEPT
        throw_away(state.root, kept, removals_to_end(kept, dt.datetime.now(dt.UTC)))
        return carry_out_at_desk(state, request, removal_change(state.root, chosen), "clients.html")


def _planned(state: DeskState, typed: str) -> tuple[str, RemovalPlan]:
    catalogue = state.current.catalogue
    person = find_person(catalogue, typed)
    return person.code, plan_removal(person, catalogue)


def _digest(plan: RemovalPlan) -> str:
    return sha256(repr(plan).encode()).hexdigest()[:_SEEN]


def _view(state: DeskState, code: str, plan: RemovalPlan, shown: Sequence[Going], *, is_last_look: bool) -> RemovalView:
    facts = state.current.catalogue.facts
    rows = tuple(
        GoingRow(
            number,
            one.where,
            one,
            picture(facts[one.path].screen, "", wanted_px=160) if one.is_file and one.path in facts else None,
        )
        for number, one in enumerate(plan.going, 1)
        if one in shown
    )
    return RemovalView(
        site=state.current.context.site,
        code=code,
        seen=_digest(plan),
        rows=rows,
        keeping=tuple(keeping_words(one, plan.years) for one in plan.keeping),
        online=tuple(map(online_words, plan.online)),
        by_hand=plan.by_hand,
        is_last_look=is_last_look,
        no_advice=say(NO_ADVICE),
        afterwards=removal_afterwards(),
    )


ROUTES = (
    Route("/removal/{code}.html", show_removal),
    Route("/removal/{code}.html", form_handler(save_removal), methods=["POST"]),
)
