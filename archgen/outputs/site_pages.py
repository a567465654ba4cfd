"""What both sites share: pictures with their copies, file names made from free text, page artifacts."""

import hashlib
import os
import re
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import TypeVar

from archgen.outputs.artifact import Artifact
from archgen.picture_facts.facts import Derivative
from archgen.render.html import Theme
from archgen.storage.files import digest_bytes
from archgen.values.frozen import Value

_PLAIN_NAME = re.compile(r"[A-Za-z0-9]+(?:[-_][A-Za-z0-9]+)*")
_LONGEST_NAME = 80

T = TypeVar("T")


class PagePicture(Value, frozen=True):
    """A picture on a page: paths are relative to the site's folder, sizes those of `src` in pixels.

    Attributes:
        srcset: Pairs of path and width, smallest first; src is one of them.
        alt: Words for those who do not see it; empty when the words beside it say the same.
        alt_language: What they are written in, where that is not the language of the page.
        avif: The same as `srcset` in a smaller format that some browsers do not read; empty where there is none.
    """

    src: str
    width: int
    height: int
    srcset: tuple[tuple[str, int], ...]
    alt: str
    alt_language: str = ""
    avif: tuple[tuple[str, int], ...] = ()


def picture(
    copies: Sequence[Derivative], alt: str, *, wanted_px: int = 1000, folder: str = "img"
) -> PagePicture | None:
    """Describe a picture by its copies; `src` is the smallest that is wide enough. None without copies."""
    if not copies:
        return None
    by_width = sorted(copies, key=lambda copy: copy.width)
    main = next((copy for copy in by_width if copy.width >= wanted_px), by_width[-1])
    srcset = tuple((f"{folder}/{copy.blob}", copy.width) for copy in by_width)
    return PagePicture(f"{folder}/{main.blob}", main.width, main.height, srcset, alt)


def file_name(text: str) -> str:
    """Make a file name from free text: the text itself when it is plain, else with a digest."""
    if len(text) <= _LONGEST_NAME and _PLAIN_NAME.fullmatch(text):
        return text
    plain = "-".join(re.findall(r"[A-Za-z0-9]+", text))[:40].strip("-")
    mark = hashlib.sha256(text.encode()).hexdigest()[:10]
    return f"{plain}-{mark}" if plain else mark


def file_names(texts: Iterable[str]) -> dict[str, str]:
    """Make a file name for each text; no two differ only in case, which some disks do not tell apart."""
    names: dict[str, str] = {}
    taken: set[str] = set()
    for text in sorted(set(texts)):
        name = file_name(text)
        if name.casefold() in taken:
            name = f"{name}-{hashlib.sha256(text.encode()).hexdigest()[:10]}"
        taken.add(name.casefold())
        names[text] = name
    return names


class PageTurns(Value, frozen=True):
    """Where one page of a long list stands among the others.

    Attributes:
        number: Counted from 1.
        paths: Of all pages, in order, relative to the site's folder.
    """

    number: int
    paths: tuple[str, ...]

    @property
    def path(self) -> str:
        """Give its own path."""
        return self.paths[self.number - 1]

    @property
    def before(self) -> str | None:
        """Give the path of the page before; None on the first."""
        return self.paths[self.number - 2] if self.number > 1 else None

    @property
    def after(self) -> str | None:
        """Give the path of the next page; None on the last."""
        return self.paths[self.number] if self.number < len(self.paths) else None

    @property
    def shown(self) -> tuple[tuple[int, str | None], ...]:
        """Give numbers with paths, no more than a line of them: both ends and the neighbours; no path: a gap before."""
        last = len(self.paths)
        near = {1, last, *range(self.number - 1, self.number + 2)} & set(range(1, last + 1))
        found: list[tuple[int, str | None]] = []
        for number in sorted(near):
            if found and number - found[-1][0] > 1:
                # A gap of a single page is no shorter than its number.
                is_one = number - found[-1][0] == 2
                found.append((number - 1, self.paths[number - 2] if is_one else None))
            found.append((number, self.paths[number - 1]))
        return tuple(found)


def in_pages(items: Sequence[T], most: int, first: str, later: str) -> Iterator[tuple[Sequence[T], PageTurns]]:
    """Cut a long list into pages; there is always a first one.

    Args:
        items: All of them, in order.
        most: How many a page holds.
        first: The path of the first page.
        later: The path of a later one, with ``{}`` for its number.
    """
    count = max(1, -(-len(items) // most))
    paths = (first, *(later.format(number) for number in range(2, count + 1)))
    for number in range(1, count + 1):
        yield items[(number - 1) * most : number * most], PageTurns(number, paths)


def page(theme: Theme, path: str, template: str, view: object) -> Artifact:
    """Plan a page: the template gets `view`, and `root`, the way from the page back to the site's folder."""
    key = page_key(theme, path, template, view)
    return Artifact(path, make=lambda: make_page(theme, path, template, view), key=key)


def page_key(theme: Theme, path: str, template: str, view: object) -> str:
    """Give the key of a page."""
    return digest_bytes("page", theme.digest, template, _way_back(path), repr(view))


def make_page(theme: Theme, path: str, template: str, view: object) -> bytes:
    """Make a page."""
    return theme.render(template, view=view, root=_way_back(path)).encode()


def _way_back(path: str) -> str:
    return "../" * path.count("/")


def asset_files(theme: Theme) -> Iterator[Artifact]:
    """Plan the theme's own files."""
    for name, path in theme.assets.items():
        yield Artifact(path, make=partial(theme.content, name))


def picture_files(copies: Iterable[Derivative], blobs: Path, folder: str = "img") -> Iterator[Artifact]:
    """Plan the copies of pictures, each once."""
    place = os.fspath(blobs)  # plain texts: there are thousands
    for blob in sorted({copy.blob for copy in copies}):
        yield Artifact(f"{folder}/{blob}", source=f"{place}/{blob}")
