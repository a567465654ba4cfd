"""The whole archive as one folder for whoever has it in twenty years: all as it is, prints and pages, a plain list.

The folder is a bag (RFC 8493): each file stands in a list with its digest, which programs of others check too.
"""

import datetime as dt
import os
import re
import shutil
from collections.abc import Iterable, Mapping
from pathlib import Path

import bagit

from archgen.catalogue import Catalogue
from archgen.errors import InputError, OutputError, UsageError, disk_reason
from archgen.languages.house import say, to_say
from archgen.progress import ProgressReporter
from archgen.sealing.seal import SealDifference, compare, digests_of, files_below
from archgen.storage.files import is_inside
from archgen.units import date_words
from archgen.values.frozen import Value

ARCHIVE = "archive"
# What a build made that is worth keeping: pages to read, sheets, stencils at their size as PDF.
BUILT = ("archive", "sheets", "reprints")
_AS = {"archive": "pages", "sheets": "sheets", "reprints": "stencils-as-pdf"}
_ALGORITHMS = ("sha256", "sha512")
_UNLISTED = re.compile(r"[\udc80-\udcff\x0b\x0c\x1c-\x1e\x85\u2028\u2029]|%(?=0[AaDd])|\s+\Z")


class HandoverPiece(Value, frozen=True):
    """A piece on the plain list: paths from the list's folder."""

    title: str
    day: str
    folder: str


def hand_over(catalogue: Catalogue, out: Path, target: Path, progress: ProgressReporter) -> int:
    """Copy everything and make it a bag; give how many files there are.

    Raises:
        UsageError: Nothing was built from this archive.
        InputError: Something in the archive cannot be read.
        OutputError: The folder holds something, lies in the archive, or cannot be written.
    """
    root = catalogue.config.root
    if is_inside(target, root) or is_inside(target, out):
        raise OutputError(say("{target} lies in your archive or its results. Choose another place.", target=target))
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise OutputError(say("{target} has something in it. Name a folder that is not there yet.", target=target))
    built = [name for name in BUILT if (out / name).is_dir()]
    if not built:
        raise UsageError(say("Build first: pages, sheets and prints go along."))
    files = [(root / path, f"{ARCHIVE}/{path}") for path in files_below(root)]
    for name in built:
        files += [(path, f"{_AS[name]}/{path.relative_to(out / name).as_posix()}") for path in _files_in(out / name)]
    names = _names_in_bag(place for _, place in files)
    is_new = not target.exists()
    try:
        for source, place in progress.track(files, len(files), say("Copying")):
            (target / names[place]).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(source, target / names[place])
        (target / "README.txt").write_text(_plain_list(catalogue, built, names), encoding="utf-8", errors="replace")
        bagit.make_bag(str(target), _about(catalogue), checksums=list(_ALGORITHMS))
    except BaseException as error:
        _take_away(target, is_new=is_new)
        if not isinstance(error, OSError):
            raise
        if error.filename in {str(source) for source, _ in files}:
            said = say("{file} cannot be read ({reason}).", file=error.filename, reason=disk_reason(error))
            raise InputError(said) from error
        raise OutputError(
            say("{file} cannot be written ({reason}).", file=target, reason=disk_reason(error))
        ) from error
    return len(files)


def _names_in_bag(places: Iterable[str]) -> dict[str, str]:
    """Say what each file is called in the bag, in whose lists not every name can stand."""
    names: dict[str, str] = {}
    taken: set[str] = set()
    # Whose name can stand there keeps it; records lead to it.
    for place in sorted(places, key=lambda place: (_as_listed(place) != place, place)):
        name = _as_listed(place)
        while name in taken:
            name += "_"
        taken.add(name)
        names[place] = name
    return names


def _as_listed(place: str) -> str:
    """Write the bytes of what bagit can't keep apart: lists are UTF-8, line by line, with a break written as "%0A"."""
    return _UNLISTED.sub(lambda found: "".join(f"_{byte:02X}" for byte in os.fsencode(found[0])), place)


def _take_away(target: Path, *, is_new: bool) -> None:
    """Leave nothing half-done; there was nothing in the folder."""
    for path in target.iterdir() if target.is_dir() else ():
        if path.is_dir():
            shutil.rmtree(path, ignore_errors=True)
        else:
            path.unlink(missing_ok=True)
    if is_new and target.is_dir():
        shutil.rmtree(target, ignore_errors=True)


def check_bag(folder: Path, workers: int, progress: ProgressReporter) -> SealDifference:
    """Say what of a bag is not as it was handed over, its own lists too.

    Raises:
        InputError: It is none.
    """
    try:
        entries = bagit.Bag(str(folder)).entries
    except (bagit.BagError, OSError, ValueError) as error:
        raise InputError(
            say("{folder} isn't a folder that `archgen handover` made ({error}).", folder=folder, error=error)
        ) from error
    listed = {path: digests["sha256"] for path, digests in entries.items() if "sha256" in digests}
    there = {path.relative_to(folder).as_posix() for path in _files_in(folder / "data", hidden=True)}
    there |= {path for path in listed if (folder / path).is_file()}
    return compare(listed, digests_of(folder, sorted(there), workers, progress))


def _files_in(folder: Path, *, hidden: bool = False) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file() and (hidden or not path.name.startswith(".")))


def _about(catalogue: Catalogue) -> dict[str, str]:
    config = catalogue.config
    day = dt.date.fromordinal(catalogue.built_on.toordinal())
    return {
        "Source-Organization": config.portfolio.artist or config.archive.title,
        "External-Description": say("{title}: records, pictures, stencils, sheets", title=config.archive.title),
        "Bagging-Date": day.isoformat(),
    }


def _plain_list(catalogue: Catalogue, built: list[str], names: Mapping[str, str]) -> str:
    kept = say("everything as the artist kept it: a folder for each piece, records as plain text (TOML)")
    lines = [
        catalogue.config.archive.title,
        "",
        say("As of {day}. Private: it holds names, contacts and notes of clients.", day=date_words(catalogue.built_on)),
        "",
        f"{ARCHIVE}/  {kept}",
        *(f"{_AS[name]}/  {say(_ABOUT[name])}" for name in built),
        "",
        say(
            "To check whether every file is still what it was, use any program for bags (RFC 8493), or\n"
            "sha256sum --check manifest-sha256.txt in the folder above this one."
        ),
        "",
    ]
    for place, name in names.items():
        if name != place:
            old = place.encode("utf-8", "backslashreplace").decode()
            lines += [say("{old} is called {new} here: its name can’t stand in such lists.", old=old, new=name), ""]
    for piece in catalogue.pieces:
        day = piece.record.finished_on if piece.record else None
        lines.append(f"{day.isoformat() if day else '----------'}  {piece.title}  {ARCHIVE}/{piece.folder}")
    return "\n".join(lines) + "\n"


_ABOUT = {
    "archive": to_say("pages to read in a browser: open index.html"),
    "sheets": to_say("case sheets and recall lists, to print"),
    "reprints": to_say("stencils at their exact size, to print"),
}
