"""Turn what was decided about a group into a change of the archive: files to copy and lines to write.

The record says only what is known: the title given, the days and stages of the photos, a stencil's size where its file
has one, and of a reference what its own file says. Nothing here writes.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import count
from pathlib import Path

from archgen.errors import InputError, disk_reason
from archgen.intake.names import fold, free_name
from archgen.intake.plan import PlannedGroup, PlannedPicture, What
from archgen.languages.house import say, say_count
from archgen.publication.embedded import fills
from archgen.records.folder import RECORD
from archgen.records.layout import PIECES
from archgen.records.model import Piece, Reference
from archgen.writing.change import Change, NewFile, edited_file, new_text
from archgen.writing.record_text import AddTable, Value
from archgen.writing.values import toml_key, toml_value

_MM_PER_INCH = 25.4
Values = Mapping[str, Value]


@dataclass(frozen=True, slots=True)
class PieceBasics:
    """What was said of a new piece: its title, the folder below pieces/, the client's code."""

    title: str
    folder: str
    client: str | None = None


def new_piece(group: PlannedGroup, basics: PieceBasics) -> Change:
    """Give the change that files a group as a new piece."""
    folder = f"{PIECES}/{basics.folder}"
    group = replace(group, pictures=with_free_names(group.pictures))
    record = new_text(f"{folder}/{RECORD}", record_of(group, basics))
    words = say_count(
        "{title} filed, {number} picture", "{title} filed, {number} pictures", len(group.filed), title=basics.title
    )
    return Change(words, (*copies(group.filed, folder), record), new_folder=folder)


def addition(new: Iterable[PlannedPicture], piece: Piece, root: Path) -> Change:
    """Give the change that adds pictures to a filed piece, which has its cover; stencils become versions of its own.

    Raises:
        ArchgenError: Its record cannot be changed safely.
    """
    pictures = with_free_names(new, _files_in(root / piece.folder))
    last = max((one.version or 0 for one in piece.record.stencil), default=0) if piece.record else 0
    versions = count(last + 1)
    edits = [
        AddTable((table,), {**values, "cover": None, "version": next(versions) if table == "stencil" else None})
        for table, values in tables(pictures)
    ]
    title = piece.record.title if piece.record else piece.id
    words = say_count(
        "{number} picture added to {title}", "{number} pictures added to {title}", len(pictures), title=title
    )
    return Change(words, tuple(copies(pictures, piece.folder)), (edited_file(root, piece.toml, edits),))


def copies(pictures: Iterable[PlannedPicture], folder: str) -> Iterator[NewFile]:
    """Give the files to copy, each with the digest it had when it was looked at."""
    for picture in pictures:
        yield NewFile(f"{folder}/{picture.file}", picture.digest, source=picture.source)


def record_of(group: PlannedGroup, basics: PieceBasics) -> str:
    """Write the record of a new piece."""
    head: dict[str, Value] = {"title": basics.title}
    if basics.client:
        head["client"] = basics.client
    blocks = [_lines(head)]
    blocks += [f"[[{table}]]\n{_lines(values)}" for table, values in (*_sittings(group), *tables(group.filed))]
    return "\n\n".join(blocks) + "\n"


def tables(pictures: Sequence[PlannedPicture]) -> Iterator[tuple[str, Values]]:
    """Give the tables that describe pictures, in the order stencils, references, photos."""
    order = {What.STENCIL: 0, What.REFERENCE: 1}
    for picture in sorted(pictures, key=lambda one: order.get(one.guess.what, 2)):
        if picture.guess.what is What.STENCIL:
            yield "stencil", stencil_values(picture)
        elif picture.guess.what is What.REFERENCE:
            yield "reference", reference_values(picture)
        else:
            yield "photo", photo_values(picture)


def photo_values(picture: PlannedPicture) -> Values:
    """Say of a photo its stage and its day, and which of a moment's frames is shown."""
    values: dict[str, Value] = {"file": picture.file}
    if picture.guess.what.stage:
        values["stage"] = picture.guess.what.value
    if picture.moment:
        values["taken"] = picture.moment.date()
    if picture.is_cover:
        values["cover"] = True
    if not picture.show:
        values["publish"] = False
    return values


def stencil_values(picture: PlannedPicture) -> Values:
    """Say of a stencil its width, where the file says how large it is on paper."""
    width = stencil_width(picture)
    return {"file": picture.file, "width": f"{width:g} mm"} if width else {"file": picture.file}


def stencil_width(picture: PlannedPicture) -> float | None:
    """Give the printed width of what is drawn, in mm; None where the file does not say."""
    if picture.dots_per_inch is None or picture.line_width_px is None:
        return None
    return round(picture.line_width_px / picture.dots_per_inch * _MM_PER_INCH, 1)


def reference_values(picture: PlannedPicture) -> Values:
    """Say of a reference what its file says, and nothing beyond."""
    values: dict[str, Value] = {"file": picture.file}
    if picture.rights is not None:
        values |= {key: value for key, value, _ in fills(Reference(file=picture.file), picture.rights)}
    return values


def _sittings(group: PlannedGroup) -> Iterator[tuple[str, Values]]:
    """Give the days of work: those on which photos in progress or fresh were taken, by the camera's own date."""
    at_work = (one for one in group.filed if one.guess.what in {What.IN_PROGRESS, What.FRESH} and one.moment)
    for day in sorted({one.moment.date() for one in at_work if one.moment}):
        yield "sitting", {"date": day}


def _lines(values: Values) -> str:
    longest = max(len(key) for key in values)
    return "\n".join(f"{toml_key(key):<{longest}} = {toml_value(value)}" for key, value in values.items())


def with_free_names(pictures: Iterable[PlannedPicture], used: Iterable[str] = ()) -> tuple[PlannedPicture, ...]:
    """Give every picture a name inside the piece that no other file has; capitals make no other name on some disks."""
    taken = {fold(one) for one in used}
    named = []
    for picture in pictures:
        stem, dot, suffix = picture.file.rpartition(".")
        renamed = picture.renamed(free_name(stem or suffix, f"{dot}{suffix}" if stem else "", taken))
        taken.add(fold(renamed.file))
        named.append(renamed)
    return tuple(named)


def _files_in(folder: Path) -> list[str]:
    """List what lies in a piece's folder.

    Raises:
        InputError: It cannot be opened.
    """
    try:
        return [path.relative_to(folder).as_posix() for path in folder.rglob("*")]
    except OSError as error:
        message = say("{folder} cannot be opened ({reason}).", folder=folder, reason=disk_reason(error))
        raise InputError(message) from error
