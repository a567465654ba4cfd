"""Make pages from a theme's templates and views; knows files and templates, not pieces.

A theme is a folder of templates (``*.html``) and assets. Templates get the view made for them and nothing else; text
is always escaped, a name that does not exist is an error. Templates that did not come with the program run in Jinja's
sandbox, and what is wrong in them is told with template and line.
"""

import base64
import hashlib
import json
import urllib.parse
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import jinja2
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from archgen.errors import ConfigError
from archgen.languages.house import house, say
from archgen.languages.language import SOURCE, language
from archgen.render.compiled_templates import CompiledTemplates
from archgen.render.script_words import script_words
from archgen.render.template_errors import StrictMissing, template_problem
from archgen.storage.files import digest_bytes, is_inside
from archgen.toml.problem import hint, listed, nearest
from archgen.toml.text import UnreadableTextError, read_text

# An installed wheel has the themes inside the package, a checkout beside it.
_PLACES = (Path(__file__).parents[1] / "themes", Path(__file__).parents[2] / "themes")
PROGRAM_THEMES = next((folder for folder in _PLACES if (folder / "archive").is_dir()), _PLACES[0])
# What a site may hold beside its pages. Anything else in a theme's folder stays there: it was not meant for everybody.
_ASSETS = frozenset(
    (
        ".avif",
        ".css",
        ".gif",
        ".ico",
        ".jpeg",
        ".jpg",
        ".js",
        ".otf",
        ".png",
        ".svg",
        ".ttf",
        ".webp",
        ".woff",
        ".woff2",
    )
)

# Made once: a page asks for it a hundred times.
_NOTHING = Markup()
# Before the name of a template: the shared one below the theme's own.
BENEATH = "beneath/"

_OPTIONS: dict[str, Any] = {
    "autoescape": True,
    "undefined": StrictMissing,
    "trim_blocks": True,
    "lstrip_blocks": True,
    "keep_trailing_newline": True,
}
# Compiling them took a tenth of a build with one new title. What did not come with the program lies on no disk.
_COMPILED = {
    jinja2.Environment: CompiledTemplates(repr(_OPTIONS), PROGRAM_THEMES / "__pycache__"),
    ImmutableSandboxedEnvironment: CompiledTemplates(repr(_OPTIONS)),
}


