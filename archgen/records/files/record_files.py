"""Set the files a record names beside those that lie in its folder: missing, misplaced, misnamed, not described."""

import unicodedata
from collections.abc import Collection, Iterable, Iterator, Mapping
from pathlib import PurePosixPath

import msgspec

from archgen.findings import Severity
from archgen.languages.house import say, say_count
from archgen.records.folder import (
    NOTES,
    PICTURE_FOLDERS,
    STORY,
    Named,
    PieceFolder,
    find_named,
    texts_in_languages,
)
from archgen.records.model import PieceRecord
from archgen.toml.problem import Problem, listed, nearest, shown
from archgen.values.frozen import Value


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


class NamedFiles(Value, frozen=True):
    """The files a record names, beside those there are.

    Attributes:
        problems: What is wrong with their names.
        respelled: Those the disk spells otherwise, by their name in the record.
        missing: Those that are nowhere.
    """

    problems: tuple[Problem, ...]
    respelled: Mapping[str, str]
    missing: tuple[str, ...]


def check_files(record: PieceRecord, listing: PieceFolder) -> NamedFiles:
    """Look for every file that a record names."""
    files = frozenset(listing.files)
    problems: list[Problem] = []
    respelled: dict[str, str] = {}
    missing: list[str] = []
    for named in _named_files(record):
        file, problem = find_named(named, files)
        if problem and problem.code in _MEANT_ALL_THE_SAME and (near := _nearly_named(named, listing)):
            file, problem = near, _asked_about(named, near)
        if problem:
            problems.append(problem)
            missing += [named.file] if problem.code in _NOWHERE else []
        if file and file != named.file:
            respelled[named.file] = file
        if file and named.folder in ("photos", "stencils") and file not in listing.pictures(named.folder):
            problems.append(_no_picture(file, named.key, Severity.ERROR))
    return NamedFiles(tuple(problems), respelled, tuple(dict.fromkeys(missing)))


# What lies outside its folder, or under other capitals, is a file all the same.
_NOWHERE = frozenset({"missing-file", "bad-path", "outside"})
# A name that leads out of the folder, or into another of its folders, is not another's slip.
_MEANT_ALL_THE_SAME = frozenset({"missing-file", "bad-path"})


def _nearly_named(named: Named, listing: PieceFolder) -> str | None:
    """Give the one picture that is meant though its capitals, its folder or its ending are written otherwise."""
    if not named.folder or "://" in named.file:
        return None
    wanted = _loosely(PurePosixPath(named.file.replace("\\", "/").strip()).name)
    found = [
        file
        for file in listing.pictures(named.folder)
        if wanted in (name := _loosely(file.rpartition("/")[2]), name.rpartition(".")[0])
    ]
    return found[0] if len(found) == 1 else None


def _asked_about(named: Named, near: str) -> Problem:
    """Ask about a picture that is nearly named; a photo is not shown before that is answered."""
    text = say("{file}: is that {near}?", file=shown(named.file), near=shown(near))
    severity = Severity.ERROR if named.folder == "photos" else Severity.WARNING
    return Problem(
        "misnamed", named.key, None, text, say("It is read so. Write file = {near}.", near=shown(near)), severity
    )


def _no_picture(file: str, key: str, severity: Severity) -> Problem:
    text, remedy = (
        say("{file} isn't a kind of picture archgen reads.", file=shown(file)),
        say("Save a copy as JPEG or PNG beside it."),
    )
    if file.lower().endswith(".svgz"):
        text, remedy = (
            say("{file} is a packed SVG, which archgen doesn't read.", file=shown(file)),
            say("Save it as plain SVG beside it."),
        )
    return Problem("not-a-picture", key, None, text, remedy, severity)


def with_names(record: PieceRecord, names: Mapping[str, str]) -> PieceRecord:
    """Give the record with its files named as they are on the disk."""

    def right(file: str) -> str:
        return names.get(file, file)

    def one(file: str | None) -> str | None:
        return right(file) if file is not None else None

    changed = msgspec.structs.replace
    return changed(
        record,
        photo=tuple(changed(photo, file=right(photo.file)) for photo in record.photo),
        stencil=tuple(
            changed(
                stencil,
                file=right(stencil.file),
                from_=tuple(map(right, stencil.from_)),
                landmark=tuple(changed(mark, on=right(mark.on)) for mark in stencil.landmark),
            )
            for stencil in record.stencil
        ),
        reference=tuple(
            changed(
                reference,
                file=one(reference.file),
                permission=one(reference.permission),
                made_from=tuple(map(right, reference.made_from)),
            )
            for reference in record.reference
        ),
        release=changed(record.release, file=one(record.release.file)),
    )


def not_described(record: PieceRecord, listing: PieceFolder) -> Iterator[Problem]:
    """Find photos and stencils that the record does not name, and what lies among them and is no picture."""
    # A name that only needs a small correction has its own finding.
    named = {_loosely(item.file) for item in _named_files(record)}
    # What lies among the references and is not described has a question of its own (rights.missing).
    for folder, table in (("photos", "photo"), ("stencils", "stencil")):
        for file in listing.pictures(folder):
            if _loosely(file) not in named:
                text = say("{file} isn't described in the record.", file=shown(file))
                remedy = say(
                    "Add [[{table}]] with file = {file}. Until then it stays in the private archive.",
                    table=table,
                    file=shown(file),
                )
                yield Problem("not-described", file, None, text, remedy, Severity.NOTE)
    for folder in ("photos", "stencils"):
        for file in listing.others(folder):
            if _loosely(file) not in named:
                yield _no_picture(file, file, Severity.NOTE)


def not_read(record: PieceRecord, listing: PieceFolder) -> Iterator[Problem]:
    """Find pictures and texts that nothing reads because of where they lie or what they are called."""
    named = {_loosely(item.file) for item in _named_files(record)}
    for folder, files in listing.elsewhere().items():
        unused = [file for file in files if _loosely(file) not in named]
        if unused:
            near, into = nearest(folder, PICTURE_FOLDERS), listed(PICTURE_FOLDERS)
            text = say_count(
                "A picture lies outside the three folders that are read: {file}.",
                "{number} pictures lie outside the three folders that are read: {file}.",
                len(unused),
                file=shown(unused[0]),
            )
            remedy = say("Move what belongs to the piece into {folders}.", folders=into)
            if near:
                remedy = say(
                    "Rename the folder to {near}, or move what belongs to the piece into {folders}.",
                    near=shown(near),
                    folders=into,
                )
            yield Problem("misplaced", folder, None, text, remedy, Severity.NOTE)
    yield from misnamed_texts(
        [file for file in listing.files if "/" not in file and _loosely(file) not in named], (NOTES, STORY)
    )


def misnamed_texts(files: Iterable[str], read: Collection[str]) -> Iterator[Problem]:
    """Find texts whose name is nearly, not quite, one that is read and is not there."""
    files = list(files)
    missing = [name for name in read if name not in files]
    known = {*read, *texts_in_languages(files, [name.removesuffix(".md") for name in read])}
    for file in files:
        near = nearest(file, missing) if file not in known and file.lower().endswith((".md", ".toml")) else None
        if near:
            text = say("{file} is not read under this name.", file=shown(file))
            yield Problem(
                "misnamed",
                file,
                None,
                text,
                say("If it is meant, rename it to {near}.", near=shown(near)),
                Severity.NOTE,
            )


def _loosely(file: str) -> str:
    return unicodedata.normalize("NFC", file).casefold().replace("\\", "/")
