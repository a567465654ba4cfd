"""Read a TOML file: bytes, encoding, grammar; what is wrong is told in the artist's words. Knows TOML, not pieces."""

import re
import stat
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from archgen.errors import disk_reason
from archgen.languages.house import say, to_say
from archgen.toml.lines import key_lines
from archgen.toml.problem import Problem, as_text

# A record is a few kilobytes; a larger file under this name is something else.
LARGEST_BYTES = 4_000_000
# A record has tables in lists in tables, six steps; what walks a file may count on an end.
DEEPEST = 20
_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
_PLACE = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")
_HOW_TO_WRITE = to_say('Each line is key = value, with text in straight quotes: title = "Barn owl".')
_CLOSE_LIST = to_say('Close the list with ] and set commas between its values: ["owl", "bird"].')
_SAVE_AS_UTF8 = to_say('Open it in a plain text editor and save it with the encoding "UTF-8".')


def outside() -> Problem:
    """Say that a file lies elsewhere."""
    problem = say("It is a link out of the archive folder.")
    return Problem("outside", "", None, problem, say("Put the file itself here instead of the link."))


class UnreadableTextError(Exception):
    """A text file cannot be used; carries the problem."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


@dataclass(frozen=True, slots=True)
class TomlFile:
    """A TOML file as read."""

    raw: dict[str, Any]
    lines: dict[str, int] = field(default_factory=dict)

    def line(self, key: str) -> int | None:
        """Give the line of a key, else of the table it stands in."""
        return line_of(key, self.lines)


def line_of(key: str, lines: Mapping[str, int]) -> int | None:
    """Give the line of a dotted key, else of the nearest table round it."""
    while key:
        if key in lines:
            return lines[key]
        key = key.rpartition(".")[0]
    return None


def read_toml(path: Path) -> TomlFile:
    """Read a TOML file.

    Raises:
        UnreadableTextError: The file cannot be read or is not TOML; a missing file too.
    """
    return parse_toml(read_text(path))


def parse_toml(text: str) -> TomlFile:
    """Read a TOML text.

    Raises:
        UnreadableTextError: It is not TOML.
    """
    try:
        raw = tomllib.loads(text)
        if is_deeper(raw, DEEPEST):
            raise UnreadableTextError(_too_deep())
        return TomlFile(raw, key_lines(text))
    except RecursionError:
        raise UnreadableTextError(_too_deep()) from None
    except ValueError as error:  # tomllib.TOMLDecodeError is one; a number of thousands of digits raises another
        raise UnreadableTextError(_grammar_problem(str(error), text)) from error


def is_deeper(value: object, steps: int) -> bool:
    """Say whether tables and lists stand inside each other more than so many steps deep."""
    if not isinstance(value, dict | list):
        return False
    inner = value.values() if isinstance(value, dict) else value
    return steps == 0 or any(is_deeper(item, steps - 1) for item in inner)


def _too_deep() -> Problem:
    problem = say("Keys or brackets are nested too deeply to be read.")
    return Problem("broken", "", None, problem, say(_HOW_TO_WRITE))


def read_text(path: Path) -> str:
    """Read a UTF-8 text file; a byte order mark at its start is left out.

    Raises:
        UnreadableTextError: The file is missing, cannot be opened, is too large or is not UTF-8.
    """
    return _decode(_read_bytes(path))


def _read_bytes(path: Path) -> bytes:
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            raise UnreadableTextError(
                Problem("unreadable", "", None, say("It is not an ordinary file."), say("Replace it by a text file."))
            )
        if status.st_size > LARGEST_BYTES:
            size = say(
                "It is {megabytes:.0f} MB large, too large for a text of this kind.",
                megabytes=status.st_size / 1e6,
            )
            raise UnreadableTextError(
                Problem("unreadable", "", None, size, say("Look whether another file got this name."))
            )
        return path.read_bytes()
    except OSError as error:
        reason = disk_reason(error)
        remedy = say("Check that the file is there and that you may open it.")
        raise UnreadableTextError(
            Problem("unreadable", "", None, say("The file cannot be opened ({reason}).", reason=reason), remedy)
        ) from error


def read_text_in_any_encoding(path: Path) -> tuple[str, Problem | None]:
    """Read a text file; one that is not UTF-8 is read as editors on older systems save it, and the problem given.

    Raises:
        UnreadableTextError: The file is missing, cannot be opened, is too large or holds no text.
    """
    content = _read_bytes(path)
    if content.startswith(_UTF16_MARKS):
        try:
            return content.decode("utf-16"), None
        except UnicodeDecodeError:
            pass
    try:
        return _decode(content), None
    except UnreadableTextError as error:
        # Bytes that are no letters in it either belong to no text.
        if b"\0" in content or content.startswith(_UTF16_MARKS):
            raise
        return content.decode("cp1252", errors="replace"), error.problem


def _decode(content: bytes) -> str:
    if content.startswith(_UTF16_MARKS):
        problem = say('Its letters are saved in a way archgen does not read (some editors call it "Unicode").')
        raise UnreadableTextError(Problem("encoding", "", None, problem, say(_SAVE_AS_UTF8)))
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        seen = content.splitlines()[line - 1].decode("cp1252", errors="replace").strip()
        problem = say(
            "Line {line} has a letter that cannot be read ({seen}): the text is saved in an old way.",
            line=line,
            seen=as_text(seen),
        )
        raise UnreadableTextError(Problem("encoding", "", line, problem, say(_SAVE_AS_UTF8))) from error


def _grammar_problem(message: str, text: str) -> Problem:
    """Say in plain words what the standard library's reader stumbled over."""
    rows = text.split("\n")
    place = _PLACE.search(message)
    if place and place[1]:
        line = int(place[1])
    else:
        line = _line_of_open_text(rows) or max((n for n, row in enumerate(rows, 1) if row.strip()), default=1)
    row = rows[line - 1].strip() if line <= len(rows) else ""
    found = as_text(row) or say("an empty line")
    return Problem("broken", "", line, say("The line “{found}” cannot be read.", found=found), _remedy(message, row))


