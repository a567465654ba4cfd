"""The desk's page of an order of work: three things to move, the plan follows; printed, or kept in the record."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from starlette.datastructures import QueryParams
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from archgen.desk.answering import Fields, desk_of, desk_page, form_handler
from archgen.desk.pens.piece_pens import page_of, piece_of
from archgen.desk.pens.saving import Pen, save_pen, seen_digest
from archgen.desk.planning.order_view import OrderChoices, OrderPageView, asked_cells, shown_plan
from archgen.desk.state import DeskState
from archgen.errors import InputError, UsageError
from archgen.languages.house import say
from archgen.languages.kept import kept
from archgen.outputs.reprints.order_of_work import (
    OrderAsked,
    OrderOfWork,
    check_pictures,
    note_lines,
    order_pdf,
    order_wish,
    plan_order,
    read_answer,
    said_of,
    trusted,
    values_edits,
)
from archgen.outputs.reprints.registration import ReferencePlace, Registration
from archgen.outputs.reprints.registration_picture import draw_lines_on
from archgen.outputs.reprints.working_print import Beside, looked_at, reference_of, registered
from archgen.pieces.prints import WantedPrint, piece_job
from archgen.printing.stencil_plan import Plan, make_plan
from archgen.records.model import Piece, Values
from archgen.shading.order import Start
from archgen.supplies.past_use import past_use
from archgen.wording.planning.orders import plan_words

_LONGEST = 100
_MOST_ANSWERS = 12
# The last pieces that were planned: finding where a stencil lies takes longer than the plan.
_RECENT = 4


@dataclass(frozen=True, slots=True)
class _PieceToPlan:
    """What decides where a stencil lies on its reference: the record and the files as they stand."""

    record: str
    files: tuple[str, ...]
    state: DeskState = field(compare=False)
    piece: Piece = field(compare=False)


def show_order(request: Request) -> Response:
    """Show the plan, or why there is none."""
    state = desk_of(request)
    piece = piece_of(state, request.path_params["piece"])
    choices = _choices(request.query_params)
    past = past_use(state.current.catalogue, piece)
    view = OrderPageView(
        site=state.current.context.site,
        title=piece.title,
        piece=piece.id,
        page=page_of(state, piece),
        choices=choices,
        needles=tuple(needle.code for needle in past.needles if needle.shades),
        seen=seen_digest(state.root, piece.toml),
    )
    try:
        view = _with_plan(view, state, piece, is_seen=request.query_params.get("seen") == "yes")
    except (UsageError, InputError) as error:
        view = replace(view, trouble=str(error))
    return desk_page(request, "order.html", view, status=409 if view.trouble else 200)


def show_place(request: Request) -> Response:
    """Show where the stencil's lines would lie on the reference."""
    state = desk_of(request)
    _, beside, found = _laid(_asked_of(state, piece_of(state, request.path_params["piece"])))
    return Response(draw_lines_on(beside.file, found.lines), media_type="image/png")


def show_print(request: Request) -> Response:
    """Give the page to print."""
    state = desk_of(request)
    piece = piece_of(state, request.path_params["piece"])
    order, _ = _order(state, piece, _choices(request.query_params), is_seen=request.query_params.get("seen") == "yes")
    catalogue = state.current.catalogue
    content = order_pdf(order, catalogue, piece, catalogue.built_on, None)
    return Response(content, media_type="application/pdf")


def save_order(state: DeskState, request: Request, fields: Fields) -> Response:
    """Keep the plan that is shown in the record."""
    with state.writing:
        piece = piece_of(state, fields.one("piece"))
        answers = [("enclosed", one) for one in fields.all("enclosed")]
        given = QueryParams([*((name, fields.one(name)) for name in fields.names() if name != "enclosed"), *answers])
        order, beside = _order(state, piece, _choices(given), is_seen=fields.one("place") == "yes")
        reference = beside.file.relative_to(state.root / piece.folder).as_posix()
        edits = values_edits(order, reference)
        return save_pen(
            state,
            request,
            fields,
            Pen(say("{title}: tones planned", title=piece.title), piece.toml, edits, page_of(state, piece)),
        )


