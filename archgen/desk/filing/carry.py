"""From answers and pictures to one change of the archive: a new piece, or pictures for a piece that is there."""

import datetime as dt
from collections.abc import Collection, Sequence
from dataclasses import replace

from archgen.catalogue import Catalogue
from archgen.desk.filing.answers import PieceAnswers
from archgen.desk.filing.lines import RecordTable, record_text
from archgen.desk.filing.people import MeantClient
from archgen.desk.filing.record import record_tables
from archgen.intake.names import free_name, slug
from archgen.intake.plan import PlannedPicture
from archgen.picture_facts.facts import Role
from archgen.records.model import Piece
from archgen.records.registers import CLIENTS
from archgen.wording.counts import count_words
from archgen.writing.change import Change, EditedFile, NewFile, edited_file, new_copy, new_text
from archgen.writing.record_text import AddTable

PIECES = "pieces"


def piece_folder(title: str, day: dt.date | None, taken: Collection[str]) -> str:
    """Name the folder of a new piece by day and title; another number where one has that name."""
    name = "-".join(part for part in (day.isoformat() if day else "", slug(title) or "piece") if part)
    return f"{PIECES}/{free_name(name, '', taken)}"


def with_free_names(pictures: Sequence[PlannedPicture], taken: Collection[str] = ()) -> tuple[PlannedPicture, ...]:
    """Give every picture a file name of its own inside the piece."""
    used = set(taken)
    named = []
    for picture in pictures:
        folder, _, name = picture.file.rpartition("/")
        stem, dot, suffix = name.rpartition(".")
        here = {file.rpartition("/")[2] for file in used if file.startswith(f"{folder}/")}
        free = f"{folder}/{free_name(stem or name, dot + suffix if dot else '', here)}"
        used.add(free)
        named.append(replace(picture, file=free))
    return tuple(named)


def filing(
    catalogue: Catalogue, answers: PieceAnswers, pictures: Sequence[PlannedPicture], folder: str, more: "Meant"
) -> tuple[Change, tuple[RecordTable, ...]]:
    """Work out the filing of a new piece, and the tables of its record."""
    tables = record_tables(answers, pictures, more.client.code if more.client else None, more.widths)
    copies = [_copy(folder, picture) for picture in pictures]
    record = new_text(f"{folder}/piece.toml", record_text(tables))
    notes = [new_text(f"{folder}/notes.md", answers.notes + "\n")] if answers.notes else []
    edited = _register(catalogue, more.client) if more.client and more.client.name else ()
    words = f"{answers.title} filed, {count_words(len(pictures), 'picture')}"
    return Change(words, (*copies, *notes, record), edited, folder), tables


class Meant:
    """What the form's words were found to mean.

    Attributes:
        widths: What the files of stencils say of their printed width, by the pictures' keys.
    """

    def __init__(self, client: MeantClient | None = None, widths: dict[str, str] | None = None) -> None:
        self.client = client
        self.widths = widths or {}


def adding(catalogue: Catalogue, piece: Piece, pictures: Sequence[PlannedPicture]) -> Change:
    """Work out the filing of pictures into a piece that is there.

    Raises:
        ArchgenError: Its record cannot be changed safely.
    """
    taken = [path.removeprefix(f"{piece.folder}/") for path in (*piece.photos, *piece.stencils, *piece.references)]
    named = with_free_names(pictures, taken)
    edits = [_table(picture, piece, place) for place, picture in enumerate(named, 1)]
    edited = edited_file(catalogue.config.root, piece.toml, edits)
    words = f"{count_words(len(named), 'picture')} added to {piece.title}"
    return Change(words, tuple(_copy(piece.folder, picture) for picture in named), (edited,))


def _table(picture: PlannedPicture, piece: Piece, place: int) -> AddTable:
    """Describe a picture in the record; a stencil gets a version of its own."""
    match picture.guess.what.role:
        case Role.STENCIL:
            versions = [one.version or 0 for one in piece.record.stencil] if piece.record else []
            return AddTable(("stencil",), {"file": picture.file, "version": max(versions, default=0) + place})
        case Role.REFERENCE:
            return AddTable(("reference",), {"file": picture.file})
    shown = None if picture.show else False
    values = {"file": picture.file, "stage": picture.guess.what.value, "taken": picture.day, "publish": shown}
    return AddTable(("photo",), values)


def _copy(folder: str, picture: PlannedPicture) -> NewFile:
    return new_copy(f"{folder}/{picture.file}", picture.source)


def _register(catalogue: Catalogue, client: MeantClient) -> tuple[EditedFile, ...]:
    entry = AddTable(("client",), {"code": client.code, "name": client.name})
    return (edited_file(catalogue.config.root, CLIENTS, [entry]),)
