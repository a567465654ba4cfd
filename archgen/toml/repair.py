"""Read one line of a TOML text that the standard's grammar refuses, where it is plain what was meant.

Typographic quotes, none at all, one that does not close, a colon for the equals sign, a comma that is missing in a
list, several keys on a line. Everything found is checked with the standard library's reader. Knows TOML, not pieces.
"""

import re
import tomllib
from collections.abc import Iterator
from typing import Any

# Quotes as phones and word processors set them, in pairs or not.
_CURLY = str.maketrans({**dict.fromkeys("“”„‟«»＂", '"'), **dict.fromkeys("‘’‚‛‹›´`", "'")})
_UNSEEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f\u200b-\u200f\u2060\ufeff]")
_STATEMENT = re.compile(
    r"""\s*([\w-]+(?:\.[\w-]+|[ \t]+[\w-]+){0,3}|"[^"\n]*"|'[^'\n]*')[ \t]*(?:=|:(?!//))[ \t]*(.*)""", re.DOTALL
)
# Another key on the same line, behind a value that has ended.
_NEXT_KEY = re.compile(r"""(?<=["'\]\d\w])[ \t,;]+(?=[A-Za-z_][\w-]*[ \t]*=[ \t]*\S)""")
_TEXTS = re.compile(r"""(["'])(.*?)\1(?:[ \t\n]*(?:,|$)|(?=[ \t\n]*["']))""", re.DOTALL)
_COMMENT = re.compile(r"(?:^|\s)#.*$", re.DOTALL)
_PLAIN_SCALAR = re.compile(r"[+-]?\d[\d_]*(\.\d+)?|true|false|\d{4}-\d\d-\d\d")


def repair_statement(text: str) -> dict[str, Any] | None:
    """Give what a statement of one or more lines says, or None when that cannot be told."""
    plain = _UNSEEN.sub("", text.replace("\u00a0", " "))
    return next((found for candidate in _candidates(plain) if (found := _loads(candidate))), None)


def has_value(text: str) -> bool:
    """Say whether anything stands behind the equals sign."""
    match = _STATEMENT.match(text)
    return match is None or bool(_COMMENT.sub("", match[2]).strip())


def _loads(text: str) -> dict[str, Any] | None:
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError):
        return None


def _candidates(text: str) -> Iterator[str]:
    """Give the text as it may have been meant, the smallest change first."""
    yield text
    parts = [part for part in _NEXT_KEY.split(text.translate(_CURLY)) if part.strip()]
    statements = [statement for part in parts if (statement := _statement(part))]
    if len(statements) == len(parts) > 1:
        yield "\n".join(statements)
    if single := _statement(text):
        yield single


def _statement(text: str) -> str | None:
    match = _STATEMENT.match(text)
    if match is None:
        return None
    key, value = match[1].strip(), match[2].strip()
    if not _COMMENT.sub("", value).strip():
        return None
    if key[0] not in "\"'" and not re.fullmatch(r"[A-Za-z0-9_.-]+", key):
        key = _quoted(re.sub(r"\s+", "_", key))
    return f"{key} = {_value(value)}"


def _value(text: str) -> str:
    """Write a value so that it can be read."""
    if _loads(f"x = {text}"):
        return text
    straight = text.translate(_CURLY)
    if _loads(f"x = {straight}"):
        return straight
    if straight.startswith("["):
        return _list(straight[1:])
    if re.match(r"""(["'])[^"']*\1[ \t]*,[ \t]*["']""", straight):
        return _list(straight)
    return _text(straight)


def _text(text: str) -> str:
    """Write one text: what stands between its first quote and its last, or all of it."""
    quote = text[0]
    if text.startswith(('"""', "'''")):
        return _quoted(text[3:].strip().removesuffix(text[:3]).strip())
    if quote in "\"'":
        inner = text[1:]
        end = inner.rfind(quote)
        rest = inner[end + 1 :].strip() if end >= 0 else ""
        if end >= 0 and (not rest or rest.startswith("#")):
            return _quoted(inner[:end])
        bare = _COMMENT.sub("", inner).strip()
        return _quoted(bare if end < 0 else bare.replace(quote, ""))
    bare = _COMMENT.sub("", text).strip().rstrip(";,").strip()
    # The closing quote without the opening one: an inch sign stays.
    if bare.count('"') == 1 and bare.endswith('"') and not bare[-2:-1].isdigit():
        bare = bare[:-1]
    return _quoted(bare)


def _list(inner: str) -> str:
    """Write a list whose brackets, commas or quotes are not all there."""
    inner = re.sub(r"#[^\n\"']*(?=\n|$)", "", inner).strip().removesuffix("]").strip()
    if inner[:1] in ("[", "{"):
        return _quoted(inner)
    items = _items(inner)
    return f"[{', '.join(items)}]"


def _items(inner: str) -> list[str]:
    items, position = [], 0
    while position < len(inner):
        rest = inner[position:]
        if match := re.match(r"[\s,;]+", rest):
            position += match.end()
        elif match := _TEXTS.match(rest):
            items.append(_quoted(match[2]))
            position += match.end()
        else:
            match = re.match(r"[^,;\n]+", rest)
            assert match is not None  # noqa: S101 (a separator would have matched above)
            word = match[0].strip().strip("\"'").strip()
            items.append(word if _PLAIN_SCALAR.fullmatch(word) and _loads(f"x = {word}") else _quoted(word))
            position += match.end()
    return items


def _quoted(text: str) -> str:
    """Write a text of one or more lines in quotes."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\t", "\\t")
    return f'"{escaped}"'
