"""Read the archive folder: every piece, the registers, and everything that is wrong with them, in one run.

Nothing is written. A broken record stops only its own piece, which stays in the list without a record.
"""

import os
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache, partial
from pathlib import Path

import msgspec

from archgen.errors import InputError
from archgen.findings import Finding, Severity
from archgen.languages.house import say, to_say
from archgen.records.agreement import settle
from archgen.records.designs.model import Design
from archgen.records.designs.reader import read_designs
from archgen.records.files.papers import paper_problems
from archgen.records.files.piece_folders import PieceName, find_pieces
from archgen.records.files.record_files import (
    check_files,
    misnamed_texts,
    not_described,
    not_read,
    with_names,
)
from archgen.records.files.record_name import record_in, records_among
from archgen.records.folder import NOTES, RECORD, STORY, PieceFolder, list_folder, texts_in_languages
from archgen.records.forgiving import ForgivingReading, read_forgivingly
from archgen.records.layout import PIECES, SETTINGS, is_archive
from archgen.records.memory import Memory, ReadPiece
from archgen.records.model import (
    AsWritten,
    Box,
    Client,
    DecisionRegister,
    InkBatch,
    OtherStory,
    Piece,
    PieceRecord,
    Supply,
    Told,
)
from archgen.records.registers import (
    CLIENTS,
    DECISIONS,
    INKS,
    TOLD,
    Registers,
    check_decisions,
    finding_of,
    read_registers,
)
from archgen.records.schema import table_of
from archgen.records.typed.days import is_day_first
from archgen.records.typed.reading import Habits
from archgen.records.typed.strictness import is_strict, is_telling
from archgen.records.vocabulary.batch_fields import read_batch_field
from archgen.storage.files import is_inside
from archgen.storage.tree_state import TreeState
from archgen.toml.problem import Problem, as_text, hint, listed, nearest, shown
from archgen.toml.recover import parse_forgivingly
from archgen.toml.text import (
    LARGEST_BYTES,
    UnreadableTextError,
    line_of,
    outside,
    read_text,
    read_text_in_any_encoding,
)
from archgen.values.frozen import Value

# A heading that was read with a repair: what stands below it may decide what is shown.
_DECISIVE_HEADING = re.compile(r"photo(\.\d+)?")
# Of a title that is only a folder's name.
_LONGEST_TITLE = 80
# More lines than these that were understood all the same are told as one thing.
_MOST_ALONE = 2
PUBLIC_TEXTS = ("about", "care", "booking")


class ReadArchive(Value, frozen=True):
    """An archive folder as read: pieces newest first, broken ones last, by name; texts are its public pages."""

    pieces: tuple[Piece, ...]
    inks: Mapping[str, InkBatch]
    ink_lines: Mapping[str, int]
    supplies: tuple[Supply, ...]
    boxes: tuple[Box, ...]
    clients: Mapping[str, Client]
    decisions: DecisionRegister
    decision_lines: Mapping[str, int]
    told: tuple[Told, ...]
    texts: Mapping[str, str]
    designs: tuple[Design, ...]
    findings: tuple[Finding, ...]


def habits_of(root: Path, units: str = "mm") -> Habits:
    """Give how an archive is written; its records are looked through for the order of dates only when that is asked."""
    return Habits(units, cache(partial(_is_day_first, root)))


def _is_day_first(root: Path) -> bool | None:
    return is_day_first(_records_as_bytes(root))


def _records_as_bytes(root: Path) -> Iterator[bytes]:
    for name in find_pieces(root)[0]:
        path = record_in(root / PIECES / name.folder)
        try:
            if path and path.stat().st_size <= LARGEST_BYTES:
                yield path.read_bytes()
        except OSError:
            continue


