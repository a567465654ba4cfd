"""Where things stand in the portfolio; every name is made of words that are public anyway."""

import urllib.parse

from archgen.publication.public_catalogue import PublicPiece

HOME = "index.html"


def piece_path(piece: PublicPiece) -> str:
    """Give the path of a piece's page."""
    return f"pieces/{piece.slug}.html"


def photo_paths(piece: PublicPiece, number: int) -> list[str]:
    """Give the paths of a photo's copies, in the order of the copies; number counts from 0."""
    copies = piece.photos[number].copies
    return [f"img/{piece.slug}-{number + 1}-{copy.width}.{copy.blob.rpartition('.')[2]}" for copy in copies]


def quoted(path: str) -> str:
    """Write a path as it stands in a link."""
    return urllib.parse.quote(path)


def absolute(url: str | None, path: str) -> str | None:
    """Give the whole address of a file of the site; None when the site's own address is not set."""
    if not url:
        return None
    return f"{url.rstrip('/')}/{'' if path == HOME else quoted(path)}"
