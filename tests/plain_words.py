"""Whether a message is one an artist can read."""

import re

# Words and signs that only a programmer would use.
JARGON = re.compile(
    r"\b(?:str|int|float|bool|boolean|dict|NoneType|None|null|array|object|struct|tuple|datetime|Expected|RFC3339|"
    r"ValidationError|exception|Errno|invalid|illegal|parse|decode|token|regex|schema|key/value)\b|\$\.|`|<class"
)


def assert_plain(problem, remedy):
    # What is quoted from the artist's file is not ours.
    own_words = re.sub(r'"[^"]*"|“[^”]*”|\[[^\]]*\]', "", f"{problem} {remedy}")
    assert not JARGON.search(own_words), own_words
    assert problem.endswith((".", "?")), problem
    assert remedy.endswith("."), remedy
    assert "\n" not in problem + remedy
