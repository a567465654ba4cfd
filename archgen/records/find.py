"""Find one piece by what somebody types for it, and read that piece alone, so that a command answers at once."""

import re
import unicodedata
from collections.abc import Iterable
from difflib import get_close_matches
from pathlib import Path

from archgen.errors import InputError, UsageError
from archgen.languages.house import say
from archgen.records.files.piece_folders import PieceName, find_pieces
from archgen.records.files.record_name import record_in
from archgen.records.layout import PIECES
from archgen.records.model import Piece
from archgen.records.reader import check_archive, habits_of, read_piece
from archgen.toml.slips import one_slip_away

# Enough of a record to find its title, which stands first by custom.
_HEAD_BYTES = 4096
# The title however it is set; a slip in the key and the wrong quotes are read over.
_TITLE = re.compile(r"^\s*(\w{4,7})\s*[=:][ \t]*(.+)$", re.MULTILINE)
# Words that name no piece: "reprint the owl stencil".
_FILLERS = frozenset({"the", "a", "an", "of", "for", "my", "that", "piece", "stencil", "tattoo"})
_MOST_NAMED = 6


def read_one(root: Path, typed: str, units: str = "mm") -> Piece:
    """Read the one piece that is meant, without the registers, as far as its record can be read.

    Raises:
        UsageError: No piece is meant, or several are.
        InputError: There are no pieces, or this one has no record that can be opened.
    """
    piece, findings = read_piece(root, _find(root, typed), habits_of(root, units))
    if piece.record is None:
        first = min(findings, key=lambda finding: finding.sort_key)
        raise InputError(f"{first.place}: {first.problem} {first.remedy}")
    return piece


def find_piece(root: Path, typed: str) -> str:
    """Give the id of the piece that is meant: an id, its unique beginning, or words of id, title and record.

    Raises:
        UsageError: No piece is meant, or several are; the message names what comes near.
        InputError: There are no pieces.
    """
    return _find(root, typed).id


def _find(root: Path, typed: str) -> PieceName:
    check_archive(root)
    names = _names(root)
    wanted = _plain(typed)
    for name in names:
        if typed in (name.id, name.folder):
            return name
    found = [one for one in names if wanted and one.id.startswith(wanted.replace(" ", "-"))]
    if len(found) != 1:
        terms = [term for term in wanted.split() if term not in _FILLERS] or wanted.split()
        found = _by_words(root, terms, names)
    if len(found) == 1:
        return found[0]
    if found:
        more = " " + say("and {number} more", number=len(found) - _MOST_NAMED) if len(found) > _MOST_NAMED else ""
        listed = ", ".join(one.id for one in found[:_MOST_NAMED])
        found_words = f"{listed}{more}"
        raise UsageError(say('"{typed}" can be {pieces}. Type more of the name.', typed=typed, pieces=found_words))
    near = _nearest(wanted, [one.id for one in names])
    hint = " " + say("Nearest: {near}.", near=", ".join(near)) if near else ""
    raise UsageError(say('There is no piece "{typed}".', typed=typed) + hint)


def _by_words(root: Path, terms: list[str], names: list[PieceName]) -> list[PieceName]:
    """Give the pieces with all words in the id, else in id, folder and title, else with a slip, else in the record."""
    words = {one.id: _plain(f"{one.id} {one.folder}").split() for one in names}
    if found := [one for one in names if _has_all(terms, words[one.id])]:
        return found
    heads = {one.id: _head(root, one) for one in names}
    titled = {one.id: [*words[one.id], *_plain(_title(heads[one.id])).split()] for one in names}
    if found := [one for one in names if _has_all(terms, titled[one.id])]:
        return found
    if found := [one for one in names if all(one_slip_away(term, titled[one.id]) for term in terms)]:
        return found
    return [one for one in names if _has_all(terms, _plain(heads[one.id]).split())]


def _names(root: Path) -> list[PieceName]:
    names = find_pieces(root)[0]
    if not names:
        raise InputError(
            say("There is no piece in {folder}. Name your archive folder with --archive.", folder=root / PIECES)
        )
    return names


def _head(root: Path, name: PieceName) -> str:
    path = record_in(root / PIECES / name.folder)
    if path is None:
        return ""
    try:
        with path.open("rb") as record:
            return record.read(_HEAD_BYTES).decode("utf-8", "replace")
    except OSError:
        return ""


def _title(head: str) -> str:
    return next((match[2] for match in _TITLE.finditer(head) if one_slip_away(match[1], ["title"])), "")


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
