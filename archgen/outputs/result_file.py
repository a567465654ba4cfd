"""Write one result where the artist asked for it."""

from pathlib import Path

from archgen.errors import OutputError
from archgen.storage.files import is_inside, write_atomically


def write_file(target: Path, content: bytes, root: Path, begins: bytes = b"%PDF") -> Path:
    """Write a file whole or not at all, over nothing but an earlier one of its kind, never among the artist's own.

    Raises:
        OutputError: It would lie among the pieces or replace something else, or the disk does not let it.
    """
    if is_inside(target, root / "pieces"):
        raise OutputError(f"{target} lies among your pieces, where archgen writes nothing. Choose another place.")
    if target.is_dir():
        raise OutputError(f"{target} is a folder. Name the file in it.")
    try:
        if target.exists() and not target.read_bytes().startswith(begins):
            raise OutputError(f"{target} is there already and something else. Choose another name.")
        write_atomically(target, content)
    except OSError as error:
        raise OutputError(f"{target} cannot be written ({(error.strerror or 'disk error').lower()}).") from error
    return target.resolve()
