"""Find the theme of a portfolio and make it ready: its templates, its layout, its colours."""

import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from archgen.config import FILE as SETTINGS
from archgen.config import Config, PortfolioSettings
from archgen.errors import ConfigError
from archgen.extensions import Extensions, read_extensions
from archgen.languages.house import say
from archgen.outputs.portfolio.layout import Layout, Sizes
from archgen.outputs.portfolio.theme_file import FILE, TABLES, ThemeFile, read_theme_file, recolour
from archgen.render.html import PROGRAM_THEMES, Theme
from archgen.storage.files import is_inside
from archgen.toml.problem import hint, listed, nearest
from archgen.values.frozen import Value

# The artist's own theme beside archive.toml, and the theme where there is none.
_OWN, _DEFAULT = "theme", "plate"
# The templates that every theme falls back to, and the style sheet whose colours a theme.toml may change.
_SHARED, _STYLE = "portfolio", "theme.css"


class PortfolioTheme(Value, frozen=True):
    """A theme ready for its pages."""

    pages: Theme
    layout: Layout
    sizes: Sizes

    @property
    def own_folders(self) -> tuple[Path, ...]:
        """Give the folders of it that did not come with the program."""
        folders = (self.pages.folder, *self.pages.shared)
        return tuple(folder for folder in folders if not is_inside(folder, PROGRAM_THEMES))


def portfolio_theme(config: Config) -> PortfolioTheme:
    """Give the theme that the settings ask for; without one the folder theme/ of the archive, where it is.

    Raises:
        ConfigError: There is no such theme, or it cannot be used; the message says where and why.
    """
    named = config.portfolio.theme or (_OWN if (config.root / _OWN).is_dir() else _DEFAULT)
    chain = tuple(_theme_files(named, config.root))
    folder, *bases = (file.folder for file in chain)
    theme = Theme(folder, (*bases, PROGRAM_THEMES / _SHARED), name=named)
    style = theme.content(_STYLE).decode("utf-8", "replace") if _STYLE in theme.files else ""
    values = _merged(chain, style)
    if values["colours"] or values["dark_colours"]:
        made = recolour(style, values["colours"], values["dark_colours"]).encode()
        theme = Theme(theme.folder, theme.shared, {_STYLE: made}, named)
    if theme.is_foreign:
        theme.check()
    return PortfolioTheme(theme, Layout(**values["layout"]), Sizes(**values["sizes"]))


def theme_like(digest: str, root: Path) -> PortfolioTheme:
    """Give the theme that has these very looks, whatever the settings say; where none has, the plain one."""
    plain = portfolio_theme(Config(root, portfolio=PortfolioSettings(theme=_DEFAULT)))
    for named in (_DEFAULT, None, *theme_folders()):
        try:
            theme = portfolio_theme(Config(root, portfolio=PortfolioSettings(theme=named)))
        except ConfigError:
            continue
        if theme.pages.digest == digest:
            return theme
    return plain


def theme_folders() -> Mapping[str, Path]:
    """Give the themes that have a name, and where they are."""
    return _program_themes() | {one.name: one.value for one in added_themes().added}


def added_themes() -> Extensions[Path]:
    """Give the themes of other packages: an entry point names the theme and gives the path of its folder."""
    return read_extensions("archgen.themes", _named_folder, _program_themes())


def _program_themes() -> dict[str, Path]:
    return {path.parent.name: path.parent for path in sorted(PROGRAM_THEMES.glob(f"*/{FILE}"))}


def _named_folder(name: str, value: str | Path) -> Iterator[tuple[str, Path]]:
    if not Path(value, FILE).is_file():
        raise ValueError(f"there is no {FILE} in {value}")
    yield name, Path(value)


def _theme_files(named: str, root: Path) -> Iterator[ThemeFile]:
    """Read the theme.toml of a theme, then those of the themes it changes, the nearest first."""
    said, beside, seen = f'{SETTINGS}: [portfolio] theme = "{named}"', root, set[Path]()
    while True:
        folder = _find(named, beside, said)
        if is_inside(root, folder) or is_inside(folder, root / "pieces"):
            raise ConfigError(
                say("{said}: what is in a theme may be published, so it needs a folder of its own.", said=said)
            )
        if folder.resolve() in seen:
            raise ConfigError(say("{said}: the theme would change itself. Name another one.", said=said))
        seen.add(folder.resolve())
        file = read_theme_file(folder, named)
        yield file
        if file.base is None:
            return
        said, beside, named = f'{named}/{FILE}: base = "{file.base}"', folder, file.base


def _find(named: str, beside: Path, said: str) -> Path:
    """Find a theme by its name, else as a folder; the one place that knows where themes are."""
    known = theme_folders()
    if named in known:
        return known[named]
    folder = beside / os.path.expanduser(named)  # noqa: PTH111 - leaves alone what it does not know
    if not named.strip() or not os.path.isdir(folder):  # noqa: PTH112 - says no to what cannot be a path at all
        near = hint(nearest(named, known))
        unusable = "".join(f"\n{one}" for one in added_themes().findings if f'"{named}"' in one.problem)
        missing = say("{said}: there is no such theme.", said=said)
        allowed = say("Allowed: {allowed}, or a folder.", allowed=listed(known))
        raise ConfigError(f"{missing} {near}{allowed}{unusable}")
    if not (folder / FILE).is_file():
        raise ConfigError(
            say(
                '{said}: {file} is missing in this folder. Make one that says base = "{base}".',
                said=said,
                file=FILE,
                base=_DEFAULT,
            )
        )
    return folder


def _merged(chain: tuple[ThemeFile, ...], style: str) -> dict[str, dict[str, Any]]:
    """Read what the files say, key by key: a theme's own words count before those of the one it changes.

    Raises:
        ConfigError: Some of it cannot be used; the message names every problem.
    """
    read = [file.read(style) for file in reversed(chain)]
    problems = [problem for _, found in read for problem in found]
    if problems:
        raise ConfigError("\n".join(problems))
    return {
        table: {key: value for values, _ in read for key, value in values.get(table, {}).items()} for table in TABLES
    }
