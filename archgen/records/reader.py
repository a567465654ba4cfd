"""Read the archive folder: every piece, the registers, and everything that is wrong with them, in one run.

Nothing is written. A broken record stops only its own piece, which stays in the list without a record.
"""

import os
import re
import unicodedata
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import msgspec

from archgen.errors import InputError
from archgen.findings import Finding, Place, Severity
from archgen.records.agreement import settle
from archgen.records.folder import (
    NOTES,
    PICTURE_FOLDERS,
    RECORD,
    STORY,
    TEXTS,
    Named,
    PieceFolder,
    find_named,
    list_folder,
)
from archgen.records.memory import Memory, ReadRecord
from archgen.records.model import AsWritten, Box, Client, DecisionRegister, InkBatch, Piece, PieceRecord, Supply, Told
from archgen.records.papers import paper_problems
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
from archgen.records.schema import read_forgivingly
from archgen.records.vocabulary.batch_fields import read_batch_field
from archgen.storage.files import is_inside
from archgen.toml.problem import Problem, hint, listed, nearest, shown
from archgen.toml.text import OUTSIDE, UnreadableTextError, line_of, parse_toml, read_text

PIECES = "pieces"
SETTINGS = "archive.toml"
PUBLIC_TEXTS = ("about", "care", "booking")
_PIECE_ID = re.compile(r"[a-z0-9][a-z0-9-]*")


@dataclass(frozen=True, slots=True)
class ReadArchive:
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
    findings: tuple[Finding, ...]


def read_archive(root: Path, memory: Memory | None = None) -> ReadArchive:
    """Read an archive folder; records whose text is in the memory are not parsed again.

    Raises:
        InputError: The folder is not an archive.
    """
    check_archive(root)
    registers = read_registers(root)
    findings = list(registers.findings)
    folders, problems = _piece_folders(root)
    findings += problems
    pieces = []
    memory = memory or Memory()
    for folder in folders:
        piece, found = read_piece(root, folder, registers, memory)
        pieces.append(piece)
        findings += found
    pieces.sort(key=_newest_first)
    texts, found = _public_texts(root)
    findings += [*found, *_misnamed_files(root)]
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
        findings=tuple(findings),
    )


def check_archive(root: Path) -> None:
    """Refuse a folder that is no archive.

    Raises:
        InputError: It is none; the message says what one looks like.
    """
    if is_archive(root):
        return
    around = (*root.resolve().parents[:2], *sorted(found.parent for found in root.glob(f"*/{PIECES}")))
    near = next((folder for folder in around if is_archive(folder)), None)
    raise InputError(
        f"{root} holds neither a folder {PIECES} nor {SETTINGS}, so it is no archive folder. An archive has a folder "
        f"{PIECES}, with one folder for each piece in it and a {RECORD} in each. Name yours with --archive."
        + (f" Perhaps it is {near}." if near else "")
    )


def is_archive(root: Path) -> bool:
    """Say whether a folder is laid out as an archive."""
    return (root / PIECES).is_dir() or (root / SETTINGS).is_file()


def _newest_first(piece: Piece) -> tuple[bool, int, str]:
    day = piece.record.finished_on if piece.record else None
    return piece.record is None, -day.toordinal() if day else 0, piece.id


def _piece_folders(root: Path) -> tuple[list[str], list[Finding]]:
    """Give the names of the piece folders, and what else lies among them."""
    top = root / PIECES
    if not top.is_dir():
        return [], [
            _archive_finding(
                "no-pieces",
                "",
                f"There is no folder {PIECES} yet.",
                f"Make it, with one folder for each piece and a {RECORD} in each.",
            )
        ]
    if not is_inside(top, root):
        text = f"The folder {PIECES} is a link out of the archive folder."
        return [], [_archive_finding("outside", PIECES, text, "Put the folder itself here.")]
    names, findings = [], []
    with os.scandir(top) as entries:
        found = sorted(entries, key=lambda entry: entry.name)
    taken = {entry.name for entry in found}
    for entry in found:
        if entry.name.startswith(".") or entry.name in ("Thumbs.db", "desktop.ini"):
            continue
        finding = _wrong_folder(entry, root, taken)
        if finding:
            findings.append(finding)
        else:
            names.append(entry.name)
    return names, findings