def _line_of_open_text(rows: list[str]) -> int | None:
    """Give the line of the last character that opens a text of several lines."""
    marks = [n for n, row in enumerate(rows, 1) if '"""' in row or "'''" in row]
    return marks[-1] if marks else None


# In this order: pattern of the line, what to do. The first that fits is said.
_HINTS = (
    (r"[\x00-\x08\x0b-\x1f\x7f]", to_say("The line holds a character that cannot be seen; type the line again.")),
    (r"[“”„‟«»‘’]", to_say('Use straight quotes (") instead of curly ones.')),
    (r"^\[\[?[^\]]*\]?$", to_say("Close the brackets: [size] or [[photo]].")),
    (r"^[\w-]+\s*:", to_say('Write = between key and value instead of a colon: title = "Barn owl".')),
    (r"^[\w-]*[^\x00-\x7f][^=#]*=", to_say("Write the key with plain letters (a to z), digits, - and _ only.")),
    (r"^[\w-]+\s+[\w-]+[^=]*=", to_say("A key is one word; join two words with _ or check the key's name.")),
    (
        r"^[^=]*$",
        to_say(
            'Write = between key and value: title = "Barn owl". A text of several lines stands between """ and """.'
        ),
    ),
    (r"=\s*\d{4}-\d\d-\d\d", to_say("Write a date that exists, as year-month-day without quotes: 2026-03-14.")),
    (
        r"=\s*(\d{1,4}[./-]\d{1,2}[./-]\d{1,4}\.?|\d{4}[./-]\d{1,2}|\d{1,2}[./-]\d{4})\s*(#|$)",
        to_say("Write a date as year-month-day without quotes: 2026-03-14."),
    ),
    (r"""=\s*(?:"[^"]*"|'[^']*'|[\w.-]+)\s+[\w-]+\s*=""", to_say("Put each key on a line of its own.")),
    (r"=\s*(?i:yes|no|on|off|true|false)\b", to_say("Write true or false, in small letters and without quotes.")),
    (
        r"""=\s*"[^"]*\d"{2,3}""",
        to_say('Put a length with an inch sign in single quotes: \'2.5"\', or write "2.5 in".'),
    ),
    (
        r"""=\s*"[^"]*"\s*[^\s#"][^"]*"{2}""",
        to_say('Put a text that holds "quotes" in single quotes: \'a "small" owl\'.'),
    ),
    (r"""=\s*"[^"]*",""", to_say('Put several texts in brackets: ["owl", "bird"].')),
    (r"=\s*\{", to_say("Keep everything from { to } on one line, with commas between.")),
    (r"=\s*[\d.,/]+\s*[\w\"”″]", to_say('Put it in quotes: "62 mm", "3h30".')),
    (r"=\s*\d+,\d+", to_say('Write the decimal with a point (6.2), or put it in quotes with its unit ("6,2 cm").')),
    (r"=\s*\"[^\"]*\\", to_say("Write / instead of \\ in file names, or put the text in single quotes.")),
    (r"""=\s*'[^'"]*'[^'"]*'""", to_say('Put a text that holds an apostrophe in double quotes: "the owl\'s eye".')),
    (r"""=\s*(?:"[^"]*|'[^']*)$""", to_say("Close the quotes at the end of the text.")),
    (r"=\s*\[|^\s*[\]\[,]", _CLOSE_LIST),
    (r"=\s*(#|$)", to_say("Write a value behind the =, or delete the line.")),
    (r"""=\s*[^\s"'\[{\d]""", to_say('Put text in straight quotes: title = "Barn owl".')),
)


def remedy_of_line(row: str, message: str = "") -> str:
    """Say what to do about a line that cannot be read; message is the standard library's."""
    return _remedy(message, row)


def _remedy(message: str, row: str) -> str:
    if message.startswith(("Cannot overwrite", "Cannot declare", "Cannot mutate", "Duplicate")):
        return say(
            "The same key or table stands further up already. Keep one of the two; tables that may come several "
            "times stand in double brackets each time: [[photo]]."
        )
    if message.startswith("Unclosed array"):
        return say(_CLOSE_LIST)
    return say(next((remedy for pattern, remedy in _HINTS if re.search(pattern, row)), _HOW_TO_WRITE))
