"""One thing found in a folder that is to be public."""

from enum import Enum

from archgen.languages.house import house, say, say_in, to_say
from archgen.values.frozen import Value


class LeakKind(Enum):
    """What was found."""

    TEXT = "a private text"
    PICTURE = "a picture that is not public"
    TRACE = "a trace of people, places and devices"
    UNREAD = "something that could not be looked into"


# Whole texts and those with something of the file in them; kept in English, said by `found_words`.
_FOUND = (
    to_say("part of a {what}"),
    to_say("{what} of a piece that is not shown"),
    to_say("serial number of a camera or lens"),
    to_say("text in the file of a picture"),
    to_say("a position (GPS)"),
    to_say("an embedded thumbnail"),
    to_say("data behind the end of the picture"),
    to_say("the owner's name or the serial number of the camera"),
    to_say("camera settings, which may hold its serial number and the time"),
    to_say("the camera's maker"),
    to_say("the camera's model"),
    to_say("the program that made it"),
    to_say("a date and time"),
    to_say("the computer's name"),
    to_say("a description"),
    to_say("a title"),
    to_say("a comment"),
    to_say("an author"),
    to_say("EXIF field {what}"),
    to_say('the text "{what}" inside the picture'),
    to_say("XMP that cannot be read"),
    to_say("XMP field {what}"),
    to_say("a document that is damaged, so it was read only in part"),
    to_say("a document that opens only with a password"),
    to_say("a document with more in it than can be looked through"),
    to_say("files packed inside files too deeply to be looked into"),
    to_say("a packed file of a kind that cannot be opened here"),
    to_say("more is packed in it than can be looked through"),
    to_say("a packed file that opens only with a password"),
    to_say("a packed file that ends too early"),
    to_say("a packed file that is damaged"),
    to_say("the time at which it was packed"),
    to_say("the time stamp of {what} in a packed file"),
    to_say("{what}, packed and damaged"),
    to_say("a file that takes too much memory"),
    to_say("a file that is nested too deeply"),
    to_say("a file that could not be read ({what})"),
    to_say("it is called a picture but cannot be opened as one"),
    to_say("larger than {what} MB"),
    to_say("it isn't an ordinary file"),
    to_say("it opens only with a password"),
    to_say("it is packed and damaged"),
    to_say("it cannot be opened ({what})"),
    to_say("it cannot be read ({what})"),
)


def found_words(found: str) -> str:
    """Say in the language of the house what was found."""
    if house().is_source:
        return found
    for message in _FOUND:
        before, mark, after = message.partition("{what}")
        if found == message:
            return say(message)
        if mark and found.startswith(before) and found.endswith(after) and len(found) > len(before) + len(after):
            return say(message, what=found_words(found[len(before) : len(found) - len(after)]))
    return say_in("private", found)


class Leak(Value, frozen=True):
    """A private value, a picture that is not public, a trace nobody meant to publish, or a file that cannot be read.

    Attributes:
        file: The file, relative to the folder.
        what: What was found, in plain English words.
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