@dataclass(frozen=True)
class Theme:
    """One theme, ready to render.

    Attributes:
        folder: Where its files are.
        shared: Folders looked through for templates and assets that it does not have itself, the first one first.
        made: Content that stands in place of a file's own, by the file's path in the theme.
        name: What the artist calls it.
        language: What its templates speak; they say their words by ``_("English words")``.
    """

    # Not shown: a template may print the functions it gets, and paths of this machine are nobody's business.
    folder: Path = field(repr=False)
    shared: tuple[Path, ...] = field(default=(), repr=False)
    made: Mapping[str, bytes] = field(default_factory=dict, repr=False)
    name: str = field(default="", repr=False)
    language: str = field(default=SOURCE, repr=False)

    def in_language(self, tag: str) -> "Theme":
        """Give the same theme with templates that speak another language."""
        return replace(self, language=tag)

    @cached_property
    def files(self) -> Mapping[str, Path]:
        """Give every file by its path in the theme, without hidden ones and links that lead out of the folder."""
        found: dict[str, Path] = {}
        for folder in (*reversed(self.shared), self.folder):
            for path in sorted(folder.rglob("*")):
                name = path.relative_to(folder).as_posix()
                if path.is_file() and "/." not in f"/{name}" and is_inside(path, folder):
                    found[name] = path
        return found

    def content(self, name: str) -> bytes:
        """Give the bytes of a file."""
        return self.made[name] if name in self.made else self.files[name].read_bytes()

    @cached_property
    def digest(self) -> str:
        """Give a digest of all that shapes a page but its view."""
        parts = [part for name in self.files for part in (name, self.content(name))]
        words = language(self.language).digest
        return digest_bytes(jinja2.__version__, *parts, *([words] if words else []))

    @cached_property
    def assets(self) -> Mapping[str, str]:
        """Give for every asset its path in the site, which changes with its bytes."""
        named = {}
        for name, path in self.files.items():
            if path.suffix.lower() in _ASSETS:
                stem, dot, suffix = name.rpartition(".")
                mark = hashlib.sha256(self.content(name)).hexdigest()[:10]
                named[name] = f"assets/{stem}-{mark}{dot}{suffix}"
        return named

    @cached_property
    def is_foreign(self) -> bool:
        """Say whether a part of it did not come with the program."""
        return not all(is_inside(folder, PROGRAM_THEMES) for folder in (self.folder, *self.shared))

    def is_of_program(self, name: str) -> bool:
        """Say whether a file of it came with the program, and nothing stands in its place."""
        return name not in self.made and is_inside(self.files[name], PROGRAM_THEMES)

    @cached_property
    def environment(self) -> jinja2.Environment:
        """Give the template environment."""
        kind = ImmutableSandboxedEnvironment if self.is_foreign else jinja2.Environment
        environment = kind(
            loader=jinja2.FunctionLoader(self._load),
            bytecode_cache=_COMPILED[kind],
            **_OPTIONS,
        )
        environment.globals["_"] = self.say
        environment.globals["_n"] = self.say_count
        environment.globals["_in"] = self.say_in
        environment.globals["within"] = language(self.language).within
        environment.globals["house_language"] = self.spoken
        environment.globals["script_words"] = self.script_words
        environment.globals["lang"] = self.lang
        environment.globals["asset"] = self.asset
        environment.globals["style_text"] = self.style_text
        environment.globals["style_source"] = self.style_source
        environment.globals["data_address"] = self.data_address
        return environment

    def _load(self, name: str) -> tuple[str, str, None] | None:
        path = self.files.get(name) or self._beneath(name)
        if path is None:
            return None
        try:
            return read_text(path), str(path), None
        except UnreadableTextError as error:
            words = f"{error.problem.problem} {error.problem.remedy}"
            raise jinja2.TemplateSyntaxError(words, error.problem.line or 1, name, str(path)) from error

    def _beneath(self, name: str) -> Path | None:
        """Find a shared template that this theme covers with one of its own, which may build on it."""
        if not name.startswith(BENEATH):
            return None
        named = name.removeprefix(BENEATH)
        return next((path for folder in self.shared if (path := Theme(folder).files.get(named))), None)

    def say(self, message: str, **values: object) -> Markup:
        """Say a message in the theme's language; values, such as ``%(artist)s`` of it, are escaped like any text."""
        said = safe_html(language(self.language).gettext(message))
        return said % values if values else said

    def say_count(self, one: str, many: str, number: int, **values: object) -> Markup:
        """Say a message about a number, which stands in it as ``%(number)s``, in the form that it takes."""
        said = safe_html(language(self.language).counted_form(one, many, number))
        return said % {"number": number, **values}

    def say_in(self, context: str, message: str) -> Markup:
        """Say a message whose English has several meanings, in the one of a context."""
        return safe_html(language(self.language).pgettext(context, message))

    @property
    def spoken(self) -> str:
        """Give the language that pages come out in: English where the program has no words in the theme's."""
        return SOURCE if language(self.language).is_source else self.language

    @cached_property
    def script_words(self) -> str:
        """Give the words that its scripts say, for the pages that hold them."""
        scripts = (
            self.content(name).decode() for name in self.files if name.endswith(".js") and self.is_of_program(name)
        )
        return script_words(scripts, language(self.language))

    def lang(self, tag: str) -> Markup:
        """Write what an element is in, and which way that is read; nothing where it is the language of the page."""
        return lang_attribute(tag, self.language)

    def asset(self, name: str) -> str:
        """Give the path of an asset in the site.

        Raises:
            TemplateRuntimeError: There is no such asset.
        """
        if name not in self.assets:
            near = hint(nearest(name, self.assets))
            missing = say('There is no file "{name}".', name=name)
            there = say("There are: {names}.", names=listed(self.assets))
            raise jinja2.TemplateRuntimeError(f"{missing} {near}{there}")
        return self.assets[name]

    def _text(self, name: str) -> str:
        """Give the text of an asset; with line ends as a browser reads them, since digests are made of it."""
        self.asset(name)
        try:
            return self.content(name).decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
        except UnicodeDecodeError as error:
            raise jinja2.TemplateRuntimeError(say("{name} is not saved as UTF-8.", name=name)) from error

    def style_text(self, name: str) -> Markup:
        """Give a style sheet to stand in the page itself, for a page that cannot know where the others are."""
        return safe_html(self._text(name))

    def style_source(self, name: str) -> str:
        """Name that style sheet in a content security policy: by its digest (Content Security Policy 3, 2.3.1)."""
        digest = hashlib.sha256(self.style_text(name).encode()).digest()
        return f"'sha256-{base64.b64encode(digest).decode()}'"

    def data_address(self, name: str) -> str:
        """Give an SVG drawing as an address that holds it whole."""
        return f"data:image/svg+xml,{urllib.parse.quote(self._text(name).strip())}"

    def check(self) -> None:
        """Read every template.

        Raises:
            ConfigError: Some cannot be read; the message names each with its line.
        """
        problems = []
        for name in self.files:
            try:
                if name.endswith(".html"):
                    self.environment.get_template(name)
            except jinja2.TemplateSyntaxError as error:
                problems.append(self._told(error))
        if problems:
            raise ConfigError("\n".join(problems))

    def render(self, template: str, **view: object) -> str:
        """Fill a template with a view.

        Raises:
            ConfigError: A template that did not come with the program cannot be filled.
        """
        with self._named_errors():
            return self.environment.get_template(template).render(**view)

    def render_part(self, template: str, macro: str, *values: object) -> str:
        """Fill one macro of a template file, without the page around it."""
        with self._named_errors():
            module = self.environment.get_template(template).module
            return str(getattr(module, macro)(*values))

    @contextmanager
    def _named_errors(self) -> Iterator[None]:
        try:
            yield
        except Exception as error:
            if not self.is_foreign:
                raise  # a mistake of this program's, which keeps its traceback
            raise ConfigError(self._told(error)) from error

    def _told(self, error: Exception) -> str:
        return f'Theme "{self.name}", {template_problem(error, self.files)}'


