"""The media types of a portfolio's files, the same on every system."""

import mimetypes

# What lists of systems lack (RFC 9512 and others; the IANA registry of media types).
_KINDS = {
    ".avif": "image/avif",
    ".webp": "image/webp",
    ".woff2": "font/woff2",
    ".webmanifest": "application/manifest+json",
    ".js": "text/javascript",
    ".xml": "application/xml",
}
_TEXT = ("text/", "application/xml", "application/manifest+json", "image/svg+xml")


def kind_of(path: str) -> str:
    """Give the media type of a file by its name."""
    dot = path.rfind(".")
    kind = _KINDS.get(path[dot:].lower()) or mimetypes.guess_type(path)[0] or "application/octet-stream"
    return f"{kind}; charset=utf-8" if kind.startswith(_TEXT) else kind
