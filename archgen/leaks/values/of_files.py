"""The values to look for in the name of a file or folder: under any ending, in full where it is of everyday words."""

import re
from collections.abc import Iterator, Sequence

from archgen.leaks.values.exact import PrivateValue, exact
from archgen.leaks.values.names import full_name_of, stem_of, without_size
from archgen.leaks.values.ordinary_words import ORDINARY
from archgen.leaks.values.public_words import PublicWords, Standing
from archgen.leaks.values.spellings import Way
from archgen.plain_text import words_of

CAMERA_DIGITS = 3


def file_values(what: str, path: str, public: PublicWords) -> Iterator[PrivateValue]:
    """Look for the name of a file under any ending; one of everyday words only in full, with its ending."""
    stem = stem_of(path)
    words = without_size(words_of(stem).split())
    is_public = public.standing(" ".join(words)) is Standing.FIXED  # pages and pictures of the portfolio are named so
    if is_public or not _says_something(words):
        yield from _full_name(what, path, words)
        return
    yield PrivateValue(what, stem, way=Way.NAME)
    if re.search(r"[^\W\d_]", stem) and len(re.findall(r"\d", stem)) >= CAMERA_DIGITS:
        yield from exact(what, stem, public)


def _says_something(words: Sequence[str]) -> bool:
    """Say whether the words of a name are hardly anybody else's."""
    if all(word in ORDINARY or word.isdigit() for word in words) and len(words) <= 2:
        return len(words) == 1 and len(words[0]) > 4 and words[0].isdigit()
    return True


def _full_name(what: str, path: str, words: Sequence[str]) -> Iterator[PrivateValue]:
    """Look for the whole name: "face.jpg" may be anybody's, "references/face.jpg" or "old-face.jpg" is hardly."""
    name = full_name_of(path)
    if "." not in name.strip(".") or not any(len(word) > 1 and not word.isdigit() for word in words):
        return
    yield PrivateValue(what, name, sure=len(words) > 1, way=Way.FULL_NAME)
    folder = path.replace("\\", "/").rstrip("/").split("/")[-2:-1]
    if len(words) == 1 and folder:
        yield PrivateValue(what, f"{folder[0]}/{name}", way=Way.FULL_NAME)


def folder_values(what: str, name: str, public: PublicWords) -> Iterator[PrivateValue]:
    """Look for the name of a folder, unless the portfolio names a page so."""
    if public.standing(name) is Standing.FIXED:
        return
    if len(words_of(name).split()) > 1:
        yield from exact(what, name, public)
    if not all(word in ORDINARY for word in words_of(name).split()):
        yield PrivateValue(what, name, way=Way.NAME)