def lang_attribute(tag: str, around: str) -> Markup:
    """Write what an element is in, and which way it is read where that is not as in the language around it.

    An empty tag stands for the language around it, and gives nothing.
    """
    if not tag:
        return _NOTHING
    is_rtl = language(tag).is_rtl
    turned = f' dir="{"rtl" if is_rtl else "ltr"}"' if is_rtl != language(around).is_rtl else ""
    return Markup(' lang="{}"').format(tag) + safe_html(turned)


def load_theme(name: str) -> Theme:
    """Give the templates and drawings of this name that came with the program, in the language of the house."""
    return Theme(PROGRAM_THEMES / name, language=house().tag)


def script_value(name: str, value: object) -> str:
    """Write a classic script that sets one global value; pages opened from disk cannot fetch a data file."""
    return script_of(name, script_text(value))


def script_text(value: object) -> str:
    """Write a value as it stands in a script."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    # "<" could end a script element; the two separators end a line in old script engines.
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def script_of(name: str, text: str) -> str:
    """Write a script that sets a value that is written already."""
    return f"var {name}={text};\n"


def safe_html(html: str) -> Markup:
    """Mark HTML made by this program (never by the artist) as not to be escaped."""
    return Markup(html)  # noqa: S704 - the callers are render.markdown, theme drawings and style sheets
