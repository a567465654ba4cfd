"""Write one result where the artist asked for it."""

import zipfile
from collections.abc import Mapping
from io import BytesIO
from pathlib import Path

from archgen.errors import OutputError
from archgen.languages.house import say
from archgen.storage.files import is_inside, write_atomically

# The earliest day a zip can name: the same files give the same zip.
_EARLIEST = (1980, 1, 1, 0, 0, 0)
# Pictures are packed already.
_PACKED = (".html", ".json")


def write_file(target: Path, content: bytes, root: Path, begins: bytes = b"%PDF") -> Path:
    """Write a file whole or not at all, over nothing but an earlier one of its kind, never among the artist's own.

    Raises:
        OutputError: It would lie among the pieces or replace something else, or the disk does not let it.
    """
    if is_inside(target, root / "pieces"):
        raise OutputError(
            say("{target} lies among your pieces, where archgen writes nothing. Choose another place.", target=target)
        )
    if target.is_dir():
        raise OutputError(say("{target} is a folder. Name the file in it.", target=target))
    try:
        # What is no file, such as a pipe, would be read for ever.
        if target.exists() and not (target.is_file() and _begins_with(target, begins)):
            raise OutputError(say("{target} is there already and something else. Choose another name.", target=target))
        write_atomically(target, content)
    except OSError as error:
        raise OutputError(
            say(
                "{target} cannot be written ({why}).",
                target=target,
                why=(error.strerror or say("disk error")).lower(),
            )
        ) from error
    return target.resolve()


def _begins_with(path: Path, begins: bytes) -> bool:
    with path.open("rb") as stream:
        return stream.read(len(begins)) == begins


def zipped(files: Mapping[str, bytes]) -> bytes:
    """Write files as a zip, pages and data packed; nothing in it tells the day or the computer."""
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for path, content in files.items():
            entry = zipfile.ZipInfo(path, _EARLIEST)
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, content, zipfile.ZIP_DEFLATED if path.endswith(_PACKED) else zipfile.ZIP_STORED)
    return packed.getvalue()
