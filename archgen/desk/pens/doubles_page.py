"""Doubles decided by a button, one group at a time, on the picture that shows where they differ."""

from dataclasses import dataclass, replace

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from archgen.catalogue import Catalogue, DoubleGroup
from archgen.desk.answering import Fields, desk_of, desk_page, form_handler
from archgen.desk.pens.saving import carry_out_at_desk
from archgen.desk.state import DeskState
from archgen.doubles.decide import verdicts_about_group
from archgen.doubles.decisions_file import FILE
from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.outputs.archive.doubles import DoubleView, doubles_view
from archgen.storage.files import digest_bytes
from archgen.writing.addition import addition
from archgen.writing.change import Change

PAGE = "doubles.html"


@dataclass(frozen=True, slots=True)
class OpenGroup:
    """One line of the list of open groups."""

    href: str
    group: DoubleView
    is_current: bool


@dataclass(frozen=True, slots=True)
class DoublesPens:
    """What the page needs for its buttons.

    Attributes:
        key: Which group is shown, whatever is decided meanwhile.
        later: The page with the next group.
    """

    key: str
    groups: tuple[OpenGroup, ...]
    later: str


def group_key(group: DoubleGroup) -> str:
    """Tell a group from all others by its pictures."""
    return digest_bytes(*sorted(group.paths))[:12]


def show_doubles(request: Request) -> Response:
    """Show one group and the list of the open ones."""
    context = desk_of(request).current.context
    view = doubles_view(context)
    keys = [group_key(group) for group in context.catalogue.twins.doubles[: len(view.groups)]]
    asked = request.query_params.get("group", "")
    current = keys.index(asked) if asked in keys else 0
    pens = None
    if keys:
        groups = tuple(
            OpenGroup(f"{PAGE}?group={key}", group, number == current)
            for number, (key, group) in enumerate(zip(keys, view.groups, strict=True))
        )
        pens = DoublesPens(keys[current], groups, f"{PAGE}?group={keys[(current + 1) % len(keys)]}")
        view = replace(view, groups=(view.groups[current],))
    return desk_page(request, PAGE, view, pens=pens)


def save_decision(state: DeskState, request: Request, fields: Fields) -> Response:
    """Write a decision down."""
    with state.writing:
        catalogue = state.current.catalogue
        group = _group(catalogue, fields.one("group"))
        keep, others = _answer(group, fields)
        verdicts = verdicts_about_group(catalogue, group.paths, keep=keep, others=others)
        added = addition(state.root, FILE, [verdict.lines() for verdict in verdicts])
        return carry_out_at_desk(state, request, Change(verdicts[0].words, edited=(added,)), PAGE)


def _group(catalogue: Catalogue, key: str) -> DoubleGroup:
    found = next((group for group in catalogue.twins.doubles if group_key(group) == key), None)
    if found is None:
        raise UsageError(say("These pictures are decided already. Nothing was written."))
    return found


def _answer(group: DoubleGroup, fields: Fields) -> tuple[str | None, tuple[str, ...]]:
    """Give the picture that is kept, None when all are different, and those that are not it."""
    said = fields.one("keep")
    if said == "all":
        return None, ()
    numbered = {str(place): path for place, path in enumerate(group.paths)}
    if said not in numbered:
        raise UsageError(say("Choose one of the answers. Nothing was written."))
    others = tuple(dict.fromkeys(numbered[one] for one in fields.all("other") if one in numbered))
    if numbered[said] in others:
        raise UsageError(say("The picture that is kept can't be another one too. Nothing was written."))
    return numbered[said], others


ROUTES = (
    Route(f"/{PAGE}", show_doubles),
    Route("/pen/double", form_handler(save_decision), methods=["POST"]),
)
