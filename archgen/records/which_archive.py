"""Which archive a command works on when nobody names one, where its results go, and how that is said."""

import os
from pathlib import Path
from typing import NamedTuple

from archgen.languages.house import say, to_say
from archgen.records.layout import is_archive
from archgen.storage.remembered import remembered_archive

VARIABLE = "ARCHGEN_ARCHIVE"
# The demo archive carries this file, and no other archive does.
DEMO_MARK = ".demo"
_HERE = Path("content")


class ChosenArchive(NamedTuple):
    """An archive folder and, in words, why it is this one."""

    root: Path
    why: str

    @property
    def is_demo(self) -> bool:
        """Say whether it is the demo archive that came with the program."""
        return (self.root / DEMO_MARK).is_file()

    @property
    def words(self) -> str:
        """Name it in one line."""
        words = to_say("Archive: the demo, {folder}") if self.is_demo else to_say("Archive: {folder}")
        return say(words, folder=self.root) + (f" ({self.why})" if self.why else "")


def choose_archive(named: Path | None) -> ChosenArchive:
    """Give the archive that is meant: the one named, else by the environment, by where one stands, by memory.

    The demo beside the program comes last, so that nobody works on it without noticing.
    """
    if named is not None:
        return ChosenArchive(named, "")
    if variable := os.environ.get(VARIABLE, "").strip():
        return ChosenArchive(Path(variable), say("set by {variable}", variable=VARIABLE))
    beside = ChosenArchive(_HERE, "")
    if is_archive(Path()):
        return ChosenArchive(Path(), say("the folder you are in"))
    if is_archive(_HERE) and not beside.is_demo:
        return beside
    remembered = remembered_archive()
    if remembered is not None:
        return ChosenArchive(remembered, say("remembered; --archive names another"))
    return beside


def results_folder(root: Path) -> Path:
    """Give the folder the results go to when nobody names one: beside the archive, under its name.

    The folder ``content`` one stands beside has its results in ``build``.
    """
    whole = root.resolve()
    return Path("build") if root == _HERE else whole.with_name(f"{whole.name}-built")
