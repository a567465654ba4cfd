"""Pictures of a piece's lines laid on a picture that was asked about, in a folder of their own."""

from collections.abc import Iterable, Mapping
from contextlib import suppress
from io import BytesIO
from pathlib import Path

from archgen.errors import OutputError, disk_reason
from archgen.intake.comparing.pieces_like import PieceLike
from archgen.languages.house import say
from archgen.storage.files import is_inside, write_durably

_QUALITY = 88


def new_folder(folder: Path, archive: Path) -> None:
    """Make sure that nothing of anybody's lies where the pictures are put.

    Raises:
        OutputError: The folder holds something, is no folder, or lies in the archive.
    """
    if is_inside(folder, archive):
        raise OutputError(
            say("{folder} is inside the archive, which is left as it is. Name a folder elsewhere.", folder=folder)
        )
    if folder.exists() and not (folder.is_dir() and not any(folder.iterdir())):
        raise OutputError(say("{folder} is there already and not empty. Name a new folder.", folder=folder))


def write_overlays(found: Iterable[PieceLike], folder: Path) -> Mapping[str, Path]:
    """Write one picture for each piece that was found by its lines; give where, by the piece.

    Raises:
        OutputError: The folder cannot be written.
    """
    written: dict[str, Path] = {}
    for place, one in enumerate(found, 1):
        if one.laid is None:
            continue
        drawn = BytesIO()
        with suppress(OSError):  # a damaged cache costs a picture, not the answer
            one.laid.overlay().save(drawn, "JPEG", quality=_QUALITY)
        if not drawn.getbuffer().nbytes:
            continue
        path = folder / f"{place}-{one.piece}.jpg"
        try:
            folder.mkdir(parents=True, exist_ok=True)
            write_durably(path, drawn.getvalue())
        except OSError as error:
            raise OutputError(
                say("{file} cannot be written ({reason}).", file=path, reason=disk_reason(error))
            ) from error
        written[one.piece] = path.resolve()
    return written
