"""The pens of the page of designs: one touch says whether a design is free, held or taken."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from archgen.desk.answering import Fields, form_handler
from archgen.desk.pens.saving import Pen, save_pen, seen_digest
from archgen.desk.state import DeskState
from archgen.errors import UsageError
from archgen.languages.house import say, say_in, within
from archgen.outputs.archive.planning.designs import PAGE, STATE_WORDS
from archgen.records.designs.model import Design, DesignState
from archgen.writing.record_text import Edit, RemoveKey, SetKey

_STATES = {state.value: words for state, words in STATE_WORDS.items()}


def _states() -> tuple[tuple[str, str], ...]:
    return tuple((state, say_in("design", words)) for state, words in _STATES.items())


@dataclass(frozen=True, slots=True)
class DesignPens:
    """What the page needs for its pens.

    Attributes:
        seen: Of the record of each design, by the design's id.
    """

    seen: Mapping[str, str]
    today: str
    states: tuple[tuple[str, str], ...]


def design_pens(state: DeskState, _path: str) -> DesignPens:
    """Make the pens of the page."""
    catalogue = state.current.catalogue
    seen = {design.id: seen_digest(state.root, design.toml) for design in catalogue.designs}
    return DesignPens(seen, catalogue.built_on.isoformat(), _states())


def save_state(state: DeskState, request: Request, fields: Fields) -> Response:
    """Write whether a design can be had."""
    design = _design(state, fields.one("design"))
    wanted = fields.one("state")
    if wanted not in _STATES:
        raise UsageError(say("Say whether it is free, held or taken. Nothing was written."))
    edits = state_edits(wanted, fields.one("holder"), fields.one("until"))
    words = f"{design.title}: {within(say_in('design', _STATES[wanted]))}"
    return save_pen(state, request, fields, Pen(words, design.toml, edits, PAGE))


def state_edits(wanted: str, holder: str, until: str) -> tuple[Edit, ...]:
    """Give what is written; what is free is held for nobody.

    Raises:
        UsageError: The day is none.
    """
    edits: list[Edit] = [SetKey(("state",), wanted)]
    if wanted == DesignState.FREE.value:
        return (*edits, RemoveKey(("holder",)), RemoveKey(("until",)))
    if holder.strip():
        edits.append(SetKey(("holder",), holder.strip()))
    if until and wanted == DesignState.HELD.value:
        try:
            edits.append(SetKey(("until",), dt.date.fromisoformat(until)))
        except ValueError as error:
            raise UsageError(
                say("“{until}” isn't a day. Choose one, or leave it empty. Nothing was written.", until=until)
            ) from error
    return tuple(edits)


def _design(state: DeskState, name: str) -> Design:
    found = next((one for one in state.current.catalogue.designs if one.id == name and one.record), None)
    if found is None:
        raise UsageError(say("This design is not in the archive any more. Nothing was written."))
    return found


ROUTES = (Route("/pen/design", form_handler(save_state), methods=["POST"]),)
