"""What lies in a piece's folder, and whether a name written in its record leads to a file there.

Names are compared with the folder's listing, never tried out on the disk: so a name means the same on a disk that
ignores capitals and on one that does not. Links that lead out of the folder are reported and not followed.
"""

import os
import re
import unicodedata
from collections.abc import Collection, Iterable
from pathlib import Path, PurePosixPath

from archgen.errors import disk_reason
from archgen.languages.house import say
from archgen.storage.files import is_inside, is_text_name
from archgen.toml.problem import Problem, nearest, shown
from archgen.values.frozen import Value

PICTURE_SUFFIXES = (".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".avif", ".heic", ".heif", ".bmp")
STENCIL_SUFFIXES = (*PICTURE_SUFFIXES, ".svg", ".pdf")
RECORD, NOTES, STORY = ("piece.toml", "notes.md", "story.md")
# A text in another language: story.de.md, about.pt-BR.md (the tag as in BCP 47).
_IN_LANGUAGE = re.compile(r"(\w+)\.([A-Za-z]{2,3}(?:-[A-Za-z0-9]{2,8})*)\.md")
PICTURE_FOLDERS = {"photos": PICTURE_SUFFIXES, "stencils": STENCIL_SUFFIXES, "references": PICTURE_SUFFIXES}
# Deeper folders than anybody sorts photos into; a folder linked into itself would not end.
_DEEPEST = 8
# More files in a folder than anybody takes pictures of one tattoo; a hundred thousand took a minute and gigabytes.
MOST_FILES = 1_000
# Folders and a name of ordinary characters: nearly every name in a record.
_PLAIN_PATH = re.compile(r"(?:[\w-]+/)*[\w-]+\.\w+")


class PieceFolder(Value, frozen=True):
    """A piece's folder as listed.

    Attributes:
        files: Every ordinary file, relative to the folder, with forward slashes, in natural order.
        problems: What was left out and why; Problem.key is the path inside the folder.
    """

    files: tuple[str, ...]
    problems: tuple[Problem, ...]

    def pictures(self, folder: str) -> tuple[str, ...]:
        """Give the pictures of photos, stencils or references."""
        suffixes = PICTURE_FOLDERS[folder]
        return tuple(f for f in self.files if f.startswith(f"{folder}/") and f.lower().endswith(suffixes))

    def others(self, folder: str) -> tuple[str, ...]:
        """Give the files of photos, stencils or references that are no pictures archgen reads."""
        suffixes = PICTURE_FOLDERS[folder]
        return tuple(f for f in self.files if f.startswith(f"{folder}/") and not f.lower().endswith(suffixes))

    def elsewhere(self) -> dict[str, tuple[str, ...]]:
        """Give the pictures outside the three folders, by the folder they lie in (empty: the piece's own)."""
        found: dict[str, tuple[str, ...]] = {}
        for file in self.files:
            top = file.partition("/")[0] if "/" in file else ""
            if top not in PICTURE_FOLDERS and file.lower().endswith(PICTURE_SUFFIXES):
                found[top] = (*found.get(top, ()), file)
        return found


def texts_in_languages(files: Iterable[str], names: Collection[str]) -> dict[str, tuple[str, str]]:
    """Give each file that holds one of these texts in another language, with the text's name and the language."""
    found = {file: match for file in files if (match := _IN_LANGUAGE.fullmatch(file)) and match[1] in names}
    return {file: (match[1], match[2]) for file, match in found.items()}


def natural_key(name: str) -> tuple[tuple[int, int, str], ...]:
    """Order names as people count: photo-2 before photo-10, capitals aside."""
    parts = re.split(r"([0-9]+)", name.casefold())
    key = tuple((0, int(part), "") if part.isdecimal() and part.isascii() else (1, 0, part) for part in parts)
    return (*key, (2, 0, name))


def list_folder(folder: Path) -> PieceFolder:
    """List a piece's folder and the folders in it."""
    files: list[str] = []
    problems: list[Problem] = []
    _list(folder, folder, "", files, problems)
    return PieceFolder(tuple(sorted(files, key=natural_key)), tuple(problems))


def _list(folder: Path, top: Path, prefix: str, files: list[str], problems: list[Problem]) -> None:
    try:
        with os.scandir(folder) as entries:
            found = sorted(entries, key=lambda entry: entry.name)
    except OSError as error:
        text = say("The folder cannot be opened ({reason}).", reason=disk_reason(error))
        problems.append(Problem("unreadable", prefix.rstrip("/"), None, text, say("Check that you may open it.")))
        return
    if len(found) > MOST_FILES:
        problems.append(_too_many(prefix, len(found)))
    for entry in found[:MOST_FILES]:
        if entry.name.startswith(".") or entry.name in ("Thumbs.db", "desktop.ini"):
            continue
        path = f"{prefix}{entry.name}"
        problem = _problem_of(entry, prefix, top)
        if problem:
            problems.append(problem)
        if entry.is_dir(follow_symlinks=False) and is_text_name(entry.name):
            if prefix.count("/") < _DEEPEST:
                _list(Path(entry.path), top, f"{path}/", files, problems)
        elif not problem:
            files.append(path)


def _too_many(prefix: str, number: int) -> Problem:
    text = say(
        "There are {number:,} files in this folder; only the first {read:,} were read.",
        number=number,
        read=MOST_FILES,
    )
    remedy = say("Keep the pictures of this piece here and move everything else away. What wasn't read isn't shown.")
    return Problem("too-many-files", prefix.rstrip("/"), None, text, remedy)


def _problem_of(entry: os.DirEntry[str], prefix: str, top: Path) -> Problem | None:
    path = f"{prefix}{entry.name}"
    if not is_text_name(entry.name):
        return _unwritable_name(prefix, entry.name)
    if entry.is_symlink() and not is_inside(Path(entry.path), top):
        text = say("{path} is a link out of the piece's folder.", path=shown(path))
        return Problem("outside", path, None, text, say("Put a copy of the file here instead of the link."))
    if entry.is_symlink() and entry.is_dir():
        text = say("{path} is a link to another folder and was not followed.", path=shown(path))
        return Problem("linked-folder", path, None, text, say("Put the files themselves here."))
    if entry.is_dir() and (path in (RECORD, NOTES, STORY) or path.lower().endswith(STENCIL_SUFFIXES)):
        text = say("{path} is a folder, named like a file.", path=shown(path))
        return Problem("no-file", path, None, text, say("Rename the folder, and put the file here."))
    if not entry.is_dir() and not entry.is_file():
        text = say("{path} isn't an ordinary file, or is a link that leads nowhere.", path=shown(path))
        return Problem("no-file", path, None, text, say("Put the file itself here, or take this away."))
    return None


def _unwritable_name(prefix: str, name: str) -> Problem:
    seen = name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
    text = say("The name of {name} holds characters this computer cannot write.", name=shown(prefix + seen))
    return Problem("file-name", prefix.rstrip("/"), None, text, say("Rename the file."))


class Named(Value, frozen=True):
    """A file named in a record: its dotted key, the name, and the folders it may lie in (empty: anywhere here)."""

    key: str
    file: str
    folder: str = ""


def find_named(named: Named, files: frozenset[str]) -> tuple[str | None, Problem | None]:
    """Give the file a name leads to, spelled as on the disk, or what is wrong with the name.

    Two ways to store one accent (Unicode normalisation) look the same on the screen and are taken as the same name.
    """
    problem = _bad_path(named)
    if problem:
        return None, problem
    if named.file in files:
        return _in_its_folder(named, named.file)
    same = next((f for f in sorted(files) if _composed(f) == _composed(named.file)), None)
    if same:
        return _in_its_folder(named, same)
    return None, _missing(named, files)


def _composed(name: str) -> str:
    return unicodedata.normalize("NFC", name)


def _problem(code: str, named: Named, text: str, remedy: str) -> Problem:
    return Problem(code, named.key, None, text, remedy)


def _bad_path(named: Named) -> Problem | None:
    file = named.file
    if _PLAIN_PATH.fullmatch(file):
        return None
    if re.match(r"(?i)[a-z][a-z0-9+.-]+://", file):
        text = say("{file} is a web address, not a file of this piece.", file=shown(file))
        return _problem("bad-path", named, text, say("Write it as source."))
    path = PurePosixPath(file.replace("\\", "/"))
    if path.is_absolute() or ".." in path.parts or re.match(r"~|[A-Za-z]:", file):
        text = say("{file} leads out of the piece's folder.", file=shown(file))
        remedy = say("Put the file into the piece's folder and write its name from there.")
        return _problem("outside", named, text, remedy)
    tidy = str(path).strip()
    if tidy != file:
        return _problem(
            "bad-path",
            named,
            say("{file} is not written plainly.", file=shown(file)),
            say("Write {tidy}.", tidy=shown(tidy)),
        )
    return None


def _in_its_folder(named: Named, file: str) -> tuple[str | None, Problem | None]:
    if not named.folder or file.startswith(f"{named.folder}/"):
        return file, None
    text = say("{file} lies outside the folder {folder}.", file=shown(file), folder=named.folder)
    where = f"{named.folder}/{file.rpartition('/')[2]}"
    return None, _problem("wrong-folder", named, text, say("Move it there and write {where}.", where=shown(where)))


def _missing(named: Named, files: Iterable[str]) -> Problem:
    folder, _, name = named.file.rpartition("/")
    by_fold = {_composed(f).casefold(): f for f in files}
    twin = by_fold.get(_composed(named.file).casefold())
    if twin:
        text = say("{file} is not there; {twin} is, with other capitals.", file=shown(named.file), twin=shown(twin))
        return _problem(
            "missing-file", named, text, say("Write {twin}: other computers tell capitals apart.", twin=shown(twin))
        )
    beside = [f for f in by_fold.values() if f.rpartition("/")[0] == (folder or named.folder)]
    elsewhere = next((f for f in sorted(by_fold.values()) if f.rpartition("/")[2].casefold() == name.casefold()), None)
    near = elsewhere or nearest(named.file, beside)
    remedy = say("Nearest: {near}.", near=shown(near)) if near else say("Put the file there, or correct the name.")
    return _problem("missing-file", named, say("{file} is not in the piece's folder.", file=shown(named.file)), remedy)
