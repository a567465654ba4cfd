"""From the form's answers and pictures to one change of the archive: a new piece with its record."""

import datetime as dt
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.desk.filing.answers import PieceAnswers
from archgen.desk.filing.lines import RecordTable, record_text
from archgen.desk.filing.people import MeantClient
from archgen.desk.filing.record import record_tables
from archgen.desk.uploads import Received
from archgen.errors import UsageError
from archgen.intake.names import free_name, slug
from archgen.intake.plan import PlannedPicture
from archgen.languages.house import say, say_count
from archgen.records.registers import CLIENTS
from archgen.writing.change import Change, EditedFile, edited_file, new_copy, new_text
from archgen.writing.record_text import AddTable

PIECES = "pieces"
# The form's fields for papers; behind the second stands the key of the reference.
RELEASE_FIELD, LETTER_FIELD = "release_paper", "letter-"


@dataclass(frozen=True, slots=True)
class ChosenPaper:
    """One paper: the field it was chosen in, where it lies now, its place in the piece's folder."""

    field: str
    source: Path
    file: str


def named_papers(received: Sequence[Received], pictures: Sequence[PlannedPicture]) -> tuple[ChosenPaper, ...]:
    """Give each paper a place that no picture has.

    Raises:
        UsageError: One could not be taken.
    """
    refused = [one.words for one in received if one.path is None]
    if refused:
        raise UsageError(f"{' '.join(refused)} {say('Nothing was written.')}")
    return tuple(_named(received, {picture.file for picture in pictures}))


def _named(received: Sequence[Received], used: set[str]) -> Iterator[ChosenPaper]:
    for one in received:
        if one.path is None:
            continue
        stem, dot, suffix = one.name.rpartition(".")
        if one.field == RELEASE_FIELD:
            file = free_name("release", dot + suffix.lower(), used)
        elif one.field.startswith(LETTER_FIELD):
            file = free_name(f"references/{stem}", dot + suffix, used)
        else:
            continue
        used.add(file)
        yield ChosenPaper(one.field, one.path, file)


def piece_folder(title: str, day: dt.date | None, taken: Collection[str]) -> str:
    """Name the folder of a new piece by day and title; another number where one has that name."""
    name = "-".join(part for part in (day.isoformat() if day else "", slug(title) or "piece") if part)
    return f"{PIECES}/{free_name(name, '', taken)}"


def filing(
    catalogue: Catalogue, answers: PieceAnswers, pictures: Sequence[PlannedPicture], folder: str, more: "Meant"
) -> tuple[Change, tuple[RecordTable, ...]]:
    """Work out the filing of a new piece, and the tables of its record."""
    tables = record_tables(answers, pictures, more.client.code if more.client else None, more.widths)
    copies = [new_copy(f"{folder}/{picture.file}", picture.source) for picture in pictures]
    copies += [new_copy(f"{folder}/{paper.file}", paper.source) for paper in more.papers]
    record = new_text(f"{folder}/piece.toml", record_text(tables))
    notes = [new_text(f"{folder}/notes.md", answers.notes + "\n")] if answers.notes else []
    edited = _register(catalogue, more.client) if more.client and more.client.name else ()
    words = say(
        "{title} filed, {pictures}",
        title=answers.title,
        pictures=say_count("{number} picture", "{number} pictures", len(pictures)),
    )
    return Change(words, (*copies, *notes, record), edited, folder), tables


@dataclass(frozen=True, slots=True)
class Meant:
    """What the form's words were found to mean.

    Attributes:
        widths: What the files of stencils say of their printed width, by the pictures' keys.
        papers: What goes into the folder beside the pictures.
    """

    client: MeantClient | None = None
    widths: Mapping[str, str] = field(default_factory=dict)
    papers: tuple[ChosenPaper, ...] = ()


def _register(catalogue: Catalogue, client: MeantClient) -> tuple[EditedFile, ...]:
    entry = AddTable(("client",), {"code": client.code, "name": client.name})
    return (edited_file(catalogue.config.root, CLIENTS, [entry]),)
