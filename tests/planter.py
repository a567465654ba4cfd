"""Fill every text of a record with words of its own, so that what happens to each can be followed.

What is planted follows from the marks of the fields alone: private texts are always planted, public ones stay as given.
"""

import itertools
import typing

import msgspec

from archgen.privacy import Private, Sought, privacy_marks

_SYLLABLES = [a + b for a, b in itertools.product("bdfgklmnprtvz", "aeiou")]


def new_words():
    """Give invented words without end, each only once; no two of a person's length begin alike for long."""
    for number in itertools.count(1):
        word, rest = "", number * 7919  # A prime: neighbours share no beginning.
        for _ in range(4):
            rest, syllable = divmod(rest, len(_SYLLABLES))
            word += _SYLLABLES[syllable]
        yield f"zq{word}"


class Planter:
    """Fills every private text of a record with a marker of its own.

    Attributes:
        markers: What was planted, with the name of its field such as "Sitting.note".
    """

    def __init__(self):
        self.markers = {}
        self._words = new_words()

    def text(self, sought=Sought.TEXT):
        words = [next(self._words) for _ in range(4)]
        match sought:
            case Sought.NAME:
                return " ".join(words[:2]).title()
            case Sought.CONTACT:
                return f"{words[0]}@{words[1]}.example"
            case Sought.FILE:
                return f"{words[0]}-{words[1]}.jpg"
            case Sought.FOLDER | Sought.CODE:
                return "-".join(words[:2])
            case Sought.ADDRESS:
                return f"https://{words[0]}.example/{words[1]}"
        return " ".join(words)

    def marker(self, field, sought=Sought.TEXT):
        text = self.text(sought)
        self.markers[text] = field
        return text

    def record(self, given):
        """Give a record like the given one, every private text of it and of its tables planted."""
        kind = type(given)
        hints, values = typing.get_type_hints(kind), {}
        for spec in msgspec.structs.fields(kind):
            mark, value = privacy_marks(kind)[spec.name], getattr(given, spec.name)
            values[spec.name] = self._value(hints[spec.name], mark, value, f"{kind.__name__}.{spec.name}")
        return kind(**values)

    def _value(self, hint, mark, given, field):
        if isinstance(given, msgspec.Struct):
            return self.record(given)
        if isinstance(given, tuple) and given and isinstance(given[0], msgspec.Struct):
            return tuple(map(self.record, given))
        if not isinstance(mark, Private):
            return given
        if not _holds_text(hint):
            return given
        marker = self.marker(field, mark.sought)
        return (*given, marker) if isinstance(given, tuple) else marker


def _holds_text(hint):
    return hint in (str, str | None, tuple[str, ...])


def text_fields(kind):
    """Give the name and the mark of every field of a class that holds text."""
    for name, hint in typing.get_type_hints(kind).items():
        if _holds_text(hint):
            yield name, privacy_marks(kind)[name]
