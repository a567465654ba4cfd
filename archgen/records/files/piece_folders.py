"""The folders of the pieces, whatever they are called, and the id each goes by.

An id is made from the folder's name: lower case letters, digits, hyphens. Two names that give one id are a question,
and both pieces stay. Nothing here opens a record.
"""

import os
import re
import unicodedata
from collections.abc import Iterable
from pathlib import Path

from archgen.findings import Finding, Place, Severity
from archgen.languages.house import say
from archgen.records.folder import RECORD
from archgen.records.layout import PIECES
from archgen.storage.files import digest_bytes, is_inside
from archgen.toml.problem import shown
from archgen.values.frozen import Value

_PIECE_ID = re.compile(r"[a-z0-9][a-z0-9-]*")
# Longer names cannot be typed, and files are called after the id.
_LONGEST_ID = 80
# Letters that are written with others and come apart in no table of characters.
_SPELLED = str.maketrans({"ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i"})


class PieceName(Value, frozen=True):
    """One piece's folder: the id it goes by, and its true name."""

    id: str
    folder: str


def find_pieces(root: Path) -> tuple[list[PieceName], list[Finding]]:
    """Give the folders of the pieces by their true names, and what else lies among them."""
    top = root / PIECES
    if not top.is_dir():
        remedy = say("Make it, with one folder for each piece and a {record} in each.", record=RECORD)
        return [], [_finding("no-pieces", "", say("There is no folder {pieces} yet.", pieces=PIECES), remedy)]
    if not is_inside(top, root):
        text = say("The folder {pieces} is a link out of the archive folder.", pieces=PIECES)
        return [], [_finding("outside", PIECES, text, say("Put the folder itself here."))]
    names, findings = [], []
    with os.scandir(top) as entries:
        found = sorted(entries, key=lambda entry: entry.name)
    for entry in found:
        if entry.name.startswith(".") or entry.name in ("Thumbs.db", "desktop.ini"):
            continue
        finding = _wrong_folder(entry, root)
        if finding:
            findings.append(finding)
        else:
            names.append(entry.name)
    named, clashes = name_pieces(names)
    return named, [*findings, *clashes]


def name_pieces(folders: Iterable[str]) -> tuple[list[PieceName], list[Finding]]:
    """Give each folder its id, one that is an id already its own; findings say which would have had the same."""
    named: dict[str, str] = {}
    clashes = []
    for folder in sorted(folders, key=lambda one: (id_of(one) != one, unicodedata.normalize("NFC", one), one)):
        wanted = id_of(folder)
        unique, number = wanted, 2
        while unique in named:
            unique, number = f"{wanted}-{number}", number + 1
        if unique != wanted:
            clashes.append(_clash(folder, named[wanted], wanted, unique))
        named[unique] = folder
    pieces = [PieceName(piece_id, folder) for piece_id, folder in named.items()]
    return sorted(pieces, key=lambda piece: piece.folder), clashes


def id_of(folder: str) -> str:
    """Make an id from a folder's name; letters of other scripts leave a short number, so that names stay apart."""
    if _PIECE_ID.fullmatch(folder):
        return folder
    spelled = unicodedata.normalize("NFC", folder).casefold().translate(_SPELLED)
    letters = [one for one in unicodedata.normalize("NFKD", spelled) if not unicodedata.combining(one)]
    is_whole = all(one.isascii() for one in letters if one.isalnum())
    plain = re.sub(r"[^a-z0-9]+", "-", "".join(one for one in letters if one.isascii())).strip("-")
    if is_whole and plain and len(plain) <= _LONGEST_ID:
        return plain
    number = digest_bytes(unicodedata.normalize("NFC", folder))[:6]
    return f"{plain[: _LONGEST_ID - len(number) - 1].strip('-') or 'piece'}-{number}"


def _clash(folder: str, other: str, wanted: str, unique: str) -> Finding:
    text = say(
        "The folders {other} and {folder} would both be called {wanted}: are they one piece?",
        other=shown(other),
        folder=shown(folder),
        wanted=wanted,
    )
    remedy = say(
        "Both are kept, the second as {unique}. Move the files together if they are one, or rename one folder.",
        unique=unique,
    )
    return Finding("record.same-id", Severity.WARNING, unique, Place(f"{PIECES}/{folder}"), text, remedy)


def _wrong_folder(entry: os.DirEntry[str], root: Path) -> Finding | None:
    name = entry.name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
    path = f"{PIECES}/{name}"
    if entry.is_symlink() and not is_inside(Path(entry.path), root):
        text = say("{name} is a link out of the archive folder and was not followed.", name=shown(name))
        return _finding("outside", path, text, say("Put the folder itself here."))
    if entry.is_symlink() and _is_read_already(Path(entry.path), root):
        text = say("{name} is a link to a folder that is read anyway, and was not followed.", name=shown(name))
        return _finding("linked-folder", path, text, say("Take the link away."))
    if not entry.is_dir():
        text = say("{name} lies among the piece folders, in none of them.", name=shown(name))
        return _finding("stray-file", path, text, say("Move it into the folder of its piece."), Severity.NOTE)
    if name == entry.name:
        return None
    text = say(
        "The name of the folder {name} holds characters this computer cannot write; the piece was left out.",
        name=shown(name),
    )
    return _finding("folder-name", path, text, say("Rename the folder."))


def _is_read_already(link: Path, root: Path) -> bool:
    target, top = link.resolve(), (root / PIECES).resolve()
    return target.is_relative_to(top) or top.is_relative_to(target)


def _finding(code: str, path: str, problem: str, remedy: str, severity: Severity = Severity.ERROR) -> Finding:
    return Finding(f"record.{code}", severity, None, Place(path or PIECES), problem, remedy)
