"""The language of the house: what the archive's pages, the sheets, the findings and the terminal speak.

It is that of the archive at work, set where its settings are read; before one is known, that of the system. A choice
in the environment wins over both. Nothing but this module keeps it, and English opens no catalogue.
"""

import os
import re
from collections.abc import Mapping, Sequence
from string import Formatter
from typing import Any

from archgen.languages.language import SOURCE, Language, language

VARIABLE = "ARCHGEN_LANGUAGE"
# What wins first names the language of messages (POSIX.1-2017, Base Definitions, 8.2).
_LOCALE = ("LC_ALL", "LC_MESSAGES", "LANG")


class _House:
    """Keeps the one language of this process."""

    spoken = language(SOURCE)


def house() -> Language:
    """Give the language of the house."""
    return _House.spoken


def speak(tag: str) -> None:
    """Speak the language of an archive, unless another was chosen."""
    _House.spoken = language(chosen() or tag)


def speak_as_the_system() -> None:
    """Speak what the system speaks, as long as no archive is known."""
    speak(_of_system(os.environ))


def chosen() -> str:
    """Give the language that was chosen for this process; empty where none was."""
    return _tag(os.environ.get(VARIABLE, ""))


def say(message: str, /, **values: object) -> str:
    """Say a message in the language of the house.

    A value stands in it as ``{name}`` or, with what `format` knows, ``{name:.1f}``; numbers come as they are written
    in the language. A message without values is no format: its braces stay.
    """
    return _filled(house().gettext(message), values)


def to_say(message: str) -> str:
    """Mark a message that is said later: a constant of a module, which is made before the language is known."""
    return message


def say_count(one: str, many: str, number: int, /, **values: object) -> str:
    """Say a message about a number, in the form that this number takes; it stands in it as ``{number}``."""
    return _filled(house().counted_form(one, many, number), {"number": number, **values})


def say_in(context: str, message: str, /, **values: object) -> str:
    """Say a message whose English has several meanings, or several translations, in the one of a context."""
    return _filled(house().pgettext(context, message), values)


def say_all(parts: Sequence[str]) -> str:
    """Say several things one after the other: "a", "a and b", "a, b and c"."""
    if len(parts) < 2:
        return "".join(parts)
    return say("{others} and {last}", others=say(", ").join(parts[:-1]), last=parts[-1])


def say_any(parts: Sequence[str]) -> str:
    """Say several things of which one is meant: "a", "a or b", "a, b or c"."""
    if len(parts) < 2:
        return "".join(parts)
    return say("{others} or {last}", others=say(", ").join(parts[:-1]), last=parts[-1])


def within(words: str) -> str:
    """Give words that begin with a large letter as they stand within a sentence."""
    return house().within(words)


def figures(written: str) -> str:
    """Write a number with the marks of the language that is written with those of English."""
    return house().figures(written)


class _LocalFormatter(Formatter):
    """Writes numbers as they are written in the language of the house."""

    def format_field(self, value: Any, spec: str) -> str:
        """Write one value."""
        written = format(value, spec)
        return house().figures(written) if isinstance(value, int | float) else written

    def vformat(self, format_string: str, args: Sequence[Any], kwargs: Mapping[str, Any]) -> str:  # noqa: ARG002
        """Fill a message; a value that ends with a point, as "30 Min." does, ends a sentence."""
        written = ""
        for words, name, spec, conversion in self.parse(format_string):
            written += words[1:] if words.startswith(".") and written.endswith(".") else words
            if name is not None:
                written += self.format_field(self.convert_field(kwargs[name], conversion), spec or "")
        return written


_LOCAL = _LocalFormatter()


def _filled(said: str, values: Mapping[str, object]) -> str:
    if not values:
        return said
    return said.format(**values) if house().is_source else _LOCAL.vformat(said, (), values)


def _of_system(environment: Mapping[str, str]) -> str:
    return _tag(next(filter(None, map(environment.get, _LOCALE)), "")) or SOURCE


def _tag(name: str) -> str:
    """Read a tag (BCP 47) or the name of a locale, "de_AT.UTF-8@euro"; "C" and "POSIX" name none."""
    plain = re.split(r"[.@]", name.strip())[0].replace("_", "-")
    return plain if re.fullmatch(r"[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*", plain) else ""
