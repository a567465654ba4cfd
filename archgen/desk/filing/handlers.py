"""The addresses of filing: the form of a new piece, its saving, photos for a filed piece, what was written, undo."""

from collections.abc import Sequence
from dataclasses import replace

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from archgen.desk.answering import Fields, desk_of, desk_page, file_form_handler, form_handler, inbox_of, see_other
from archgen.desk.filing.carry import PIECES, Meant, filing, named_papers, piece_folder
from archgen.desk.filing.form_view import FormView, form_view
from archgen.desk.filing.lines import RecordTable
from archgen.desk.filing.people import MeantClient, meant_client
from archgen.desk.filing.questions import ask_about
from archgen.desk.filing.reading import read_form, stencil_widths
from archgen.desk.filing.saved_view import saved_view
from archgen.desk.state import DeskState, SavedChange
from archgen.desk.uploads import PAPER_KINDS, Received
from archgen.errors import UsageError
from archgen.intake.carry import addition, with_free_names
from archgen.intake.plan import PlannedGroup, PlannedPicture, What
from archgen.languages.house import say, to_say
from archgen.writing.change import Change
from archgen.writing.changes import KEPT, carry_out, take_back
from archgen.writing.journal import PastChange

_GONE = to_say("These pictures are not in the inbox any more: filed, or taken out of its folder.")


def form_page(request: Request) -> Response:
    """Show the form for a group of pictures."""
    return desk_page(request, "piece-new.html", _form(request, request.path_params["group"]))


def _form(request: Request, key: str) -> FormView:
    shown, inbox = desk_of(request).current, inbox_of(request)
    group = _group(inbox.group(key))
    return form_view(shown.catalogue, shown.context.site, group, inbox, shown.figure)


def _group(group: PlannedGroup | None) -> PlannedGroup:
    if group is None or not group.filed:
        raise UsageError(say(_GONE))
    return group


def save_piece(state: DeskState, request: Request, fields: Fields, received: Sequence[Received]) -> Response:
    """File a new piece with what was answered, and the papers that came with it."""
    with state.writing:
        inbox, catalogue = inbox_of(request), state.current.catalogue
        group = _group(inbox.group(request.path_params["group"]))
        pictures = with_free_names(group.filed)
        papers = named_papers(received, pictures)
        answers = read_form(fields, group, catalogue, inbox, papers)
        if not answers.title:
            typed = {name: fields.one(name) for name in fields.names()}
            again = say("Write a title: it is the one thing that is needed.")
            view = replace(_form(request, group.key), again=again, typed=typed)
            return desk_page(request, "piece-new.html", view, status=422)
        meant = Meant(
            _client(state, answers.client, answers.client_code),
            stencil_widths(group, inbox, catalogue.config.archive.units),
            tuple(one for one in papers if one.file in answers.papers),
        )
        taken = {piece.folder.removeprefix(f"{PIECES}/") for piece in catalogue.pieces}
        folder = piece_folder(answers.title, group.day, taken)
        change, tables = filing(catalogue, answers, pictures, folder, meant)
        past = _carry_out(state, change, SavedChange(folder, _texts(tables), len(pictures), f"{folder}/piece.toml"))
    return see_other(request, f"saved/{past.number}.html")


def _client(state: DeskState, text: str, code: str) -> MeantClient | None:
    catalogue = state.current.catalogue
    used = frozenset(piece.record.client for piece in catalogue.pieces if piece.record and piece.record.client)
    return meant_client(text, code, catalogue.clients, used)


def _texts(tables: Sequence[RecordTable]) -> tuple[str, ...]:
    return tuple(one.text for one in tables)


def _carry_out(state: DeskState, change: Change, saved: SavedChange) -> PastChange:
    past = carry_out(state.root, state.out / KEPT, change)
    state.saved[past.number] = saved
    state.refresh()
    return past


def add_to_piece(state: DeskState, request: Request, fields: Fields) -> Response:
    """File the pictures of a group into a piece that is there, after the artist said yes."""
    with state.writing:
        group = _group(inbox_of(request).group(fields.one("group")))
        what = fields.one("what")
        pictures = [
            one.taken_for(What(what)) if what in _STAGES and len(group.filed) == 1 else one for one in group.filed
        ]
        past = _add(state, fields.one("piece"), pictures)
    return see_other(request, f"saved/{past.number}.html")


_STAGES = frozenset(what.value for what in What if what.stage)


def keep_too(state: DeskState, request: Request, fields: Fields) -> Response:
    """Keep a picture beside the filed one that it is a copy of; it is never shown."""
    with state.writing:
        kept = next(
            (one for one in inbox_of(request).filed_already() if one.picture.key == fields.one("picture")), None
        )
        if kept is None or kept.is_same_file:
            raise UsageError(say(_GONE))
        past = _add(state, kept.piece, [replace(kept.picture, show=False)])
    return see_other(request, f"saved/{past.number}.html")


def _add(state: DeskState, piece_id: str, pictures: Sequence[PlannedPicture]) -> PastChange:
    catalogue = state.current.catalogue
    piece = catalogue.piece(piece_id)
    if piece is None:
        raise UsageError(say("This piece is not in the archive any more. Look at the inbox again."))
    change = addition(pictures, piece, state.root)
    lines = tuple(line.text for line in change.edited[0].written)
    return _carry_out(state, change, SavedChange(piece.folder, ("\n".join(lines),), len(pictures), piece.toml))


def saved_page(request: Request) -> Response:
    """Show what a save wrote, and what comes next."""
    view = saved_view(desk_of(request), inbox_of(request), request.path_params["number"])
    return desk_page(request, "saved.html", view)


def take_it_back(state: DeskState, request: Request, _fields: Fields) -> Response:
    """Take a change back."""
    with state.writing:
        past = take_back(state.root, state.out / KEPT, request.path_params["number"])
        state.refresh()
    return see_other(request, f"inbox.html?wrote={past.number}")


def question(request: Request) -> Response:
    """Say what is asked about a field as it is typed."""
    asked = ask_about(
        request.query_params.get("field", ""),
        request.query_params.get("text", "")[:200],
        desk_of(request).current.catalogue.config.archive.units,
    )
    return JSONResponse(asked)


ROUTES = (
    Route("/file/{group}.html", form_page),
    Route("/upload/file/{group}.html", file_form_handler(save_piece, PAPER_KINDS), methods=["POST"]),
    Route("/inbox/add", form_handler(add_to_piece), methods=["POST"]),
    Route("/inbox/keep", form_handler(keep_too), methods=["POST"]),
    Route("/saved/{number:int}.html", saved_page),
    Route("/take-back/{number:int}", form_handler(take_it_back), methods=["POST"]),
    Route("/ask", question),
)
