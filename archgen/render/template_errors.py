"""Say what is wrong in a template, with its name and line, in words for whoever wrote it."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path
from traceback import walk_tb

import jinja2

from archgen.toml.problem import hint, listed, nearest


class StrictMissing(jinja2.StrictUndefined):
    """A name that a template uses and nobody gave: an error that names the nearest one."""

    @property
    def _undefined_message(self) -> str:
        if self._undefined_hint:
            return self._undefined_hint
        name, holder = str(self._undefined_name), self._undefined_obj
        if holder is jinja2.utils.missing:
            return f'There is no value "{name}".'
        known = _names_in(holder)
        values = f" {hint(nearest(name, known))}There are: {listed(known)}." if known else ""
        return f'There is no "{name}" in that value.{values}'


def _names_in(holder: object) -> list[str]:
    if is_dataclass(holder):
        return [field.name for field in fields(holder)]
    return [str(key) for key in holder] if isinstance(holder, Mapping) else []


def template_problem(error: Exception, files: Mapping[str, Path]) -> str:
    """Say what is wrong and where; files are the templates by name."""
    name, line = _place(error, {str(path): name for name, path in files.items()})
    return f"{name}, line {line}: {_message(error, files)}" if name else _message(error, files)


def _place(error: Exception, names: Mapping[str, str]) -> tuple[str, int]:
    """Give template and line; "" when the error is in none."""
    if isinstance(error, jinja2.TemplateSyntaxError):
        return names.get(error.filename or "", error.name or ""), error.lineno
    # Jinja gives the frames of a traceback the files and lines of its templates; the innermost one counts.
    places = [(names.get(frame.f_code.co_filename, ""), line) for frame, line in walk_tb(error.__traceback__)]
    return next((place for place in reversed(places) if place[0]), ("", 0))


def _message(error: Exception, files: Mapping[str, Path]) -> str:
    match error:
        case jinja2.TemplateNotFound():
            name = str(error.name)
            return f'There is no template "{name}". {hint(nearest(name, files))}'.rstrip()
        case jinja2.TemplateSyntaxError():
            return error.message or "The template cannot be read."
        case RecursionError():
            return "The template extends or includes itself."
        case _:
            return str(error) or type(error).__name__
