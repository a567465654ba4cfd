"""What the page after a save shows: the lines, what is open, what comes next in the inbox."""

from dataclasses import dataclass

from archgen.desk.inbox.view import GroupView, inbox_view
from archgen.desk.inbox.waiting import InboxState
from archgen.desk.state import DeskState, SavedChange
from archgen.errors import UsageError
from archgen.findings import Severity
from archgen.languages.house import say, say_count
from archgen.outputs.archive.context import Context, Site
from archgen.pieces.overview import PieceOverview
from archgen.records.model import Piece
from archgen.units import hours_words, size_words
from archgen.wording.pieces import Mark, placement_words, references_mark, release_mark
from archgen.writing.changes import KEPT, past_changes
from archgen.writing.journal import PastChange, Reached


@dataclass(frozen=True, slots=True)
class SavedView:
    """The page after a save.

    Attributes:
        tables: The lines that were written, table by table.
        still_open: What is asked of the piece, one sentence each.
        next_groups: What waits in the inbox.
        is_new: Whether the piece was not there before.
    """

    site: Site
    number: int
    words: str
    title: str
    subtitle: str
    href: str
    place: str
    size: str
    time: str
    client: str
    client_href: str
    release: Mark | None
    references: Mark | None
    folder: str
    file: str
    tables: tuple[str, ...]
    still_open: tuple[str, ...]
    next_groups: tuple[GroupView, ...]
    is_new: bool
    copied: str


def saved_view(state: DeskState, inbox: InboxState, number: int) -> SavedView:
    """Make the page of a change.

    Raises:
        UsageError: It was taken back, or there is none of that number.
    """
    past = next((one for one in past_changes(state.out / KEPT) if one.number == number), None)
    if past is None or past.reached is not Reached.DONE:
        raise UsageError(say("This was taken back. Nothing of it is in the archive."))
    context = state.current.context
    saved = state.saved.get(number, _from_journal(past))
    piece = next((one for one in context.catalogue.pieces if one.folder == saved.folder), None)
    if piece is None:
        raise UsageError(say("This piece is not in the archive any more."))
    return _view(past, saved, piece, context, inbox)


def _from_journal(past: PastChange) -> SavedChange:
    """Say what is known of a change of an earlier day: its words, and where its files went."""
    paths = [file.path for file in past.entry.files]
    folder = past.entry.new_folder or "/".join(paths[0].split("/")[:2]) if paths else ""
    return SavedChange(folder, (), sum(not path.endswith((".toml", ".md")) for path in paths), f"{folder}/piece.toml")


def _view(past: PastChange, saved: SavedChange, piece: Piece, context: Context, inbox: InboxState) -> SavedView:
    overview, record = context.overviews[piece.id], piece.record
    place = (record and placement_words(record.placement)) or ""
    size = (record and size_words(record.size.width, record.size.height, context.units)) or ""
    client = (record and record.client) or ""
    is_new = past.entry.new_folder is not None
    return SavedView(
        site=context.site,
        number=past.number,
        words=_words(piece, saved, is_new=is_new, said=past.entry.words),
        title=piece.title,
        subtitle=", ".join(part for part in (place, size) if part),
        href=context.piece_pages[piece.id],
        place=place,
        size=size,
        time=hours_words(record.hours) if record and record.hours is not None else "",
        client=client,
        client_href=context.client_pages.get(client, ""),
        release=release_mark(record.release, context.catalogue.built_on, piece.written_release) if record else None,
        references=references_mark(overview.publication),
        folder=piece.folder.rpartition("/")[2],
        file=saved.file,
        tables=saved.tables,
        still_open=_still_open(overview, context),
        next_groups=inbox_view(inbox, context).groups,
        is_new=is_new,
        copied=say_count("{number} picture", "{number} pictures", saved.copied),
    )


def _words(piece: Piece, saved: SavedChange, *, is_new: bool, said: str) -> str:
    if is_new:
        return say(
            "{title} is in the archive, {pictures} copied and compared byte by byte.",
            title=piece.title,
            pictures=say_count("{number} picture", "{number} pictures", saved.copied),
        )
    return f"{said}." if said else ""


def _still_open(overview: PieceOverview, context: Context) -> tuple[str, ...]:
    asked = (f for f in context.catalogue.findings_of(overview.piece) if f.severity is not Severity.NOTE)
    return tuple(dict.fromkeys(finding.problem for finding in asked))[:6]
