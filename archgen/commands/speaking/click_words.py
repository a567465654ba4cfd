"""What click itself says, in the language of the house; it asks the standard library's gettext for its words."""

import gettext
from typing import Any

from archgen.languages.house import house, to_say

WORDS = (
    to_say("Usage:"),
    to_say("Options"),
    to_say("Commands"),
    to_say("Aborted!"),
    to_say("default: {default}"),
    to_say("required"),
    to_say("env var: {var}"),
    to_say("Show this message and exit."),
    to_say("Show the version and exit."),
    to_say("Error: {message}"),
    to_say("Error: invalid input"),
    to_say("Try '{command} {option}' for help."),
    to_say("Invalid value: {message}"),
    to_say("Invalid value for {param_hint}: {message}"),
    to_say("Missing command."),
    to_say("Missing argument"),
    to_say("Missing option"),
    to_say("Missing parameter"),
    to_say("No such option {name!r}."),
    to_say("No such command {name!r}."),
    to_say("Option {name!r} does not take a value."),
    to_say("Argument {name!r} takes {nargs} values."),
    to_say("Choose from:\n\t{choices}"),
    to_say("{value!r} is not a valid {number_type}."),
    to_say("{value} is not in the range {range}."),
    to_say("{name} {filename!r} does not exist."),
    to_say("{name} {filename!r} is a file."),
    to_say("{name} {filename!r} is a directory."),
    to_say("{name} {filename!r} is not readable."),
    to_say("{name} {filename!r} is not writable."),
    to_say("file"),
    to_say("directory"),
    to_say("path"),
)
# Those about a number, with how several are said.
COUNTED = (
    ("Got unexpected extra argument ({args})", "Got unexpected extra arguments ({args})"),
    ("Did you mean {possibility}?", "(Did you mean one of: {possibilities}?)"),
    ("Option {name!r} requires an argument.", "Option {name!r} requires {nargs} arguments."),
    ("{value!r} is not {choice}.", "{value!r} is not one of {choices}."),
    ("{value!r} does not match the format {format}.", "{value!r} does not match the formats {formats}."),
    ("Takes {nargs} values but 1 was given.", "Takes {nargs} values but {len} were given."),
)


class _HouseWords(gettext.NullTranslations):
    """The catalogue of whatever the house speaks when it is asked."""

    def gettext(self, message: str) -> str:
        return house().gettext(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return house().counted_form(msgid1, msgid2, n)


def _house_words(*_asked: Any, **_named: Any) -> _HouseWords:
    return _HouseWords()


def let_click_speak() -> None:
    """Let click find our words; its library knows no other door than files for every language."""
    gettext.translation = _house_words  # type: ignore[assignment]
