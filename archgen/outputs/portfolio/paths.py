"""Addresses of the portfolio's pages and files."""

import urllib.parse

HOME = "index.html"


def quoted(path: str) -> str:
    """Write a path as it stands in a link."""
    return urllib.parse.quote(path)


def absolute(url: str | None, path: str) -> str | None:
    """Give the whole address of a file of the site; None when the site's own address is not set."""
    if not url:
        return None
    return f"{url.rstrip('/')}/{'' if path == HOME else quoted(path)}"