def _wrong_folder(entry: os.DirEntry[str], root: Path, taken: set[str]) -> Finding | None:
    name = entry.name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
    path = f"{PIECES}/{name}"
    if entry.is_symlink() and not is_inside(Path(entry.path), root):
        text = f"{shown(name)} is a link out of the archive folder and was not followed."
        return _archive_finding("outside", path, text, "Put the folder itself here.")
    if entry.is_symlink() and _is_read_already(Path(entry.path), root):
        text = f"{shown(name)} is a link to a folder that is read anyway, and was not followed."
        return _archive_finding("linked-folder", path, text, "Take the link away.")
    if not entry.is_dir():
        text = f"{shown(name)} lies among the piece folders, in none of them."
        return _archive_finding("stray-file", path, text, "Move it into the folder of its piece.", Severity.NOTE)
    if _PIECE_ID.fullmatch(name):
        return None
    text = (
        f"The folder's name {shown(name)} has other characters than lower case letters, digits and hyphens; "
        "the piece was left out."
    )
    return _archive_finding(
        "folder-name", path, text, f'Rename the folder, for instance to "{_suggested_id(name, taken)}".'
    )


def _is_read_already(link: Path, root: Path) -> bool:
    target, top = link.resolve(), (root / PIECES).resolve()
    return target.is_relative_to(top) or top.is_relative_to(target)


def _suggested_id(name: str, taken: set[str]) -> str:
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    slug = re.sub(r"[^a-z0-9]+", "-", plain).strip("-") or "piece"
    number = 2
    unique = slug
    while unique in taken:
        unique, number = f"{slug}-{number}", number + 1
    return unique


def _archive_finding(code: str, path: str, problem: str, remedy: str, severity: Severity = Severity.ERROR) -> Finding:
    return Finding(f"record.{code}", severity, None, Place(path or PIECES), problem, remedy)


def read_piece(
    root: Path, piece_id: str, registers: Registers, memory: Memory | None = None
) -> tuple[Piece, list[Finding]]:
    """Read one piece's folder; a record that cannot be used is left out and the findings say why."""
    path = root / PIECES / piece_id
    listing = list_folder(path)
    piece = Piece(
        id=piece_id,
        record=None,
        photos=_in_archive(piece_id, listing.pictures("photos")),
        stencils=_in_archive(piece_id, listing.pictures("stencils")),
        references=_in_archive(piece_id, listing.pictures("references")),
        papers=_in_archive(piece_id, listing.others("references")),
    )
    findings = [finding_of(p, f"{piece.folder}/{p.key}".rstrip("/"), piece_id) for p in listing.problems]
    texts = {}
    for key, name in (("notes", NOTES), ("story", STORY)):
        texts[key], found = _text(path, name, piece, listing)
        findings += found
    try:
        text = _record_text(path, listing)
        read = _parsed(text, memory or Memory())
    except UnreadableTextError as error:
        if not any(problem.key == RECORD for problem in listing.problems):  # else its finding says why
            findings.append(finding_of(error.problem, piece.toml, piece_id))
        return msgspec.structs.replace(piece, **texts), findings
    record, problems = read.record, read.problems
    if record is not None:
        record, disagreements = _checked(record, text, read.lines, listing, registers)
        papers = paper_problems(record, path, listing.files) if record else ()
        problems = [*problems, *disagreements, *papers]
    findings += [finding_of(_with_line(problem, read.lines), piece.toml, piece_id) for problem in problems]
    if record is not None:
        not_used = (*_not_described(record, listing), *_not_read(record, listing))
        findings += [finding_of(p, f"{piece.folder}/{p.key}".rstrip("/"), piece_id) for p in not_used]
    kept = {"record": record, "lines": read.lines, "as_written": read.as_written}
    return msgspec.structs.replace(piece, **kept, **texts), findings


def _in_archive(piece_id: str, files: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f"{PIECES}/{piece_id}/{file}" for file in files)


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


def _public_texts(root: Path) -> tuple[dict[str, str], list[Finding]]:
    texts, findings = {}, []
    for name in PUBLIC_TEXTS:
        if os.path.lexists(root / f"{name}.md"):
            text, found = _read_or_leave_out(root / f"{name}.md", f"{name}.md", None, root)
            findings += found
            if text:
                texts[name] = text
    return texts, findings


