"""Tell one state of this program from another: its modules, its themes, the interpreter, all that is installed."""

import os
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import archgen
from archgen.languages.house import chosen, house
from archgen.storage.files import digest_bytes
from archgen.storage.tree_state import line_of, tree_state

_PACKAGE = Path(archgen.__file__).parent
_DISTRIBUTIONS = (".dist-info", ".egg-info", ".egg-link", ".pth")


def program_state() -> str:
    """Give the state of the program, and what it speaks, as it was when this process first asked in that language.

    What is loaded stays as it is.

    Raises:
        OSError: It cannot be looked at.
        OddTreeError: A change in it might not show.
    """
    return f"{_first_look()} {house().tag}"


@cache
def _first_look() -> str:
    return look_at_program()


def look_at_program() -> str:
    """Give a digest that changes with the program, everything installed beside it, and the language chosen for it.

    Raises:
        OSError: It cannot be looked at.
        OddTreeError: A change in it might not show.
    """
    folders = (folder for folder in (_PACKAGE, _PACKAGE.with_name("themes")) if folder.is_dir())
    trees = [tree_state(folder, 0).digest for folder in folders]
    return digest_bytes(
        sys.version, chosen(), *trees, *(line for place in sys.path for line in _installed(place or "."))
    )


def _installed(place: str) -> Iterator[str]:
    try:
        with os.scandir(place) as entries:
            found = [entry for entry in entries if entry.name.endswith(_DISTRIBUTIONS)]
    except OSError:  # not a folder, such as the zip of the standard library
        return
    for entry in sorted(found, key=lambda entry: entry.name):
        yield line_of(entry.name, entry.stat())
