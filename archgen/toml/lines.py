"""Find the line of every key and table of a TOML text, which the standard library's reader does not tell.

Knows TOML, not pieces. Meant for texts that tomllib has already accepted; on others it gives what it can.
"""

import re
from sys import intern

# One whole line "key = value" with a plain key and a simple value or a list of such: nearly every line of a record.
_PLAIN_VALUE = r"""(?:"(?!"")[^"\\\r\n]*"|'(?!'')[^'\r\n]*'|[^\s"'\[\]{},#][^"'\[\]{},#\r\n]*)"""
_PLAIN_LINE = re.compile(
    rf"[ \t]*([A-Za-z0-9_-]+)[ \t]*=[ \t]*(?:{_PLAIN_VALUE}|\[(?:[ \t]*{_PLAIN_VALUE}[ \t]*,?)*[ \t]*\])"
    r"[ \t]*(?:#[^\n]*)?(?:\r?\n|\Z)"
)
_PLAIN_HEADER = re.compile(r"[ \t]*(\[\[?)[ \t]*([A-Za-z0-9_-]+)[ \t]*\]\]?[ \t]*(?:#[^\n]*)?(?:\r?\n|\Z)")
_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_KEY_PART = re.compile(r"""[ \t]*(?:([A-Za-z0-9_-]+)|"((?:[^"\\\n]|\\.)*)"|'([^'\n]*)')[ \t]*(\.?)""")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}(?!")|' + r"'''.*?'{3,5}(?!')|" + r""""(?:[^"\\\n]|\\.)*"|'[^'\n]*'""", re.DOTALL
)
_BARE = re.compile(r"[^,\]}#\n]*")


def key_lines(text: str) -> dict[str, int]:
    """Give the line, counted from 1, of each dotted key.

    Tables of an array are numbered from 0, as in ``reference.1.license``; so are values of a list that stand on
    another line than its key.
    """
    return _Scanner(text).scan()


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.position = 0
        self.line = 1
        self.lines: dict[str, int] = {}
        self.counts: dict[str, int] = {}
        self.table = ""

    def scan(self) -> dict[str, int]:
        text = self.text
        while self.position < len(text):
            if text[self.position] == "\n":
                self.position += 1
                self.line += 1
                continue
            plain = _PLAIN_LINE.match(text, self.position)
            if plain:
                self._note(self.table + plain[1])
                self.position = plain.end()
                self.line += 1
                continue
            header = _PLAIN_HEADER.match(text, self.position)
            if header:
                self._open_table([header[2]], is_array=header[1] == "[[")
                self.position = header.end()
                self.line += 1
                continue
            self._other_statement()
        return self.lines

    def _note(self, key: str) -> None:
        self.lines.setdefault(intern(key), self.line)

    def _advance(self, end: int) -> None:
        self.line += self.text.count("\n", self.position, end)
        self.position = end

    def _skip_blank(self) -> str:
        """Skip white space, line ends and comments; give the character that follows."""
        match = _BLANK.match(self.text, self.position)
        if match:
            self._advance(match.end())
        return self.text[self.position : self.position + 1]

    def _other_statement(self) -> None:
        character = self._skip_blank()
        if character == "[":
            is_array = self.text.startswith("[[", self.position)
            self.position += 2 if is_array else 1
            self._open_table(self._key(), is_array=is_array)
            self._to_line_end()
        elif character:
            self._key_and_value(self.table)
            self._to_line_end()

    def _to_line_end(self) -> None:
        end = self.text.find("\n", self.position)
        self._advance(len(self.text) if end < 0 else end + 1)

    def _key(self) -> list[str]:
        parts = []
        while match := _KEY_PART.match(self.text, self.position):
            self._advance(match.end())
            parts.append(next(part for part in match.groups()[:3] if part is not None))
            if not match[4]:
                break
        return parts

    def _open_table(self, parts: list[str], *, is_array: bool) -> None:
        path = ""
        for part in parts[:-1]:
            path += part
            self._note(path)
            if path in self.counts:
                path += f".{self.counts[path]}"
            path += "."
        if not parts:
            return
        path += parts[-1]
        self._note(path)
        if is_array:
            self.counts[path] = self.counts.get(path, -1) + 1
            path += f".{self.counts[path]}"
            self._note(path)
            # A new table of an array starts the arrays inside it anew.
            for inner in [name for name in self.counts if name.startswith(f"{path}.")]:
                del self.counts[inner]
        self.table = f"{path}."

    def _key_and_value(self, prefix: str) -> None:
        start = self.position
        path = prefix
        for part in self._key():
            path += part
            self._note(path)
            path += "."
        equals = self.text.find("=", self.position)
        if equals < 0 or self.position == start:
            self._advance(len(self.text))
            return
        self._advance(equals + 1)
        self._value(path)

    def _value(self, prefix: str) -> None:
        """Step over one value; prefix is its key with a dot behind."""
        while self.text.startswith((" ", "\t"), self.position):
            self.position += 1
        character = self.text[self.position : self.position + 1]
        if character == "[":
            self._array(prefix)
        elif character == "{":
            self._inline_table(prefix)
        else:
            pattern = _STRING if character in ("'", '"') else _BARE
            found = pattern.match(self.text, self.position)
            self._advance(max(found.end() if found else 0, self.position + 1))

    def _array(self, prefix: str) -> None:
        self.position += 1
        key_line, index = self.line, 0
        while (character := self._skip_blank()) not in ("]", ""):
            if character == ",":
                self.position += 1
                index += 1
                continue
            path = f"{prefix}{index}"
            if self.line != key_line:
                self._note(path)
            self._value(f"{path}.")
        self.position += 1

    def _inline_table(self, prefix: str) -> None:
        self.position += 1
        while (character := self._skip_blank()) not in ("}", ""):
            if character == ",":
                self.position += 1
                continue
            self._key_and_value(prefix)
        self.position += 1
