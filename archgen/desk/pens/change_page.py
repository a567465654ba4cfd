"""Change any field of a filed piece: the record as fields, what is written shown before and after."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from archgen.desk.answering import Fields, desk_of, desk_page, form_handler, see_other
from archgen.desk.pens.fields import SectionNow, edits_between, sections
from archgen.desk.pens.piece_pens import page_of, piece_of
from archgen.desk.pens.saving import SEEN, Pen, save_pen, seen_digest
from archgen.desk.state import DeskState
from archgen.errors import InputError, UsageError
from archgen.languages.house import say
from archgen.outputs.archive.context import Site
from archgen.records.model import Piece
from archgen.records.vocabulary.placements import PLACES
from archgen.toml.statements import read_statements
from archgen.writing.change import read_before

REMOVED = "remove"
_LICENCES = (
    "own-work",
    "client-supplied",
    "stock",
    "permission",
    "commissioned",
    "CC0-1.0",
    "CC-BY-4.0",
    "all-rights-reserved",
    "unknown",
)
_MOST_SUGGESTED = 200


@dataclass(frozen=True, slots=True)
class ChangeView:
    """The form.

    Attributes:
        again: What has to be put right, when it was sent before.
        unreadable: Lines of the record that nobody can read.
    """

    site: Site
    title: str
    piece: str
    page: str
    file: str
    seen: str
    sections: tuple[SectionNow, ...]
    suggestions: Mapping[str, tuple[str, ...]]
    unreadable: tuple[str, ...]
    again: str = ""
    sent: Mapping[str, str] | None = None


def change_view(state: DeskState, piece: Piece, again: str = "", sent: Mapping[str, str] | None = None) -> ChangeView:
    """Make the form of a piece."""
    now = _text_of(state, piece)
    try:
        read = read_statements(now)
    except ValueError as error:
        raise InputError(say("{toml} can't be read at all. Look at it in a text editor.", toml=piece.toml)) from error
    return ChangeView(
        site=state.current.context.site,
        title=piece.title,
        piece=piece.id,
        page=page_of(state, piece),
        file=piece.toml,
        seen=seen_digest(state.root, piece.toml),
        sections=sections(read.values),
        suggestions=_suggestions(state, piece),
        unreadable=read.unreadable(),
        again=again,
        sent=sent,
    )


def _text_of(state: DeskState, piece: Piece) -> str:
    content = read_before(state.root, piece.toml) or b""
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(say("{toml} is not saved as UTF-8. Save it so in a text editor.", toml=piece.toml)) from error


def _suggestions(state: DeskState, piece: Piece) -> Mapping[str, tuple[str, ...]]:
    catalogue = state.current.catalogue
    records = [one.record for one in catalogue.pieces if one.record]
    own = {
        "photos": piece.photos,
        "stencils": piece.stencils,
        "references": piece.references,
    }
    return {
        "clients": tuple(sorted(catalogue.clients)),
        "styles": _often(word for record in records for word in record.styles),
        "subjects": _often(word for record in records for word in record.subjects),
        "places": tuple(sorted(PLACES)),
        "needles": _often(needle.code for record in records for needle in record.needle),
        "inks": tuple(number for number, bottle in catalogue.inks.items() if bottle.closed is None),
        "licences": _LICENCES,
        **{name: tuple(path.removeprefix(f"{piece.folder}/") for path in paths) for name, paths in own.items()},
    }


def _often(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(word for word, _ in Counter(words).most_common(_MOST_SUGGESTED))


def show_change(request: Request) -> Response:
    """Show the form."""
    state = desk_of(request)
    return desk_page(request, "change.html", change_view(state, piece_of(state, request.path_params["piece"])))


def save_change(state: DeskState, request: Request, fields: Fields) -> Response:
    """Write what was changed."""
    with state.writing:
        piece = piece_of(state, request.path_params["piece"])
        page = page_of(state, piece)
        sent = {name: fields.one(name) for name in fields.names() if name not in (SEEN, REMOVED)}
        try:
            values = read_statements(_text_of(state, piece)).values
            edits = edits_between(values, sent, fields.all(REMOVED), state.current.catalogue.config.archive.units)
        except UsageError as error:
            return desk_page(request, "change.html", change_view(state, piece, str(error), sent), status=422)
        if not edits:
            return see_other(request, page)
        return save_pen(state, request, fields, Pen(say("{title} changed", title=piece.title), piece.toml, edits, page))


ROUTES = (
    Route("/change/{piece}.html", show_change),
    Route("/change/{piece}.html", form_handler(save_change), methods=["POST"]),
)
