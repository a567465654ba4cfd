"""What the path of a picture of an archive tells by itself."""

from archgen.records.layout import PIECES


def folder_of(path: str) -> str:
    """Give photos, stencils, references or a design's pictures, of a path relative to the archive folder."""
    return path.split("/")[2]


def piece_of(path: str) -> str:
    """Give the name of the piece's folder, of a path relative to the archive folder; of a design with its home."""
    home, name = path.split("/")[:2]
    return name if home == PIECES else f"{home}/{name}"
