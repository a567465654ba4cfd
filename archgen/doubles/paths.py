"""What the path of a picture of an archive tells by itself."""


def folder_of(path: str) -> str:
    """Give photos, stencils or references, of a path relative to the archive folder."""
    return path.split("/")[2]


def piece_of(path: str) -> str:
    """Give the name of the piece's folder, of a path relative to the archive folder."""
    return path.split("/")[1]
