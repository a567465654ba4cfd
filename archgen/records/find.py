"""Find one piece by what somebody types for it, and read that piece alone, so that a command answers at once."""

import os
import re
import unicodedata
from collections.abc import Iterable
from difflib import get_close_matches
from pathlib import Path

from archgen.errors import InputError, UsageError
from archgen.records.folder import RECORD
from archgen.records.model import Piece
from archgen.records.reader import PIECES, check_archive, read_piece
from archgen.records.registers import Registers

_PIECE_ID = re.compile(r"[a-z0-9][a-z0-9-]*")
# Enough of a record to find its title, which stands first by custom.
_HEAD_BYTES = 4096
_TITLE = re.compile(r"^\s*title\s*=\s*[\"'](.*)[\"']", re.MULTILINE)
_MOST_NAMED = 6


def read_one(root: Path, typed: str) -> Piece:
    """Read the one piece that is meant, without the registers.

    Raises:
        UsageError: No piece is meant, or several are.
        InputError: There are no pieces, or the record of this one cannot be used.
    """
    piece_id = find_piece(root, typed)
    piece, findings = read_piece(root, piece_id, Registers())
    if piece.record is None:
        first = min(findings, key=lambda finding: finding.sort_key)
        raise InputError(f"{first.place}: {first.problem} {first.remedy}")
    return piece


def find_piece(root: Path, typed: str) -> str:
    """Give the id of the piece that is meant: an id, its unique beginning, or words of id and title.

    Raises:
        UsageError: No piece is meant, or several are; the message names what comes near.
        InputError: There are no pieces.
    """
    check_archive(root)
    ids = _ids(root)
    wanted = _plain(typed)
    if typed in ids:
        return typed
    found = [one for one in ids if wanted and one.startswith(wanted.replace(" ", "-"))]
    if len(found) != 1:
        terms = wanted.split()
        words = {one: one.split("-") for one in ids}
        found = [one for one in ids if _has_all(terms, words[one])] or [
            one for one in ids if _has_all(terms, [*words[one], *_plain(_title(root, one)).split()])
        ]
    if len(found) == 1:
        return found[0]
    if found:
        more = f" and {len(found) - _MOST_NAMED} more" if len(found) > _MOST_NAMED else ""
        raise UsageError(f'"{typed}" can be {", ".join(found[:_MOST_NAMED])}{more}. Type more of the name.')
    near = _nearest(wanted, ids)
    hint = f" Nearest: {', '.join(near)}." if near else ""
    raise UsageError(f'There is no piece "{typed}".{hint}')


def _ids(root: Path) -> list[str]:
    try:
        with os.scandir(root / PIECES) as entries:
            found = sorted(entry.name for entry in entries if entry.is_dir() and _PIECE_ID.fullmatch(entry.name))
    except OSError:
        found = []
    if not found:
        raise InputError(f"There is no piece in {root / PIECES}. Name your archive folder with --archive.")
    return found


def _title(root: Path, piece_id: str) -> str:
    path = root / PIECES / piece_id / RECORD
    if not path.is_file():  # reading from a pipe would wait for ever
        return ""
    try:
        with path.open("rb") as record:
            head = record.read(_HEAD_BYTES).decode("utf-8", "replace")
    except OSError:
        return ""
    match = _TITLE.search(head)
    return match[1] if match else ""


def _plain(text: str) -> str:
    """Leave small letters without accents, digits and single spaces."""
    folded = unicodedata.normalize("NFKD", text).casefold()
    letters = "".join(character for character in folded if not unicodedata.combining(character))
    return " ".join(re.findall(r"\w+", letters))


def _has_all(terms: Iterable[str], words: Iterable[str]) -> bool:
    """Say whether every term begins some word."""
    known = tuple(words)
    needed = tuple(terms)
    return bool(needed) and all(any(word.startswith(term) for word in known) for term in needed)


def _nearest(wanted: str, ids: Iterable[str]) -> list[str]:
    """Compare with whole ids, with ids without their date and with their words, so that "barn owk" finds the owl."""
    by_words: dict[str, list[str]] = {}
    for one in ids:
        slug = re.sub(r"^\d{4}-\d\d-\d\d-", "", one).replace("-", " ")
        for name in (one, slug, *slug.split()):
            by_words.setdefault(name, []).append(one)
    close = get_close_matches(wanted, list(by_words), n=6, cutoff=0.6)
    return list(dict.fromkeys(piece for name in close for piece in by_words[name]))[:3]
