"""How an archive folder is told from others; loads nothing else, since every command asks."""

from pathlib import Path

PIECES = "pieces"
SETTINGS = "archive.toml"


def is_archive(root: Path) -> bool:
    """Say whether a folder is laid out as an archive."""
    return (root / PIECES).is_dir() or (root / SETTINGS).is_file()