def _with_plan(view: OrderPageView, state: DeskState, piece: Piece, *, is_seen: bool) -> OrderPageView:
    check_pictures(piece)
    found = _laid(_asked_of(state, piece))[2]
    if found.placement is ReferencePlace.PROPOSED and not is_seen and not _stored(piece).cuts:
        return replace(view, look=f"order/{piece.id}-place.png")
    order, _ = _order(state, piece, view.choices, is_seen=is_seen)
    catalogue = state.current.catalogue
    wish = order.wish.plan
    choices = replace(
        view.choices,
        needle=order.wish.needle.code,
        tones=str(wish.tones),
        bare=view.choices.bare if view.choices.is_bare_set else str(round(order.plan.bare_share * 100)),
        areas=str(wish.most_areas),
        start=wish.start.value,
    )
    return replace(
        view,
        choices=choices,
        shown=shown_plan(order),
        words=said_of(order, catalogue.config.archive.units),
        detail=order.detail,
        said=plan_words(order.plan),
        cells=asked_cells(order, choices),
        notes=note_lines(catalogue.pieces, piece),
        is_kept=bool(wish.cuts),
        place_seen=is_seen,
    )


def _order(state: DeskState, piece: Piece, choices: OrderChoices, *, is_seen: bool) -> tuple[OrderOfWork, Beside]:
    plan, beside, found = _laid(_asked_of(state, piece))
    past = past_use(state.current.catalogue, piece)
    wish = order_wish(_wanted(choices), _stored(piece), past)
    placed = looked_at(found) if is_seen else trusted(found, _stored(piece))
    return plan_order(plan, beside, placed, wish, past), beside


def _stored(piece: Piece) -> Values:
    return piece.record.values if piece.record else Values()


def _asked_of(state: DeskState, piece: Piece) -> _PieceToPlan:
    pictures = (state.current.catalogue.facts.get(path) for path in (*piece.stencils, *piece.references))
    return _PieceToPlan(seen_digest(state.root, piece.toml), tuple(one.digest for one in pictures if one), state, piece)


@kept(_RECENT)
def _laid(asked: _PieceToPlan) -> tuple[Plan, Beside, Registration]:
    catalogue, piece = asked.state.current.catalogue, asked.piece
    wanted = WantedPrint(printer=catalogue.config.printer, day=catalogue.built_on)
    plan = make_plan(piece_job(asked.state.root, piece, wanted))
    beside = reference_of(asked.state.root, piece, (), wanted=_stored(piece).reference)
    return plan, beside, registered(plan, beside)


def _choices(given: QueryParams) -> OrderChoices:
    texts: Mapping[str, str] = {name: value.strip()[:_LONGEST] for name, value in given.items()}
    bare = texts.get("bare", "")
    return OrderChoices(
        needle=texts.get("needle", ""),
        tones=texts.get("tones", ""),
        bare=bare,
        is_bare_set=texts.get("set-bare") == "yes" or (bare != "" and bare != texts.get("was-bare", "")),
        areas=texts.get("areas", ""),
        start=texts.get("start", ""),
        enclosed=tuple(given.getlist("enclosed")[:_MOST_ANSWERS]),
    )


def _wanted(choices: OrderChoices) -> OrderAsked:
    answers = [read_answer(text) for text in choices.enclosed]
    share = _number(choices.bare, say("Skin left bare")) if choices.is_bare_set else None
    return OrderAsked(
        needle=choices.needle or None,
        tones=_number(choices.tones, say("Tones")),
        bare=None if share is None else share / 100,
        areas=_number(choices.areas, say("Areas")),
        start=next((start for start in Start if start.value == choices.start), None),
        answers=tuple(answer for answer in answers if answer),
    )


def _number(text: str, what: str) -> int | None:
    if not text:
        return None
    if not text.isdecimal() or len(text) > 3:
        raise UsageError(say("{field}: “{text}” isn't a whole number.", field=what, text=text))
    return int(text)


ROUTES = (
    Route("/order/{piece}-place.png", show_place),
    Route("/order/{piece}.pdf", show_print),
    Route("/order/{piece}.html", show_order),
    Route("/pen/order", form_handler(save_order), methods=["POST"]),
)
