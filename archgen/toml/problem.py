"""One problem in a TOML file, before anybody says which piece it belongs to; and the nearest right word."""

import difflib
from collections.abc import Iterable

from archgen.findings import Severity
from archgen.languages.house import say
from archgen.values.frozen import Value


class Problem(Value, frozen=True):
    """What is wrong and what to do.

    Attributes:
        code: The part of a finding's code behind the dot, such as "unknown-key".
        key: Dotted key, empty for the file as a whole.
        line: Counted from 1; None when there is no single line.
    """

    code: str
    key: str
    line: int | None
    problem: str
    remedy: str
    severity: Severity = Severity.ERROR

    def __str__(self) -> str:
        place = say("line {line}", line=self.line) + ": " if self.line else ""
        return f"{place}{self.problem} {self.remedy}"


def nearest(word: str, allowed: Iterable[str]) -> str | None:
    """Give the allowed word most like this one, capitals and separators aside; None when none is like it."""
    by_plain = {_plain(candidate): candidate for candidate in allowed}
    # 0.6 is the library's own default; lower values offered words that share a few letters only.
    close = difflib.get_close_matches(_plain(word), list(by_plain), n=1, cutoff=0.6)
    return by_plain[close[0]] if close else None


def hint(near: str | None) -> str:
    """Write the nearest right word in front of what is allowed; nothing when there is none."""
    return say("Nearest: {near}.", near=shown(near)) + " " if near else ""


def _plain(word: str) -> str:
    return "".join(character for character in word.casefold() if character.isalnum()) or word


def shown(value: object, longest: int = 60) -> str:
    """Write a value from a TOML file for a message: as it would stand there, cut when long."""
    match value:
        case bool():
            text = "true" if value else "false"
        case str():
            text = _quoted(value)
        case dict():
            return say("a table")
        case list():
            text = f"[{', '.join(shown(item, 20) for item in value[:4])}{', …' if len(value) > 4 else ''}]"
        case _:
            text = str(value)
    return as_text(text, longest)


def as_text(text: str, longest: int = 60) -> str:
    """Write text for a message: on one line, cut when long."""
    text = "".join(character if character.isprintable() else " " for character in text)
    return text if len(text) <= longest else f"{text[: longest - 1]}…"


# Letters that are drawn as nothing at all: the fillers of Hangul, the empty cell of Braille.
_EMPTY_LETTERS = frozenset("\u115f\u1160\u2800\u3164\uffa0")


def says_something(text: str) -> bool:
    """Say whether anything of a text can be seen."""
    return any(letter.isprintable() and not letter.isspace() and letter not in _EMPTY_LETTERS for letter in text)


def _quoted(text: str) -> str:
    """Put a text in quotes so that it can be copied into a TOML file."""
    if '"' not in text and "\\" not in text:
        return f'"{text}"'
    if "'" not in text:
        return f"'{text}'"
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def listed(words: Iterable[str]) -> str:
    """Write words for a message: "a, b, c"."""
    return ", ".join(words)


def either(words: Iterable[str]) -> str:
    """Write words of which one is meant: "a, b or c"."""
    *others, last = words
    return say("{others} or {last}", others=listed(others), last=last) if others else last
