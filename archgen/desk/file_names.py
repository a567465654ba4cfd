"""Names of files from strangers' computers made harmless: one plain name, no way out of the folder."""

import re
import unicodedata

_LONGEST = 100
# Characters that Windows refuses in a name, and those that nobody sees (from memory).
_REFUSED = re.compile(r'[<>:"|?*\x00-\x1f\x7f]')
_RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)


def safe_name(given: str) -> str:
    """Keep of a name what can stand on any disk; "picture" where nothing is left."""
    last = re.split(r"[/\\]", given)[-1]
    seen = "".join(
        letter for letter in unicodedata.normalize("NFC", last) if unicodedata.category(letter) not in _UNSEEN
    )
    plain = re.sub(r"\s+", " ", _REFUSED.sub("", seen)).strip(" .")
    stem, dot, suffix = plain.rpartition(".")
    if not dot:
        stem, suffix = plain, ""
    while len(stem.encode()) > _LONGEST:
        stem = stem[:-1]
    stem = stem.strip(" .") or "picture"
    name = f"{stem}.{suffix[:8]}" if suffix else stem
    return f"_{name}" if _RESERVED.fullmatch(name) else name


_UNSEEN = frozenset(("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"))


def numbered(name: str, number: int) -> str:
    """Give the name another number: "a.jpg", 2 becomes "a-2.jpg"."""
    stem, dot, suffix = name.rpartition(".")
    return f"{stem}-{number}.{suffix}" if dot else f"{name}-{number}"
