"""Whether a message is one an artist can read."""

import re

# Words and signs that only a programmer would use.
JARGON = re.compile(
    r"\b(?:str|int|float|bool|boolean|dict|NoneType|None|null|array|object|struct|tuple|datetime|Expected|RFC3339|"
    r"ValidationError|exception|Errno|invalid|illegal|parse|decode|token|regex|schema|key/value)\b|\$\.|`|<class"
)

# What only a record's file is written with: brackets, equals signs, names of fields and of files.
SYNTAX = re.compile(
    r"\[\[?[a-z_.]+\]|\w = |\b\w+\.toml\b|\b[a-z]+_[a-z_]+\b|\btrue or false\b|\bfalse\b|"
    r"\b(?:own-work|client-supplied)\b|"
    r"\bUTF|\bSPDX\b|\bAL-[A-Z]"
)


# What is quoted from the artist's file is not ours; with a quote or a backslash in it, it stands in single quotes.
_QUOTED = r"""'[^']*["\\][^']*'|"[^"]*"|“[^”]*”"""


def assert_said_plainly(problem):
    """A sentence on a page or the terminal has no word of a file; what to write stands apart from it."""
    own_words = re.sub(_QUOTED, "", problem)
    assert not SYNTAX.search(own_words), problem


def assert_plain(problem, remedy, *, is_setting=False):
    own_words = re.sub(rf"{_QUOTED}|\[[^\]]*\]", "", f"{problem} {remedy}")
    assert not JARGON.search(own_words), own_words
    if not is_setting:  # who changes a setting has its file open
        assert_said_plainly(problem)
    assert problem.endswith((".", "?")), problem
    assert remedy.endswith("."), remedy
    assert "\n" not in problem + remedy
