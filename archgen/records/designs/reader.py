"""Read the designs of an archive folder. What is offered to others is read strictly: a record counts whole or not."""

import os
from collections.abc import Iterator
from pathlib import Path

import msgspec

from archgen.findings import Finding, Place, Severity
from archgen.languages.house import say
from archgen.records.designs.model import DESIGN_RECORD, DESIGNS, PICTURES, Design, DesignRecord, empty_design
from archgen.records.folder import (
    PICTURE_SUFFIXES,
    STORY,
    Named,
    PieceFolder,
    find_named,
    list_folder,
    texts_in_languages,
)
from archgen.records.model import OtherStory, Piece
from archgen.records.schema import read_record
from archgen.storage.files import is_inside, is_text_name
from archgen.toml.problem import Problem, shown
from archgen.toml.text import UnreadableTextError, line_of, outside, read_text, read_toml


def read_designs(root: Path) -> tuple[tuple[Design, ...], list[Finding]]:
    """Read every folder in `designs`, by name; without that folder there are none."""
    designs, findings = [], []
    for name in _names(root):
        design, found = _read(root, name)
        designs.append(design)
        findings += found
    return tuple(designs), findings


def _names(root: Path) -> list[str]:
    top = root / DESIGNS
    if not top.is_dir() or not is_inside(top, root):
        return []
    with os.scandir(top) as entries:
        found = [entry.name for entry in entries if entry.is_dir(follow_symlinks=False)]
    return sorted(name for name in found if is_text_name(name) and not name.startswith("."))


def _read(root: Path, name: str) -> tuple[Design, list[Finding]]:
    path, piece = root / DESIGNS / name, empty_design(name)
    listing = list_folder(path)
    problems = [(f"{piece.folder}/{problem.key}".rstrip("/"), problem) for problem in listing.problems]
    lies_here = [file for file in listing.files if file.lower().endswith(PICTURE_SUFFIXES)]
    texts = {}
    for file, language in _stories(listing):
        try:
            texts[language] = read_text(path / file).strip()
        except UnreadableTextError as error:
            problems.append((f"{piece.folder}/{file}", error.problem))
    piece = msgspec.structs.replace(
        piece,
        photos=tuple(f"{piece.folder}/{file}" for file in lies_here if file.startswith(f"{PICTURES}/")),
        references=tuple(f"{piece.folder}/{file}" for file in listing.pictures("references")),
        papers=tuple(f"{piece.folder}/{file}" for file in listing.others("references")),
        story=texts.pop("", None) or None,
        stories=tuple(OtherStory(language=language, story=text) for language, text in texts.items() if text),
    )
    record, lines, wrong = _record(path, listing)
    problems += [(f"{piece.folder}/{DESIGN_RECORD}", problem) for problem in wrong]
    # What could not be listed or read may be what speaks against showing it.
    design = Design(bare=piece, record=None if problems else record, lines=lines)
    return design, [_finding(*one) for one in (*problems, *_left_out(piece, record, lies_here))]


def _stories(listing: PieceFolder) -> Iterator[tuple[str, str]]:
    if STORY in listing.files:
        yield STORY, ""
    for file, (_, language) in texts_in_languages(listing.files, (STORY.removesuffix(".md"),)).items():
        yield file, language


def _record(path: Path, listing: PieceFolder) -> tuple[DesignRecord | None, dict[str, int], list[Problem]]:
    """Give the record with the lines of its keys; with any problem it is not to be used."""
    try:
        if not is_inside(path / DESIGN_RECORD, path):
            raise UnreadableTextError(outside())
        toml = read_toml(path / DESIGN_RECORD)
    except UnreadableTextError as error:
        return None, {}, [error.problem]
    record, problems = read_record(toml.raw, DesignRecord, toml.lines)
    if record is not None:
        problems = [*_file_problems(record, listing, toml.lines), *_disagreements(record, toml.lines)]
    return record, toml.lines, problems


def _file_problems(record: DesignRecord, listing: PieceFolder, lines: dict[str, int]) -> Iterator[Problem]:
    files = frozenset(listing.files)
    named = [Named(f"picture.{n}.file", one.file, PICTURES) for n, one in enumerate(record.picture)]
    for n, reference in enumerate(record.reference):
        named += [Named(f"reference.{n}.file", reference.file, "references")] if reference.file else []
        named += [Named(f"reference.{n}.permission", reference.permission)] if reference.permission else []
    for one in named:
        found, problem = find_named(one, files)
        if problem is None and found != one.file:
            text = say("{file} is stored as {found}.", file=shown(one.file), found=shown(found))
            problem = Problem("bad-path", one.key, None, text, say("Write the name as it is stored."))
        if problem:
            line = line_of(problem.key, lines)
            yield Problem(problem.code, problem.key, line, problem.problem, problem.remedy, problem.severity)


def _disagreements(record: DesignRecord, lines: dict[str, int]) -> Iterator[Problem]:
    if record.price is not None and not 0 < record.price < 1_000_000:
        text = say("A price of {price:g} can't be meant.", price=record.price)
        yield Problem("bad-number", "price", line_of("price", lines), text, say("Write the amount alone, such as 280."))


def _left_out(piece: Piece, record: DesignRecord | None, files: list[str]) -> Iterator[tuple[str, Problem]]:
    """Name the pictures that nobody sees: those the record doesn't name, or that lie elsewhere."""
    named = {one.file for one in record.picture} if record else None
    for file in files:
        if file.startswith("references/") or named is None or file in named:
            continue
        text = say("This picture isn't in the record, so it isn't shown.")
        remedy = say(
            "Put it into the folder {folder} and write [[picture]] with its name into {file}.",
            folder=PICTURES,
            file=DESIGN_RECORD,
        )
        yield f"{piece.folder}/{file}", Problem("not-described", "", None, text, remedy, Severity.NOTE)


def _finding(file: str, problem: Problem) -> Finding:
    return Finding(
        f"record.{problem.code}", problem.severity, None, Place(file, problem.line), problem.problem, problem.remedy
    )
