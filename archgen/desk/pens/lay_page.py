"""Lay a stencil on its reference, on skin, a healed photo on the fresh one: two taps in each, then one yes or no."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from archgen.desk.answering import Fields, desk_of, desk_page, form_handler
from archgen.desk.pens.piece_pens import page_of, piece_of
from archgen.desk.pens.saving import Pen, save_pen, seen_digest
from archgen.desk.pens.taps import (
    TAPS,
    LaidPictures,
    Point,
    TappedPicture,
    carried_marks,
    check_apart,
    landmark_edits,
    lay_tapped,
    read_taps,
    tap_in_file,
    write_taps,
)
from archgen.desk.state import DeskState
from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.outputs.archive.context import Site
from archgen.outputs.site_pages import PagePicture, picture
from archgen.publication.public_catalogue import stage_words
from archgen.records.model import Photo, Piece, PieceRecord, Stage
from archgen.wording.pieces import version_number

# How wide a picture is shown, in the pixels a tap is counted in; the larger on wide windows.
SHOWN, SHOWN_LARGE = 340, 680
_LONGEST_NUMBER = 7
_NO_PIXELS = frozenset(("SVG", "PDF"))


@dataclass(frozen=True, slots=True)
class Pairing:
    """Two pictures of a piece that can be laid on each other.

    Attributes:
        stencil: The stencil's number in the record, from 0.
        on: The second picture, as the record names it.
        over: The first picture where it is a photo; empty where it is the stencil itself.
        is_laid: Whether points are recorded already.
    """

    stencil: int
    on: str
    over: str
    words: str
    is_laid: bool
    first: TappedPicture
    second: TappedPicture

    @property
    def query(self) -> str:
        """Give what chooses this pair in an address."""
        return urlencode({"stencil": self.stencil, "on": self.on, "over": self.over})


@dataclass(frozen=True, slots=True)
class TapStep:
    """One of the two pictures as it is shown.

    Attributes:
        marks: The points tapped on it, in pixels of the file, with their number.
        is_next: Whether the next tap is meant for it.
        path: The first picture's lines as they lie by the points so far.
    """

    name: str
    src: str
    width: int
    height: int
    full: tuple[int, int]
    marks: tuple[tuple[float, float, int], ...]
    is_next: bool
    path: str = ""


@dataclass(frozen=True, slots=True)
class LayView:
    """The page: which pair, what was tapped, where the lines lie.

    Attributes:
        ask: What to do now, in a sentence.
        result: None until all points are tapped.
        so_far: The same by the first point alone.
        answer: The points a yes writes, as the form carries them.
    """

    site: Site
    title: str
    piece: str
    page: str
    pairings: tuple[Pairing, ...]
    pictures: tuple[PagePicture | None, ...]
    chosen: Pairing | None
    steps: tuple[TapStep, ...] = ()
    taps: str = ""
    before: str = ""
    shown: int = SHOWN
    ask: str = ""
    again: str = ""
    result: LaidPictures | None = None
    so_far: LaidPictures | None = None
    path: str = ""
    second: PagePicture | None = None
    answer: str = ""
    seen: str = ""


def show_lay(request: Request) -> Response:
    """Show the pairs, the taps, or how the lines lie."""
    state = desk_of(request)
    piece = piece_of(state, request.path_params["piece"])
    return desk_page(request, "lay.html", lay_view(state, piece, dict(request.query_params)))


def lay_view(state: DeskState, piece: Piece, asked: dict[str, str]) -> LayView:
    """Make the page."""
    pairings = tuple(pairings_of(state, piece))
    chosen = next((one for one in pairings if _is_asked(one, asked)), None)
    view = LayView(
        site=state.current.context.site,
        title=piece.title,
        piece=piece.id,
        page=page_of(state, piece),
        pairings=pairings,
        pictures=tuple(picture(one.second.facts.screen, "", wanted_px=160) for one in pairings),
        chosen=chosen,
    )
    return _with_taps(state, piece, view, chosen, asked) if chosen else view


def _is_asked(pairing: Pairing, asked: dict[str, str]) -> bool:
    wanted = (asked.get("stencil", ""), asked.get("on", ""), asked.get("over", ""))
    return wanted == (str(pairing.stencil), pairing.on, pairing.over)


def _stage(photo: Photo) -> str:
    return stage_words(photo.stage) if photo.stage else say("stage not recorded")


def pairings_of(state: DeskState, piece: Piece) -> Iterator[Pairing]:
    """List what can be laid on what: the stencil that was applied first, photos before references."""
    record, catalogue = piece.record, state.current.catalogue
    if record is None:
        return
    order = sorted(range(len(record.stencil)), key=lambda number: not record.stencil[number].applied)
    pictures = [
        (photo.file, stage_words(photo.stage) if photo.stage else say("stage not recorded")) for photo in record.photo
    ]
    pictures += [(reference.file, say("reference")) for reference in record.reference if reference.file]
    for number in order:
        stencil = record.stencil[number]
        first = catalogue.picture(piece, stencil.file)
        if first is None or not first.screen or first.file_format in _NO_PIXELS:
            continue
        drawn = TappedPicture(f"{piece.folder}/{stencil.file}", first, stencil.mirrored)
        for file, kind in pictures:
            second = catalogue.picture(piece, file)
            if second is None or not second.screen:
                continue
            is_laid = sum(mark.on == file for mark in stencil.landmark) > 1
            words = say("{stencil} on the {picture}", stencil=version_number(stencil), picture=kind)
            yield Pairing(number, file, "", words, is_laid, drawn, TappedPicture(f"{piece.folder}/{file}", second))
    yield from _healed_on_fresh(state, piece, record)


def _healed_on_fresh(state: DeskState, piece: Piece, record: PieceRecord) -> Iterator[Pairing]:
    """Photos are laid on each other through the stencil whose points are recorded on the fresh one."""
    catalogue = state.current.catalogue
    for number, stencil in enumerate(record.stencil):
        for fresh in (photo for photo in record.photo if photo.stage is Stage.FRESH):
            if sum(mark.on == fresh.file for mark in stencil.landmark) < 2:
                continue
            for healed in (photo for photo in record.photo if photo.stage is Stage.HEALED):
                one, two = catalogue.picture(piece, fresh.file), catalogue.picture(piece, healed.file)
                if one and two and one.screen and two.screen:
                    is_laid = sum(mark.on == healed.file for mark in stencil.landmark) > 1
                    first = TappedPicture(f"{piece.folder}/{fresh.file}", one)
                    second = TappedPicture(f"{piece.folder}/{healed.file}", two)
                    yield Pairing(number, healed.file, fresh.file, say("Fresh on healed"), is_laid, first, second)


def _with_taps(state: DeskState, piece: Piece, view: LayView, chosen: Pairing, asked: dict[str, str]) -> LayView:
    shown = SHOWN_LARGE if asked.get("shown") == str(SHOWN_LARGE) else SHOWN
    again, taps = "", tuple[Point, ...]()
    try:
        taps = _taps(chosen, asked)
        if len(taps) == TAPS:
            check_apart(taps, chosen.first, chosen.second)
    except UsageError as error:
        again = str(error)
        taps = taps[: TAPS - 2] if len(taps) == TAPS else taps
    view = replace(
        view,
        steps=_steps(chosen, taps),
        taps=write_taps(taps),
        before=write_taps(taps[:-1]),
        shown=shown,
        again=again,
    )
    if len(taps) < TAPS:
        view = replace(view, ask=_ask(chosen, taps))
    laid = _laid(state, chosen, taps)
    if laid is None:
        return view
    path = "".join(f"M{x:g} {y:g}h.1" for x, y in laid.lines)
    view = replace(
        view,
        answer=";".join(f"{one[0]:g},{one[1]:g},{two[0]:g},{two[1]:g}" for one, two in laid.marks),
        seen=seen_digest(state.root, piece.toml),
    )
    if len(taps) < TAPS:
        return replace(view, so_far=laid, steps=(view.steps[0], replace(view.steps[1], path=path)))
    second = picture(chosen.second.facts.screen, say("The picture the lines are laid on"), wanted_px=1200)
    return replace(view, result=laid, path=path, second=second)


def _laid(state: DeskState, chosen: Pairing, taps: tuple[Point, ...]) -> LaidPictures | None:
    """Lay the lines by as many whole pairs of taps as there are."""
    pairs = taps[: len(taps) // 2 * 2]
    on_skin = chosen.on.startswith("photos/")
    return lay_tapped(chosen.first, chosen.second, pairs, state.cache.blobs, on_skin=on_skin) if pairs else None


def _taps(chosen: Pairing, asked: dict[str, str]) -> tuple[Point, ...]:
    taps = read_taps(asked.get("taps", ""))
    if "tap.x" not in asked or len(taps) == TAPS:
        return taps
    target = chosen.second if len(taps) % 2 else chosen.first
    width = asked.get("width", "0")
    point = tap_in_file(
        asked["tap.x"], asked.get("tap.y", ""), int(width) if width in (str(SHOWN), str(SHOWN_LARGE)) else 0, target
    )
    return (*taps, point)


def _ask(chosen: Pairing, taps: tuple[Point, ...]) -> str:
    where = _names(chosen)[len(taps) % 2]
    if len(taps) % 2:
        return say("Tap the same point on the {picture}.", picture=where)
    if taps:
        return say("Tap a second point on the {picture}, far from the first.", picture=where)
    return say("Tap a first point on the {picture} that you also see on the other picture.", picture=where)


def _names(chosen: Pairing) -> tuple[str, str]:
    if chosen.over:
        return say("fresh photo"), say("healed photo")
    return say("stencil"), say("photo") if chosen.on.startswith("photos/") else say("reference")


def _steps(chosen: Pairing, taps: tuple[Point, ...]) -> tuple[TapStep, ...]:
    steps = []
    for place, (name, shown) in enumerate(zip(_names(chosen), (chosen.first, chosen.second), strict=True)):
        copy = picture(shown.facts.screen, name, wanted_px=SHOWN_LARGE)
        own = taps[place::2]
        marks = tuple((x, y, number) for number, (x, y) in enumerate(own, 1))
        is_next = len(taps) < TAPS and len(taps) % 2 == place
        if copy:
            steps.append(TapStep(name, copy.src, copy.width, copy.height, shown.size, marks, is_next))
    return tuple(steps)


def save_landmarks(state: DeskState, request: Request, fields: Fields) -> Response:
    """Write down where a stencil lies on a picture, after a yes."""
    with state.writing:
        piece = piece_of(state, fields.one("piece"))
        asked = {name: fields.one(name) for name in ("stencil", "on", "over")}
        chosen = next((one for one in pairings_of(state, piece) if _is_asked(one, asked)), None)
        if chosen is None or piece.record is None:
            raise UsageError(say("This picture is not in the record any more. Nothing was written."))
        marks = _read_marks(fields.one("points"), chosen)
        stencil = piece.record.stencil[chosen.stencil]
        if chosen.over:
            marks = carried_marks(stencil, chosen.over, marks)
        if len(marks) < 2:
            raise UsageError(say("Two points are needed. Tap them again."))
        edits = landmark_edits(stencil, chosen.stencil, chosen.on, marks)
        words = say("{title}: {pictures} laid", title=piece.title, pictures=chosen.words)
        return save_pen(state, request, fields, Pen(words, piece.toml, edits, page_of(state, piece)))


def _read_marks(text: str, chosen: Pairing) -> tuple[tuple[Point, Point], ...]:
    marks = []
    for one in text.split(";")[:TAPS]:
        numbers = one.split(",")
        if len(numbers) != TAPS or not all(number.isdecimal() and len(number) < _LONGEST_NUMBER for number in numbers):
            raise UsageError(say("These points can't be read. Tap them again."))
        x, y, to_x, to_y = map(float, numbers)
        inside = 0 <= to_x <= chosen.second.size[0] and 0 <= to_y <= chosen.second.size[1]
        if inside and 0 <= x <= chosen.first.size[0] and 0 <= y <= chosen.first.size[1]:
            marks.append(((x, y), (to_x, to_y)))
    return tuple(marks)


ROUTES = (
    Route("/lay/{piece}.html", show_lay),
    Route("/pen/landmarks", form_handler(save_landmarks), methods=["POST"]),
)
