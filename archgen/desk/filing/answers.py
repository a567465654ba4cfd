"""What was answered in the form of a piece, as plain values; what is not understood stays as it was typed."""

import datetime as dt
import re
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass

from archgen.desk.filing.lines import LineValue
from archgen.desk.filing.materials import Materials, NeedleOffer
from archgen.desk.filing.rights import PEOPLE, RightAnswer
from archgen.records.model import Side
from archgen.records.vocabulary.placements import find_placement


@dataclass(frozen=True, slots=True)
class PlaceAnswer:
    """Where on the body; region is an id, or the words as typed."""

    region: str | None = None
    side: str | None = None
    girth: str | None = None


@dataclass(frozen=True, slots=True)
class SittingAnswer:
    """One visit; hours as they are written."""

    date: dt.date | str
    hours: str | float | None = None


@dataclass(frozen=True, slots=True)
class ReferenceAnswers:
    """The answers about one reference, by the key of its picture."""

    picture: str
    values: tuple[tuple[str, LineValue], ...] = ()

    @property
    def is_looked_at(self) -> bool:
        """Say whether it was not drawn from."""
        return ("used", False) in self.values


@dataclass(frozen=True, slots=True)
class ReleaseAnswer:
    """What the client said about showing photos."""

    status: str
    scope: tuple[str, ...] = ()
    date: dt.date | None = None


@dataclass(frozen=True, slots=True)
class PieceAnswers:
    """The whole form.

    Attributes:
        client: A name or code as typed.
        client_code: The code chosen from the list, where names are not enough.
        applied: The key of the stencil that went on the skin; None where there is one, or nobody said.
    """

    title: str
    client: str = ""
    client_code: str = ""
    place: PlaceAnswer = PlaceAnswer()
    width: str | None = None
    height: str | None = None
    sittings: tuple[SittingAnswer, ...] = ()
    needles: tuple[NeedleOffer, ...] = ()
    inks: tuple[str, ...] = ()
    applied: str | None = None
    release: ReleaseAnswer | None = None
    references: tuple[ReferenceAnswers, ...] = ()
    publish: bool | None = None
    cover: str | None = None
    notes: str = ""


RELEASES = {
    "both": ("Yes, online and in print", "Granted", ReleaseAnswer("granted", ("portfolio", "print"))),
    "online": ("Yes, online only", "Granted, online", ReleaseAnswer("granted", ("portfolio",))),
    "no": ("No", "Refused", ReleaseAnswer("refused")),
    "not-asked": ("Not asked yet", "Not asked", ReleaseAnswer("not-asked")),
}


def read_place(text: str, girth: str = "", units: str = "mm") -> PlaceAnswer:
    """Read a placement; words that can mean several places stay as they are and are asked about."""
    if not text:
        return PlaceAnswer(girth=read_length(girth, units))
    reading = find_placement(text)
    if reading.place:
        side = reading.side
        return PlaceAnswer(
            reading.place.id, side.value if side and side is not Side.CENTRE else None, read_length(girth, units)
        )
    return PlaceAnswer(text, None, read_length(girth, units))


def read_length(text: str, units: str) -> str | None:
    """Give a length with its unit; a bare number is meant in the archive's unit, which stands beside the field."""
    if not text:
        return None
    bare = text.replace(",", ".")
    return f"{bare} {units}" if re.fullmatch(r"\d+(\.\d+)?|\d+ \d+/\d+|\d+/\d+", bare) else text


def read_hours(text: str) -> str | float | None:
    """Give hours as a number where it is one, else as typed."""
    if not text:
        return None
    with suppress(ValueError):
        number = float(text.replace(",", "."))
        return int(number) if number == int(number) else number
    return text.removesuffix(" h") if re.fullmatch(r"[\d.,]+ h", text) else text


def read_day(text: str) -> dt.date | None:
    """Read the day of a date field."""
    with suppress(ValueError):
        return dt.date.fromisoformat(text)
    return None


def chosen_needles(keys: Iterable[str], own: str, box: str, offers: Materials) -> tuple[NeedleOffer, ...]:
    """Give the needles in the order they were touched, then those written by hand."""
    chosen = [offers.needle(key) for key in dict.fromkeys(keys) if key]
    for words in re.split(r"[,;\n]", own):
        if code := words.strip():
            known = next((one for one in offers.needles if one.code == code and not box), None)
            chosen.append(known or NeedleOffer(code, box or None))
    return tuple(dict.fromkeys(chosen))


def right_values(
    answer: RightAnswer | None, licence: str, creator: str, source: str
) -> tuple[tuple[str, LineValue], ...]:
    """Give what an answer writes, with the short answers that follow a free licence."""
    if answer is None:
        return ()
    values = dict(answer.values)
    if answer.follow_up:
        values |= {"license": licence or values["license"]}
        values |= {key: value for key, value in (("creator", creator), ("source", source)) if value}
    return tuple(values.items())


def with_person(
    values: tuple[tuple[str, LineValue], ...], person: str, somebody: str
) -> tuple[tuple[str, LineValue], ...]:
    """Add the one answer about people to a reference; of one that was only looked at nobody asks."""
    if ("used", False) in values or not person:
        return values
    likeness = next((written for key, _, written, _ in PEOPLE if key == person), None)
    if likeness is None:
        return values
    return (*values, ("likeness", somebody if person == "somebody" and somebody else likeness))
