"""The pens on the page of a piece: a healed photo, a touch-up, into the portfolio and out of it."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from archgen.desk.answering import Fields, file_form_handler, form_handler
from archgen.desk.pens.noted import NotedRow, noted_about
from archgen.desk.pens.portfolio import (
    PortfolioPen,
    out_words,
    portfolio_pen,
    publish_edits,
    take_out_edits,
)
from archgen.desk.pens.saving import Pen, carry_out_at_desk, save_pen, seen_digest
from archgen.desk.pens.visits import (
    TOUCH_UPS,
    NewPhoto,
    TouchUpAnswers,
    free_name,
    past_day,
    photo_edits,
    stage_guess,
    touch_up_edits,
)
from archgen.desk.state import DeskState
from archgen.desk.uploads import TAKEN_KINDS, Received
from archgen.errors import UsageError
from archgen.images import decode
from archgen.languages.house import say, say_count, say_in
from archgen.metadata.picture_file import open_file
from archgen.records.model import Piece
from archgen.units import date_words, hours_words
from archgen.writing.change import Change, edited_file, new_copy
from archgen.writing.record_text import Edit

STAGES = ("healed", "fresh", "in-progress")


@dataclass(frozen=True, slots=True)
class PiecePens:
    """What the page of a piece needs for its pens.

    Attributes:
        piece: Its id.
        seen: What the forms keep of the record.
        hours: The usual lengths of a touch-up, with their words.
        portfolio: None where the record cannot be read.
        noted: What was noted before on other pieces there, or on this client.
    """

    piece: str
    seen: str
    today: str
    today_words: str
    hours: tuple[tuple[float, str], ...]
    portfolio: PortfolioPen | None
    has_stencil: bool
    has_reference: bool
    noted: tuple[NotedRow, ...]


def piece_pens(state: DeskState, path: str) -> PiecePens:
    """Make the pens of the page at a path."""
    shown = state.current
    piece_id = next(key for key, page in shown.context.piece_pages.items() if page == path)
    piece = piece_of(state, piece_id)
    today = shown.catalogue.built_on
    return PiecePens(
        piece=piece_id,
        seen=seen_digest(state.root, piece.toml),
        today=today.isoformat(),
        today_words=f"{say_in('weekday', f'{today:%a}')} {date_words(today)}",
        hours=tuple((hours, hours_words(hours)) for hours in TOUCH_UPS),
        portfolio=portfolio_pen(piece, shown.catalogue),
        noted=noted_about(state, piece),
        has_reference=bool(piece.drawings and piece.references),
        has_stencil=bool(piece.record and piece.record.stencil and len(piece.photos) + len(piece.references) > 0),
    )


def piece_of(state: DeskState, piece_id: str) -> Piece:
    """Give a piece by its id.

    Raises:
        UsageError: There is none.
    """
    found = state.current.catalogue.piece(piece_id)
    if found is None:
        raise UsageError(say("This piece is not in the archive any more. Nothing was written."))
    return found


def page_of(state: DeskState, piece: Piece) -> str:
    """Give the page of a piece from the desk's first folder."""
    return state.current.context.piece_pages[piece.id]


def save_touch_up(state: DeskState, request: Request, fields: Fields) -> Response:
    """Write a touch-up down."""
    piece = piece_of(state, fields.one("piece"))
    said = TouchUpAnswers(fields.one("hours"), fields.one("other-hours"), fields.one("day"), fields.one("note"))
    edits = touch_up_edits(said, state.current.catalogue.built_on)
    return _save(state, request, fields, say("Touch-up of {title}", title=piece.title), edits)


def save_publish(state: DeskState, request: Request, fields: Fields) -> Response:
    """Ask for a piece to be shown."""
    piece = piece_of(state, fields.one("piece"))
    return _save(state, request, fields, say("{title} for the portfolio", title=piece.title), publish_edits())


def save_take_out(state: DeskState, request: Request, fields: Fields) -> Response:
    """Take a piece out of the portfolio."""
    piece, today = piece_of(state, fields.one("piece")), state.current.catalogue.built_on
    is_withdrawn = fields.one("why") == "withdrawn"
    words = out_words(piece.title, today, is_withdrawn=is_withdrawn)
    return _save(state, request, fields, words, take_out_edits(today, is_withdrawn=is_withdrawn))


def _save(state: DeskState, request: Request, fields: Fields, words: str, edits: Sequence[Edit]) -> Response:
    piece = piece_of(state, fields.one("piece"))
    return save_pen(state, request, fields, Pen(words, piece.toml, tuple(edits), page_of(state, piece)))


def add_photos(state: DeskState, request: Request, fields: Fields, received: Sequence[Received]) -> Response:
    """Take in photos of a filed piece."""
    refused = [one.words for one in received if one.path is None]
    if refused or not received:
        raise UsageError(" ".join(refused) or say("Choose a photo first. Nothing was written."))
    with state.writing:
        piece = piece_of(state, fields.one("piece"))
        catalogue = state.current.catalogue
        typed = past_day(fields.one("taken"), catalogue.built_on)
        there = [path.rpartition("/")[2] for path in piece.photos]
        edits: list[Edit] = []
        copies = []
        for one in received:
            if one.path is None:
                continue
            camera = camera_day(one.path, one.name)
            taken = typed or camera
            stage = fields.one("stage")
            if stage not in STAGES:
                stage = stage_guess(piece, taken, catalogue.config.limits.healed_after_days)
            name = free_name(one.name, there)
            there.append(name)
            edits += photo_edits(NewPhoto(name, stage, taken, fields.one("show") != "no"))
            copies.append(new_copy(f"{piece.folder}/photos/{name}", one.path))
        words = say_count("A photo for {title}", "{number} photos for {title}", len(copies), title=piece.title)
        change = Change(words, tuple(copies), (edited_file(state.root, piece.toml, edits),))
        return carry_out_at_desk(state, request, change, page_of(state, piece))


def camera_day(path: Path, name: str) -> dt.date | None:
    """Give the day the camera wrote into a photo; None when it wrote none.

    Raises:
        UsageError: It is no photo that can be shown.
    """
    try:
        with open_file(path) as file:
            taken = file.told.taken
    except (decode.UnusableError, OSError) as error:
        raise UsageError(say("{name} can't be read as a photo, so nothing was written.", name=name)) from error
    return taken.date() if taken else None


ROUTES = (
    Route("/pen/touch-up", form_handler(save_touch_up), methods=["POST"]),
    Route("/pen/publish", form_handler(save_publish), methods=["POST"]),
    Route("/pen/take-out", form_handler(save_take_out), methods=["POST"]),
    Route("/upload/photo", file_form_handler(add_photos, TAKEN_KINDS), methods=["POST"]),
)