def read_archive(
    root: Path, memory: Memory | None = None, units: str = "mm", looked: Mapping[str, TreeState] | None = None
) -> ReadArchive:
    """Read an archive folder; pieces in the memory whose folders did not change are not read again.

    Lengths without a unit are taken in `units`, and asked about. `looked` is how the folders of the pieces stand, where
    somebody looked just now.

    Raises:
        InputError: The folder is not an archive.
    """
    check_archive(root)
    memory = memory or Memory()
    memory.look_at(root, looked)
    habits = habits_of(root, units)
    registers = read_registers(root, habits)
    findings = list(registers.findings)
    names, problems = find_pieces(root)
    findings += problems
    pieces = []
    for name in names:
        piece, found = _read_or_recalled(root, name, habits, memory)
        pieces.append(piece)
        findings += [*found, *_not_in_registers(piece, registers)]
    pieces.sort(key=_newest_first)
    texts, found = _public_texts(root)
    designs, wrong = read_designs(root)
    findings += [*found, *wrong, *_misnamed_files(root)]
    pictures = [path for piece in pieces for path in (*piece.photos, *piece.stencils, *piece.references)]
    findings += check_decisions(registers, pictures)
    findings.sort(key=lambda finding: finding.sort_key)
    return ReadArchive(
        pieces=tuple(pieces),
        inks=registers.inks,
        ink_lines=registers.ink_lines,
        supplies=registers.supplies,
        boxes=registers.boxes,
        clients=registers.clients,
        decisions=registers.decisions,
        decision_lines=registers.decision_lines,
        told=registers.told,
        texts=texts,
        designs=designs,
        findings=tuple(findings),
    )


def check_archive(root: Path) -> None:
    """Refuse a folder that isn't an archive.

    Raises:
        InputError: It is none; the message says what one looks like.
    """
    if is_archive(root):
        return
    around = (*root.resolve().parents[:2], *sorted(found.parent for found in root.glob(f"*/{PIECES}")))
    near = next((folder for folder in around if is_archive(folder)), None)
    raise InputError(
        say(
            "{root} holds neither a folder {pieces} nor {settings}, so it isn't an archive folder. An archive has a "
            "folder {pieces}, with one folder for each piece in it and a {record} in each. Name yours with --archive.",
            root=root,
            pieces=PIECES,
            settings=SETTINGS,
            record=RECORD,
        )
        + (" " + say("Perhaps it is {near}.", near=near) if near else "")
    )


def _newest_first(piece: Piece) -> tuple[bool, int, str]:
    day = piece.record.finished_on if piece.record else None
    return piece.record is None, -day.toordinal() if day else 0, piece.id


def _read_or_recalled(root: Path, name: PieceName, habits: Habits, memory: Memory) -> tuple[Piece, Sequence[Finding]]:
    if known := memory.recall(name):
        return known.piece, known.findings
    piece, findings, is_sound = _read(root, name, habits)
    if is_sound:
        memory.keep(name, ReadPiece(piece, tuple(findings)))
    return piece, findings


def read_piece(root: Path, name: PieceName, habits: Habits) -> tuple[Piece, list[Finding]]:
    """Read one piece's folder; what cannot be used of its record is left out and the findings say why."""
    piece, findings, _ = _read(root, name, habits)
    return piece, findings


def _read(root: Path, name: PieceName, habits: Habits) -> tuple[Piece, list[Finding], bool]:
    """Read a piece's folder; say also whether another look at the same files would give the same."""
    path = root / PIECES / name.folder
    listing = list_folder(path)
    records = records_among(listing.files)
    piece = Piece(
        id=name.id,
        record_name=records[0] if len(records) == 1 else RECORD,
        folder_name=name.folder if name.folder != name.id else None,
        photos=_in_archive(name, listing.pictures("photos")),
        stencils=_in_archive(name, listing.pictures("stencils")),
        references=_in_archive(name, listing.pictures("references")),
        papers=_in_archive(name, listing.others("references")),
    )
    findings = [finding_of(p, f"{piece.folder}/{p.key}".rstrip("/"), piece.id) for p in listing.problems]
    texts = {}
    for key, file in (("notes", NOTES), ("story", STORY)):
        texts[key], found = _text(path, file, piece, listing)
        findings += found
    stories, found = _stories(path, piece, listing)
    findings += found
    try:
        text, wrong = _record_text(path, listing, records)
    except UnreadableTextError as error:
        if not any(problem.key == RECORD for problem in listing.problems):  # else its finding says why
            findings.append(finding_of(error.problem, piece.toml, piece.id))
        return msgspec.structs.replace(piece, **texts, stories=stories), findings, False
    read = _parsed(text, name, habits)
    # How an ambiguous day is meant, other records may say; a paper that can't be read may be read again.
    is_sound = not (findings or wrong or read.problems)
    record, problems, lines = read.record, [*wrong, *read.problems], read.lines
    as_written = read.as_written
    if record is not None:
        files = check_files(record, listing)
        record, disagreements = settle(with_names(record, files.respelled) if files.respelled else record)
        as_written = (*as_written, *_left_open(read.record, record))
        papers = list(paper_problems(record, path, listing.files))
        is_sound = is_sound and not papers
        problems = [*problems, *files.problems, *disagreements, *papers]
    findings += [finding_of(_with_line(problem, lines), piece.toml, piece.id) for problem in problems]
    if record is not None:
        not_used = (*not_described(record, listing), *not_read(record, listing))
        findings += [finding_of(p, f"{piece.folder}/{p.key}".rstrip("/"), piece.id) for p in not_used]
    kept = {
        "record": record,
        "lines": lines,
        "as_written": as_written,
        "missing": files.missing if record is not None else (),
        "place_as_written": _other_words(read.record, record),
    }
    return msgspec.structs.replace(piece, **kept, **texts, stories=stories), findings, is_sound and record is not None


