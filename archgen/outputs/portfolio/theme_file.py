"""What a theme.toml may say: the theme it changes, its layout, the sizes of its pictures, other colours."""

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from archgen.errors import ConfigError
from archgen.languages.house import say
from archgen.toml.kinds import Flag, Number, Parsed, Table, Text, ValueKind, read_table
from archgen.toml.text import TomlFile, UnreadableTextError, read_toml
from archgen.values.frozen import Value

FILE = "theme.toml"
TABLES = ("layout", "sizes", "colours", "dark_colours")

_COLUMNS = Number(whole=True, least=1, most=12)
_LAYOUT: dict[str, ValueKind] = {
    "first_is_large": Flag(),
    "columns": _COLUMNS,
    "notice_columns": _COLUMNS,
    "wide_from": Number(least=0.1, most=10),
}
_SIZES: dict[str, ValueKind] = dict.fromkeys(("tall", "wide", "photo", "first"), Text())
# What a theme that is laid on no other one must say.
_NEEDED_LAYOUT = {"first_is_large": "false", "columns": "2", "notice_columns": "2", "wide_from": "1.1"}
_NEEDED_SIZES = dict.fromkeys(("tall", "wide", "photo"), '"(min-width: 60rem) 34vw, 100vw"')

# The part of a style sheet for dark screens, and a colour that it names (CSS Custom Properties 1, CSS Color 4).
_DARK = re.compile(r"(@media[^{]*prefers-color-scheme:\s*dark[^{]*\{(?:[^{}]*\{[^{}]*\})*[^{}]*\})")
_HEX = r"#(?:[0-9a-fA-F]{3,4}|[0-9a-fA-F]{6}|[0-9a-fA-F]{8})"
_NAMED_COLOUR = re.compile(rf"--([\w-]+)(\s*:\s*){_HEX}(?=\s*[;}}])")


class ThemeFile(Value, frozen=True):
    """One theme.toml as read; name is what its folder was called where it was asked for."""

    folder: Path
    name: str
    toml: TomlFile

    @property
    def base(self) -> str | None:
        """Give the theme it changes; None when it stands alone."""
        base = self.toml.raw.get("base")
        return base if isinstance(base, str) else None

    def read(self, style: str) -> tuple[dict[str, Any], list[str]]:
        """Give its tables by name, and every problem found; style is the style sheet whose colours it may change."""
        shape = self._shape(*(frozenset(_names(part)) for part in _light_and_dark(style)))
        raw = self.toml.raw if "base" in self.toml.raw else {"layout": {}, "sizes": {}, **self.toml.raw}
        values, problems = read_table(raw, shape, self.toml.lines)
        return values, [f"{self.name}/{FILE}, {problem}" for problem in problems]

    def _shape(self, light: frozenset[str], dark: frozenset[str]) -> Table:
        alone = "base" not in self.toml.raw
        return Table(
            {
                "base": Text(),
                "layout": Table(_LAYOUT, _NEEDED_LAYOUT if alone else {}),
                "sizes": Table(_SIZES, _NEEDED_SIZES if alone else {}),
                "colours": Table(dict.fromkeys(sorted(light), _COLOUR)),
                "dark_colours": Table(dict.fromkeys(sorted(dark), _COLOUR)),
            }
        )


def read_theme_file(folder: Path, name: str) -> ThemeFile:
    """Read the theme.toml of a folder.

    Raises:
        ConfigError: It cannot be read.
    """
    try:
        return ThemeFile(folder, name, read_toml(folder / FILE))
    except UnreadableTextError as error:
        raise ConfigError(f"{name}/{FILE}: {error}") from error


def recolour(style: str, light: Mapping[str, str], dark: Mapping[str, str]) -> str:
    """Write other values for the colours that a style sheet names, for light screens and for dark ones."""
    parts = _DARK.split(style)
    return "".join(_changed(part, dark if number % 2 else light) for number, part in enumerate(parts))


def _changed(part: str, colours: Mapping[str, str]) -> str:
    return _NAMED_COLOUR.sub(
        lambda found: f"--{found[1]}{found[2]}{colours[found[1]]}" if found[1] in colours else found[0], part
    )


def _light_and_dark(style: str) -> tuple[str, str]:
    parts = _DARK.split(style)
    return "".join(parts[::2]), "".join(parts[1::2])


def _names(part: str) -> list[str]:
    return [found[1] for found in _NAMED_COLOUR.finditer(part)]


def _colour(text: str) -> str:
    if not re.fullmatch(_HEX, text):
        raise ValueError(say("a colour is # and six of 0 to 9 and a to f"))
    return text


_COLOUR = Parsed("bad-colour", "a colour", _colour, '"#4a2a8a"')
