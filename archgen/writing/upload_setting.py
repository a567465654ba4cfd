"""Remember in archive.toml where the portfolio goes, its comments and order kept."""

from pathlib import Path

from archgen.config import FILE
from archgen.languages.house import say
from archgen.writing.change import Change, edited_file
from archgen.writing.record_text import SetKey


def target_change(root: Path, target: str) -> Change:
    """Work out the change; nothing is written.

    Raises:
        InputError: archive.toml cannot be changed safely.
    """
    edited = edited_file(root, FILE, [SetKey(("upload", "target"), target)])
    return Change(say("Where the portfolio goes"), edited=(edited,))
