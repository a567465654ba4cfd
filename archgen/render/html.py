"""Make pages from a theme's templates and views; knows files and templates, not pieces.

A theme is a folder of templates (``*.html``) and assets (everything else but ``theme.toml``). Templates get
the view made for them and nothing else; text is always escaped, a name that does not exist is an error.
"""

import base64
import hashlib
import json
import urllib.parse
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import jinja2
from markupsafe import Markup

from archgen.errors import ConfigError
from archgen.storage.files import digest_bytes

# A checkout has the themes beside the package, an installed wheel inside it.
_THEME_FOLDERS = (Path(__file__).parents[2] / "themes", Path(__file__).parents[1] / "themes")


def theme_names() -> tuple[str, ...]:
    """List the themes that came with the program."""
    found = {entry.name for folder in _THEME_FOLDERS if folder.is_dir() for entry in folder.iterdir() if entry.is_dir()}
    return tuple(sorted(found))


@dataclass(frozen=True)
class Theme:
    """One theme, ready to render.

    Attributes:
        folder: Where its files are.
        shared: Folders looked through for templates and assets that the theme itself does not have.
    """

    folder: Path
    shared: tuple[Path, ...] = ()

    @cached_property
    def files(self) -> Mapping[str, Path]:
        """Give every file by its path in the theme; the theme's own ones win over shared ones."""
        found: dict[str, Path] = {}
        for folder in (*reversed(self.shared), self.folder):
            for path in sorted(folder.rglob("*")):
                if path.is_file():
                    found[path.relative_to(folder).as_posix()] = path
        return found

    @cached_property
    def digest(self) -> str:
        """Give a digest of all that shapes a page but its view."""
        parts = [part for name, path in self.files.items() for part in (name, path.read_bytes())]
        return digest_bytes(jinja2.__version__, *parts)

    @cached_property
    def assets(self) -> Mapping[str, str]:
        """Give for every asset its path in the site, which changes with its bytes."""
        named = {}
        for name, path in self.files.items():
            if path.suffix in {".html", ".toml", ".md"}:
                continue
            stem, dot, suffix = name.rpartition(".")
            mark = hashlib.sha256(path.read_bytes()).hexdigest()[:10]
            named[name] = f"assets/{stem}-{mark}{dot}{suffix}"
        return named

    @cached_property
    def environment(self) -> jinja2.Environment:
        """Give the template environment."""
        environment = jinja2.Environment(
            loader=jinja2.FileSystemLoader([self.folder, *self.shared]),
            autoescape=True,
            undefined=jinja2.StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
        )
        environment.globals["asset"] = self.assets.__getitem__
        environment.globals["style_text"] = self.style_text
        environment.globals["style_source"] = self.style_source
        environment.globals["data_address"] = self.data_address
        return environment

    def style_text(self, name: str) -> Markup:
        """Give a style sheet to stand in the page itself, for a page that cannot know where the others are."""
        return safe_html(self.files[name].read_text(encoding="utf-8"))

    def style_source(self, name: str) -> str:
        """Name that style sheet in a content security policy: by its digest (Content Security Policy 3, 2.3.1)."""
        digest = hashlib.sha256(self.style_text(name).encode()).digest()
        return f"'sha256-{base64.b64encode(digest).decode()}'"

    def data_address(self, name: str) -> str:
        """Give an SVG drawing as an address that holds it whole."""
        return f"data:image/svg+xml,{urllib.parse.quote(self.files[name].read_text(encoding='utf-8').strip())}"

    def render(self, template: str, **view: object) -> str:
        """Fill a template with a view."""
        return self.environment.get_template(template).render(**view)

    def render_part(self, template: str, macro: str, *values: object) -> str:
        """Fill one macro of a template file, without the page around it."""
        module = self.environment.get_template(template).module
        return str(getattr(module, macro)(*values))


def load_theme(name: str, *shared: str) -> Theme:
    """Give a theme by name, with the folders it shares, by name too.

    Raises:
        ConfigError: There is no such theme; the message names those there are.
    """
    return Theme(_folder(name), tuple(_folder(other) for other in shared))


def _folder(name: str) -> Path:
    for themes in _THEME_FOLDERS:
        if "/" not in name and name not in {"", ".", ".."} and (themes / name).is_dir():
            return themes / name
    raise ConfigError(f'There is no theme "{name}". Allowed: {", ".join(theme_names())}.')


def script_value(name: str, value: object) -> str:
    """Write a classic script that sets one global value; pages opened from disk cannot fetch a data file."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    # "<" could end a script element; the two separators end a line in old script engines.
    text = text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")
    return f"var {name}={text};\n"


def safe_html(html: str) -> Markup:
    """Mark HTML made by this program (never by the artist) as not to be escaped."""
    return Markup(html)  # noqa: S704 - the callers are render.markdown, theme drawings and style sheets
