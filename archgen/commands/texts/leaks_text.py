"""What of an archive is in a folder, in words for the terminal."""

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.text import Text

from archgen.catalogue import Catalogue
from archgen.commands.texts.report_text import print_finding
from archgen.commands.texts.twins_text import counted
from archgen.findings import Finding
from archgen.leaks.find import FolderSearch
from archgen.leaks.leak import LeakKind


def print_leaks(console: Console, findings: Sequence[Finding], looked_at: str) -> None:
    """Print what of an archive is in a folder, and what was looked at."""
    for finding in findings:
        print_finding(console, finding)
    console.print(Text(looked_at))


def leaks_line(place: Path, root: Path, catalogue: Catalogue, search: FolderSearch) -> str:
    """Say what was searched, for whose things, and what came of it."""
    texts, pictures = counted(search.values, "private text"), counted(search.pictures, "picture")
    archive = f"“{catalogue.config.archive.title}” in {root}"
    found = {leak.kind for leak in search.leaks} - {LeakKind.UNREAD}
    result = "see above" if found else "nothing private found"
    if search.unread:
        others = "see above" if found else "in what could be read, nothing private was found"
        result = f"{counted(search.unread, 'file')} couldn't be looked into; {others}"
    looked = f"Looked through {counted(search.files, 'file')} in {place}"
    return f"{looked} for {texts} and {pictures} of {archive}: {result}."
