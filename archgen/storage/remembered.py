"""Remember which archive folder is meant when nobody names one; one line in the user's own settings folder."""

import os
from pathlib import Path

from archgen.storage.files import write_atomically


def _file() -> Path:
    import platformdirs  # noqa: PLC0415  asked only where nobody names an archive

    return platformdirs.user_config_path("archgen") / "archive.txt"


def remember_archive(root: Path) -> None:
    """Keep the folder for later runs.

    Raises:
        OSError: The settings folder cannot be written.
    """
    write_atomically(_file(), os.fsencode(root.resolve()) + b"\n")


def remembered_archive() -> Path | None:
    """Give the folder kept last; None when none was kept or it cannot be read."""
    try:
        kept = os.fsdecode(_file().read_bytes().rstrip(b"\n"))
    except OSError:
        return None
    return Path(kept) if kept and "\0" not in kept else None
