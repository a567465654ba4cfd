"""One thing found in a folder that is to be public."""

from enum import Enum

from archgen.values.frozen import Value


class LeakKind(Enum):
    """What was found."""

    TEXT = "a private text"
    PICTURE = "a picture that is not public"
    TRACE = "a trace of people, places and devices"
    UNREAD = "something that could not be looked into"


class Leak(Value, frozen=True):
    """A private value, a picture that is not public, a trace nobody meant to publish, or a file that cannot be read.

    Attributes:
        file: The file, relative to the folder.
        what: What was found, in plain words.
        value: The private text itself, or the path of the picture in the archive; None for a trace.
        piece: The piece it belongs to, where it belongs to one.
        sure: False when it may be chance, such as an ordinary word.
    """

    file: str
    what: str
    value: str | None
    piece: str | None
    sure: bool = True
    kind: LeakKind = LeakKind.TEXT