def _read_or_leave_out(
    path: Path, shown_path: str, piece: str | None, folder: Path
) -> tuple[str | None, list[Finding]]:
    try:
        if not is_inside(path, folder):
            raise UnreadableTextError(OUTSIDE)
        return read_text(path).strip() or None, []
    except UnreadableTextError as error:
        found = error.problem
        problem = Problem(
            found.code, "", found.line, found.problem, f"{found.remedy} Until then it is left out.", Severity.WARNING
        )
        return None, [finding_of(problem, shown_path, piece)]


def _record_text(path: Path, listing: PieceFolder) -> str:
    if RECORD in listing.files:
        return read_text(path / RECORD)
    near = nearest(RECORD, [file for file in listing.files if "/" not in file])
    if near:
        remedy = f'Rename {shown(near)} to "{RECORD}".'
    else:
        remedy = f'Make a plain text file {RECORD} there; one line is enough: title = "…".'
    raise UnreadableTextError(Problem("no-record", "", None, f"There is no {RECORD} in this folder.", remedy))


@dataclass(frozen=True, slots=True)
class _Parsed:
    """What the text of a record says, as far as it is understood, and what is wrong with its shape."""

    record: PieceRecord | None
    lines: dict[str, int]
    problems: list[Problem]
    as_written: tuple[AsWritten, ...] = ()


def _parsed(text: str, memory: Memory) -> _Parsed:
    known = memory.recall(text)
    if known:
        return _Parsed(known.record, known.lines, [])
    toml = parse_toml(text)
    record, problems, as_written = read_forgivingly(toml.raw, toml.lines)
    if record is not None and not problems:
        memory.keep(text, ReadRecord(record, toml.lines))
    return _Parsed(record, toml.lines, problems, as_written)


def _checked(
    record: PieceRecord, text: str, lines: Mapping[str, int], listing: PieceFolder, registers: Registers
) -> tuple[PieceRecord | None, list[Problem]]:
    """Set a record beside the files and registers there are."""
    problems, respelled = _check_files(record, listing)
    if respelled:
        spelt_anew, _, _ = read_forgivingly(_respell(parse_toml(text).raw, respelled), lines)
        if spelt_anew is None:  # cannot be: only names of files were spelled anew
            return None, problems
        record = spelt_anew
    record, disagreements = settle(record)
    return record, [*problems, *disagreements, *_unknown_codes(record, registers)]


def _named_files(record: PieceRecord) -> Iterator[Named]:
    for n, photo in enumerate(record.photo):
        yield Named(f"photo.{n}.file", photo.file, "photos")
    for n, stencil in enumerate(record.stencil):
        yield Named(f"stencil.{n}.file", stencil.file, "stencils")
        yield from (Named(f"stencil.{n}.from", file) for file in stencil.from_)
        yield from (Named(f"stencil.{n}.landmark.{i}.on", mark.on) for i, mark in enumerate(stencil.landmark))
    for n, reference in enumerate(record.reference):
        if reference.file is not None:
            yield Named(f"reference.{n}.file", reference.file, "references")
        if reference.permission is not None:
            yield Named(f"reference.{n}.permission", reference.permission)
    if record.release.file is not None:
        yield Named("release.file", record.release.file)


def _check_files(record: PieceRecord, listing: PieceFolder) -> tuple[list[Problem], dict[str, str]]:
    """Give what is wrong with the names of files, and the names the disk spells with other bytes."""
    files = frozenset(listing.files)
    problems, respelled = [], {}
    for named in _named_files(record):
        file, problem = find_named(named, files)
        if problem:
            problems.append(problem)
        elif file and file != named.file:
            respelled[named.file] = file
        if file and named.folder in ("photos", "stencils") and file not in listing.pictures(named.folder):
            problems.append(_no_picture(file, named.key, Severity.ERROR))
    return problems, respelled


def _no_picture(file: str, key: str, severity: Severity) -> Problem:
    text = f"{shown(file)} is no kind of picture archgen reads."
    return Problem("not-a-picture", key, None, text, "Save a copy as JPEG or PNG beside it.", severity)


