"""Save what a pen writes: into the file as it was seen, whole or not at all, and say what was written."""

from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response

from archgen.answers.answer import written_as
from archgen.desk.answering import Fields, desk_page, see_other, site_of
from archgen.desk.state import DeskState
from archgen.languages.house import say
from archgen.outputs.archive.context import Site
from archgen.writing.change import Change, EditedFile, edited_file, read_before
from archgen.writing.changes import KEPT, carry_out
from archgen.writing.record_text import Edit

_DIGEST_LENGTH = 16
# A field of every form: the file's digest when the page was made.
SEEN = "seen"


@dataclass(frozen=True, slots=True)
class Pen:
    """What is to be written.

    Attributes:
        words: What was done, as a person says it.
        file: Relative to the archive folder.
        page: Where to go on, from the desk's first folder.
    """

    words: str
    file: str
    edits: tuple[Edit, ...]
    page: str


@dataclass(frozen=True, slots=True)
class ChangedView:
    """The page that shows a file beside what was to be written, because the file was changed meanwhile."""

    site: Site
    title: str
    file: str
    now: str
    meant: str
    action: str
    fields: tuple[tuple[str, str], ...]
    seen: str
    page: str


def seen_digest(root: Path, file: str) -> str:
    """Give what a form keeps of the file it was made from; empty where there is none."""
    content = read_before(root, file)
    return "" if content is None else sha256(content).hexdigest()[:_DIGEST_LENGTH]


def save_pen(state: DeskState, request: Request, fields: Fields, pen: Pen) -> Response:
    """Write what a form means and go back to its page; where the file was changed meanwhile, show both instead."""
    with state.writing:
        if fields.one(SEEN) != seen_digest(state.root, pen.file):
            return _changed(state, request, fields, pen)
        edited = edited_file(state.root, pen.file, pen.edits)
        return carry_out_at_desk(state, request, Change(pen.words, edited=(edited,)), pen.page)


def carry_out_at_desk(state: DeskState, request: Request, change: Change, page: str) -> Response:
    """Carry a change out, read again what it changed, and go back to a page that says so."""
    with state.writing:
        if not change.new and not change.gone and not any(_says_more(one) for one in change.edited):
            return see_other(request, page)
        past = carry_out(state.root, state.out / KEPT, change)
        state.refresh()
    return see_other(request, f"{page}?wrote={past.number}")


def _says_more(edited: EditedFile) -> bool:
    return edited.after != edited.before


def _changed(state: DeskState, request: Request, fields: Fields, pen: Pen) -> Response:
    now = (read_before(state.root, pen.file) or b"").decode("utf-8", "replace")
    sent = tuple((name, value) for name in fields.names() if name != SEEN for value in fields.all(name))
    view = ChangedView(
        site=site_of(state.shown),
        title=say("Changed meanwhile"),
        file=pen.file,
        now=now,
        meant=written_as(pen.edits),
        action=request.url.path.rpartition("/")[2],
        fields=sent,
        seen=seen_digest(state.root, pen.file),
        page=pen.page,
    )
    return desk_page(request, "changed.html", view, status=409)


def written_words(edits: Sequence[Edit]) -> str:
    """Give the lines of edits for a page."""
    return written_as(edits)
