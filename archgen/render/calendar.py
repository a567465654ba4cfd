"""Write whole-day events as an iCalendar file (RFC 5545); knows days and texts, not pieces.

Our own writer, since no more than one kind of event without times and zones is needed: forty lines here against a
library with three dependencies of its own. The `icalendar` package reads the result back in the tests.
"""

import datetime as dt
import re
import uuid
from collections.abc import Iterable, Iterator

from archgen.units import add_days
from archgen.values.frozen import Value

_LONGEST_LINE = 75  # octets, RFC 5545 section 3.1
_UNSEEN = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029]")
_NAMESPACE = uuid.UUID("8d6f3c52-5f0e-5b7c-9a56-6a4f0d1c9be4")


class Event(Value, frozen=True):
    """One day: `name` tells events apart from one file to the next and is not readable in the file."""

    name: str
    day: dt.date
    summary: str
    description: str


def calendar(title: str, events: Iterable[Event], stamp: dt.date) -> bytes:
    """Write the file; the same events give the same bytes, and an event keeps its UID from file to file."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//archgen//follow-up//EN", "CALSCALE:GREGORIAN"]
    lines += ["METHOD:PUBLISH", f"X-WR-CALNAME:{_text(title)}"]
    for event in events:
        lines += _event(event, stamp)
    lines.append("END:VCALENDAR")
    return b"".join(_folded(line) for line in lines)


def _event(event: Event, stamp: dt.date) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{uuid.uuid5(_NAMESPACE, event.name)}"
    yield f"DTSTAMP:{stamp:%Y%m%d}T000000Z"
    yield f"DTSTART;VALUE=DATE:{event.day:%Y%m%d}"
    yield f"DTEND;VALUE=DATE:{add_days(event.day, 1):%Y%m%d}"
    yield f"SUMMARY:{_text(event.summary)}"
    yield f"DESCRIPTION:{_text(event.description)}"
    yield "CLASS:PRIVATE"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _text(text: str) -> str:
    """Escape a text (RFC 5545 section 3.3.11)."""
    plain = _UNSEEN.sub("", text.replace("\r\n", "\n"))
    return re.sub(r"([\\;,])", r"\\\1", plain).replace("\n", "\\n")


def _folded(line: str) -> bytes:
    """End a line, broken into pieces of at most 75 octets without cutting a character."""
    parts: list[bytes] = []
    part = b""
    for character in line:
        octets = character.encode(errors="replace")
        if len(part) + len(octets) > _LONGEST_LINE - bool(parts):
            parts.append(part)
            part = b""
        part += octets
    return b"\r\n ".join([*parts, part]) + b"\r\n"
