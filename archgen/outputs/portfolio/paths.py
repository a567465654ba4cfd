"""Addresses of the portfolio's pages and files."""

import urllib.parse

HOME, FEED, MANIFEST = "index.html", "feed.xml", "site.webmanifest"
# Folders in which a page may be called like the first page of a folder, and is none.
_PAGES = ("pieces", "styles")


def quoted(path: str) -> str:
    """Write a path as it stands in a link."""
    return urllib.parse.quote(path)


def absolute(url: str | None, path: str) -> str | None:
    """Give the whole address of a file of the site; None when the site's own address is not set."""
    if not url:
        return None
    folder, slash, name = path.rpartition("/")
    is_home = name == HOME and folder.rpartition("/")[2] not in _PAGES
    return f"{url.rstrip('/')}/{quoted(folder + slash if is_home else path)}"