def _in_archive(name: PieceName, files: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f"{PIECES}/{name.folder}/{file}" for file in files)


def _left_open(said: PieceRecord | None, settled: PieceRecord) -> tuple[AsWritten, ...]:
    """Keep as written the place that turned out to be none, or several."""
    region = said.placement.region if said else None
    if region is None or settled.placement.region is not None:
        return ()
    return (AsWritten(key="placement.region", text=shown(region)),)


def _other_words(said_by: PieceRecord | None, settled: PieceRecord | None) -> str | None:
    """Keep the words for a place that was understood: "inner calf" says more than "calf-side"."""
    said, meant = (one.placement.region if one else None for one in (said_by, settled))
    return said if meant is not None and said != meant else None


def _with_line(problem: Problem, lines: Mapping[str, int]) -> Problem:
    if problem.line is not None:
        return problem
    return Problem(
        problem.code, problem.key, line_of(problem.key, lines), problem.problem, problem.remedy, problem.severity
    )


def _text(path: Path, name: str, piece: Piece, listing: PieceFolder) -> tuple[str | None, list[Finding]]:
    if name not in listing.files:
        return None, []
    return _read_or_leave_out(path / name, f"{piece.folder}/{name}", piece.id, path)


def _stories(path: Path, piece: Piece, listing: PieceFolder) -> tuple[tuple[OtherStory, ...], list[Finding]]:
    stories, findings = [], []
    for file, (_, language) in texts_in_languages(listing.files, (STORY.removesuffix(".md"),)).items():
        text, found = _text(path, file, piece, listing)
        findings += found
        stories += [OtherStory(language=language, story=text)] if text else []
    return tuple(stories), findings


def _public_texts(root: Path) -> tuple[dict[str, str], list[Finding]]:
    """Read the public pages, by name; those in another language by name and language, such as about.de."""
    texts, findings = {}, []
    for name in (*PUBLIC_TEXTS, *_texts_in_languages(root)):
        if os.path.lexists(root / f"{name}.md"):
            text, found = _read_or_leave_out(root / f"{name}.md", f"{name}.md", None, root)
            findings += found
            if text:
                texts[name] = text
    return texts, findings


def _texts_in_languages(root: Path) -> list[str]:
    files = sorted(path.name for path in root.glob("*.*.md"))
    return [file.removesuffix(".md") for file in texts_in_languages(files, PUBLIC_TEXTS)]


def _read_or_leave_out(
    path: Path, shown_path: str, piece: str | None, folder: Path
) -> tuple[str | None, list[Finding]]:
    try:
        if not is_inside(path, folder):
            raise UnreadableTextError(outside())
        return read_text(path).strip() or None, []
    except UnreadableTextError as error:
        found = error.problem
        problem = Problem(
            found.code,
            "",
            found.line,
            found.problem,
            f"{found.remedy} {say('Until then it is left out.')}",
            Severity.WARNING,
        )
        return None, [finding_of(problem, shown_path, piece)]


