"""Which keys of a record decide whether something may be shown: there nothing is guessed and no slip is forgiven."""

import re

# Tables and keys that decide what may be shown, as a whole.
DECISIVE = ("publish", "reference", "release", "rights_override")
# Keys of other tables that do.
_DECISIVE_KEYS = re.compile(r"photo\.(?:\d+\.)?(?:publish|stage)")
# Whose words say whether a person may be seen in a reference: they may not be lost unasked either.
TELLING = frozenset({"subjects", "styles"})
# Names of keys that stand in decisive tables only: wherever else they are found, such a table has lost its heading.
DECISIVE_NAMES = frozenset(
    {"status", "scope", "withdrawn", "license", "licence", "likeness", "permission", "allows", "used", "made_from",
     "digital_source", "ai_system", "rights_url", "reason", "publish", "stage", "creator", "obtained"}
)  # fmt: skip

# Where a single text stands for a list of one.
LISTS = {"release": ("scope",), "reference": ("allows", "made_from")}


def is_telling(key: str) -> bool:
    """Say whether a key of a piece's record may keep something from being shown, though it is read forgivingly."""
    return key.partition(".")[0] in TELLING


def is_strict(key: str) -> bool:
    """Say whether a dotted key of a piece's record decides about publication."""
    return key.partition(".")[0] in DECISIVE or _DECISIVE_KEYS.fullmatch(key) is not None
