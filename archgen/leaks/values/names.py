"""Names of private files and folders where a name stands: under any suffix, with a size behind it, as a part of a path.

A name of ordinary words, such as "outline.png", says nothing in running text; before a suffix, or between slashes, it
does. Knows names, not what the files hold.
"""

import re
from collections.abc import Iterator, Sequence

from archgen.plain_text import without_accents, words_of

# What programs put behind or before a name when they make a copy: sizes, numbers and a few words. From memory.
_BEHIND = (
    r"(?:[ _@.,()×+~-]*+(?:\d++(?:x\d++|px|w|h|x)?|px|copy|kopie|copie|edit|edited|final|web|small|medium|large|thumb"
    r"|thumbnail|preview|scaled|resized|min|original|hd|retina|lowres|hires)(?![^\W_]))*+[ _()-]*+"
)
_BEFORE = (
    r"(?:(?:copy[ _-]of|kopie[ _-]von|copy|thumb|thumbnail|small|medium|large|web|preview|edited|scaled|resized|min|hd)"
    r"[ _.-]+)?"
)
_SUFFIXES = (
    r"\.(?:jpe?g|jpe|jfif|png|webp|avif|gif|tiff?|hei[cf]|bmp|svgz?|pdf|psd|ai|eps|raw|dng|cr[23]|nef|arw|ico|html?|xml"
    r"|json|txt|md|toml|docx?|zip|mp4|mov)(?![^\W_])"
)
_SUFFIX = re.compile(_SUFFIXES)
# What may stand in a name, between its words and between it and its suffix.
_NAME_LETTERS = re.compile(r"[\w @.,()×+~-]+")
_IN_TEXT = re.compile(_BEHIND + _SUFFIXES)
_IN_PATH = re.compile(_BEHIND + rf"(?:{_SUFFIXES}|(?=/)|\Z)")
_SIZE = re.compile(r"\d{1,5}(?:x\d{1,5}|x|w|px)?")


def stem_of(path: str) -> str:
    """Give the name of a file or folder without the folders above it and without its suffix."""
    name = path.replace("\\", "/").rstrip("/").rpartition("/")[2]
    return re.sub(r"(?<=.)\.[A-Za-z][A-Za-z0-9]{1,4}$", "", name)


def full_name_of(path: str) -> str:
    """Give the name of a file with its ending, without the folders above it."""
    return path.replace("\\", "/").rstrip("/").rpartition("/")[2]


def stands_as_full_name(text: str, name: str) -> bool:
    """Say whether the name of a file with its ending stands in a text: nothing before it or behind it belongs to it.

    Both in small letters, without accents. The name may begin with the folder it lies in.
    """
    words = r"(?:[ _]|%20)".join(map(re.escape, re.split(r"[ _]", name)))
    return re.search(rf"(?<![^\W_])(?<![-_.+~@]){words}(?![^\W_]|[-_~]\w)", text) is not None


def _stands_alone(text: str, name: str) -> bool:
    edges = rf"(?<![^\W_])(?<![-_.+~@]){re.escape(name)}(?![^\W_]|[-_.+~@]\w)"
    return re.search(edges, text) is not None


def without_size(words: Sequence[str]) -> tuple[str, ...]:
    """Leave out the sizes and numbers behind the words of a name, where a word stays."""
    kept = list(words)
    while len(kept) > 1 and _SIZE.fullmatch(kept[-1]):
        kept.pop()
    return tuple(kept)


def written_together(stem: str) -> str | None:
    """Give a name in plain letters if it is written together, such as "owl-quill-2", and so is nothing but a name."""
    plain = without_accents(stem)
    return plain if re.search(r"\w[-_]\w", plain) else None


def names_among(text: str) -> Iterator[str]:
    """Give the parts of a text, in small letters without accents, that may be names of files: what has a suffix."""
    if _SUFFIX.search(text):
        yield from (run[0] for run in _NAME_LETTERS.finditer(text) if _SUFFIX.search(run[0]))


def stands_as_name(text: str, stem: str, *, is_path: bool) -> bool:
    """Say whether a name stands before a suffix in a text, or as a part of a path; both in small letters, no accents.

    It must be the whole name: "owl-1" is not the name of "barn-owl-1.webp". One that is written together, such as
    "owl-quill-2", is nothing else even without a suffix.
    """
    together = written_together(stem)
    if together and _stands_alone(text, together):
        return True
    words = r"[ _.,+~-]*".join(map(re.escape, words_of(stem).split()))
    behind = _IN_PATH if is_path else _IN_TEXT
    whole = re.finditer(rf"(?<![^\W_])(?<![-_.+~@]){_BEFORE}{words}(?![^\W_])", text)
    return any(behind.match(text, found.end()) for found in whole)
