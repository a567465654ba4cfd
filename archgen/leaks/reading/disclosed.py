"""What a file tells a stranger: texts, bytes, pictures, files inside it, traces, and what could not be looked into."""

from dataclasses import dataclass, field

# A thing found inside a file, by the name it has there.
Inside = tuple[str, bytes]


@dataclass(slots=True)
class Disclosed:
    """What one file holds, as far as its own format says it; files inside it are still to be opened.

    Attributes:
        texts: Decoded texts.
        raw: Bytes that may hold text in any encoding.
        pixels: Bytes of pictures, in which short texts turn up by chance.
        names: Names of files and folders inside.
        pictures: Whole picture files, to be compared with pictures.
        inside: Files found inside.
        traces: What should not be in a file that was made to be public.
        unread: Why something could not be looked into.
    """

    texts: list[str] = field(default_factory=list)
    raw: list[bytes] = field(default_factory=list)
    pixels: list[bytes] = field(default_factory=list)
    names: list[str] = field(default_factory=list)
    pictures: list[bytes] = field(default_factory=list)
    inside: list[Inside] = field(default_factory=list)
    traces: list[str] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