def _respell(value: Any, names: Mapping[str, str]) -> Any:
    if isinstance(value, str):
        return names.get(value, value)
    if isinstance(value, list):
        return [_respell(item, names) for item in value]
    if isinstance(value, dict):
        return {key: _respell(item, names) for key, item in value.items()}
    return value


def _not_described(record: PieceRecord, listing: PieceFolder) -> Iterator[Problem]:
    # A name that only needs a small correction has its own finding.
    named = {_loosely(item.file) for item in _named_files(record)}
    # What lies among the references and is not described has a question of its own (rights.missing).
    for folder, table in (("photos", "photo"), ("stencils", "stencil")):
        for file in listing.pictures(folder):
            if _loosely(file) not in named:
                text = f"{shown(file)} is not described in {RECORD}."
                remedy = f"Add [[{table}]] with file = {shown(file)}. Until then it stays in the private archive."
                yield Problem("not-described", file, None, text, remedy, Severity.NOTE)
    for folder in ("photos", "stencils"):
        for file in listing.others(folder):
            if _loosely(file) not in named:
                yield _no_picture(file, file, Severity.NOTE)


def _not_read(record: PieceRecord, listing: PieceFolder) -> Iterator[Problem]:
    """Find pictures and texts that nothing reads because of where they lie or what they are called."""
    named = {_loosely(item.file) for item in _named_files(record)}
    for folder, files in listing.elsewhere().items():
        unused = [file for file in files if _loosely(file) not in named]
        if unused:
            count = "A picture lies" if len(unused) == 1 else f"{len(unused)} pictures lie"
            near = nearest(folder, PICTURE_FOLDERS)
            rename = f"Rename the folder to {shown(near)}, or move" if near else "Move"
            text = f"{count} outside the three folders that are read: {shown(unused[0])}."
            remedy = f"{rename} what belongs to the piece into {listed(PICTURE_FOLDERS)}."
            yield Problem("misplaced", folder, None, text, remedy, Severity.NOTE)
    yield from _misnamed([file for file in listing.files if "/" not in file and _loosely(file) not in named], TEXTS)


def _misnamed(files: Iterable[str], read: Collection[str]) -> Iterator[Problem]:
    """Find texts whose name is nearly, not quite, one that is read and is not there."""
    missing = [name for name in read if name not in files]
    for file in files:
        near = nearest(file, missing) if file not in read and file.lower().endswith((".md", ".toml")) else None
        if near:
            text = f"{shown(file)} is not read under this name."
            yield Problem("misnamed", file, None, text, f"If it is meant, rename it to {shown(near)}.", Severity.NOTE)


def _misnamed_files(root: Path) -> Iterator[Finding]:
    files = sorted(path.name for path in root.iterdir() if path.is_file())
    for problem in _misnamed(
        files, (SETTINGS, CLIENTS, INKS, DECISIONS, TOLD, *(f"{name}.md" for name in PUBLIC_TEXTS))
    ):
        yield finding_of(problem, problem.key)


def _loosely(file: str) -> str:
    return unicodedata.normalize("NFC", file).casefold().replace("\\", "/")


def _unknown_codes(record: PieceRecord, registers: Registers) -> Iterator[Problem]:
    """Find codes that a register does not hold; a register that is missing or broken is not asked."""
    client = record.client
    if client and CLIENTS in registers.complete and registers.people.code_of(client) not in registers.clients:
        yield _unknown_code("client", "client", client, CLIENTS, ())  # the nearest code is another person
    if INKS not in registers.complete:
        return
    for n, ink in enumerate(record.ink):
        # With a name it is described here and needs no register; words instead of a number are no code.
        if ink.batch is not None and ink.name is None and ink.batch not in registers.inks:
            for number in read_batch_field(ink.batch).numbers:
                if not registers.ink_numbers.same(number):
                    yield _unknown_code("ink", f"ink.{n}.batch", number, INKS, registers.inks)


def _unknown_code(what: str, key: str, code: str, file: str, known: Iterable[str]) -> Problem:
    remedy = f"{hint(nearest(code, known))}Add it to {file}, or correct the code."
    return Problem(f"unknown-{what}", key, None, f"{shown(code)} is not in {file}.", remedy, Severity.WARNING)