def _record_text(path: Path, listing: PieceFolder, records: Sequence[str]) -> tuple[str, list[Problem]]:
    """Give the text of the record, and what is wrong with its letters or its name."""
    if len(records) == 1:
        text, problem = read_text_in_any_encoding(path / records[0])
        misnamed = [] if records[0] == RECORD else [_other_name(records[0])]
        return text, [*misnamed, *([problem] if problem else [])]
    near = nearest(RECORD, [file for file in listing.files if "/" not in file])
    if records:
        remedy = say('Which of {records} is it? Rename that one to "{record}".', records=listed(records), record=RECORD)
    elif near:
        remedy = say('Rename {near} to "{record}".', near=shown(near), record=RECORD)
    else:
        remedy = say('Make a plain text file {record} there; one line is enough: title = "…".', record=RECORD)
    raise UnreadableTextError(Problem("no-record", "", None, say("There is no record in this folder."), remedy))


def _other_name(found: str) -> Problem:
    text = say("{found} is read as the record of this piece, though it has another name.", found=shown(found))
    remedy = say('Rename it to "{record}". Until then the piece isn\'t shown to others.', record=RECORD)
    return Problem("record-name", "", None, text, remedy)


def _parsed(text: str, name: PieceName, habits: Habits) -> ForgivingReading[PieceRecord]:
    """Give what the text of a record says, as far as it is understood."""
    toml, broken = parse_forgivingly(text, table_of(PieceRecord))
    read = read_forgivingly(toml.raw, PieceRecord, toml.lines, habits, as_text(name.folder, _LONGEST_TITLE))
    if broken:
        return replace(read, problems=(*_asked_once(broken, read.problems), *read.problems))
    return read


def _hides(problem: Problem) -> bool:
    """Say whether words that may keep something from being shown stand in a line that does not count."""
    return problem.code in ("twice", "no-value") and is_telling(problem.key)


def _asked_once(broken: Iterable[Problem], asked: Iterable[Problem]) -> Iterator[Problem]:
    """Tell what is wrong with lines: errors where they decide what may be shown, nothing where the value is asked."""
    lines = {problem.line for problem in asked}
    understood = []
    for problem in broken:
        if is_strict(problem.key) or _DECISIVE_HEADING.fullmatch(problem.key) or _hides(problem):
            yield replace(problem, severity=Severity.ERROR)
        elif problem.code == "read-as":
            understood += [problem] if problem.line not in lines else []
        elif problem.code == "broken" or problem.line not in lines:
            yield problem
    if len(understood) > _MOST_ALONE:
        told = listed(str(line) for line in dict.fromkeys(problem.line for problem in understood))
        text = say(
            "Lines {lines} are understood, though their quotes, commas or brackets aren't as they should be.",
            lines=told,
        )
        yield replace(understood[0], problem=text, key="")
    else:
        yield from understood


def _misnamed_files(root: Path) -> Iterator[Finding]:
    files = sorted(path.name for path in root.iterdir() if path.is_file())
    for problem in misnamed_texts(
        files, (SETTINGS, CLIENTS, INKS, DECISIONS, TOLD, *(f"{name}.md" for name in PUBLIC_TEXTS))
    ):
        yield finding_of(problem, problem.key)


def _not_in_registers(piece: Piece, registers: Registers) -> Iterator[Finding]:
    for problem in _unknown_codes(piece.record, registers) if piece.record else ():
        yield finding_of(_with_line(problem, piece.lines), piece.toml, piece.id)


def _unknown_codes(record: PieceRecord, registers: Registers) -> Iterator[Problem]:
    """Find codes that a register does not hold; a register that is missing or broken is not asked."""
    client = record.client
    if client and CLIENTS in registers.complete and registers.people.code_of(client) not in registers.clients:
        yield _unknown_code("client", "client", client, CLIENTS, "")  # the nearest code is another person
    if INKS not in registers.complete:
        return
    for n, ink in enumerate(record.ink):
        # With a name it is described here and needs no register; words instead of a number aren't a code.
        if ink.batch is not None and ink.name is None and ink.batch not in registers.inks:
            for number in read_batch_field(ink.batch).numbers:
                if not registers.ink_numbers.same(number):
                    near = hint(nearest(number, registers.inks))
                    yield _unknown_code("ink", f"ink.{n}.batch", number, INKS, near)


def _unknown_code(what: str, key: str, code: str, file: str, near: str) -> Problem:
    remedy = near + say("Add it to {file}, or correct the code.", file=file)
    problem = to_say("{code} isn't among your inks.")
    if file == CLIENTS:
        problem = to_say("{code} isn't among your clients.")
    return Problem(
        f"unknown-{what}",
        key,
        None,
        say(problem, code=shown(code)),
        remedy,
        Severity.WARNING,
    )
