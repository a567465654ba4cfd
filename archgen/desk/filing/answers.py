"""What was answered in the form of a piece, as plain values; what is not understood stays as it was typed."""

import datetime as dt
import re
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace

from archgen.desk.filing.lines import LineValue
from archgen.desk.filing.materials import Materials, NeedleOffer
from archgen.desk.filing.rights import PEOPLE, RightAnswer, ShortQuestion
from archgen.languages.house import to_say
from archgen.records.model import Side
from archgen.records.typed.field import read_field
from archgen.records.typed.reading import Habits
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
    """What the client said about showing photos; status is None where only a paper was given."""

    status: str | None
    scope: tuple[str, ...] = ()
    date: dt.date | None = None
    file: str | None = None


@dataclass(frozen=True, slots=True)
class PieceAnswers:
    """The whole form.

    Attributes:
        client: A name or code as typed.
        client_code: The code chosen from the list, where names are not enough.
        applied: The key of the stencil that went on the skin; None where there is one, or nobody said.
        charged: In the archive's currency, as typed where it is no number; deposit the same.
        cover: The key of the photo that stands for the piece; None: the one the plan took.
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
    styles: tuple[str, ...] = ()
    charged: str | float | None = None
    deposit: str | float | None = None
    cover: str | None = None
    notes: str = ""

    @property
    def papers(self) -> frozenset[str]:
        """Give the papers that the record names; one chosen for an answer that was taken back is none of them."""
        letters = (dict(one.values).get("permission") for one in self.references)
        return frozenset(str(file) for file in (self.release and self.release.file, *letters) if file)


RELEASES = {
    "both": (to_say("Yes, online and in print"), to_say("Granted"), ReleaseAnswer("granted", ("portfolio", "print"))),
    "online": (to_say("Yes, online only"), to_say("Granted, online"), ReleaseAnswer("granted", ("portfolio",))),
    "no": (to_say("No"), to_say("Refused"), ReleaseAnswer("refused")),
    "not-asked": (to_say("Not asked yet"), to_say("Not asked"), ReleaseAnswer("not-asked")),
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


def read_amount(text: str) -> str | float | None:
    """Give money as a number where it is one, else as typed."""
    if not text:
        return None
    reading = read_field("price.charged", text, Habits("mm"))
    return reading.value if isinstance(reading.value, (int, float)) and not reading.question else text


def read_day(text: str) -> dt.date | None:
    """Read the day of a date field."""
    with suppress(ValueError):
        return dt.date.fromisoformat(text)
    return None


@dataclass(frozen=True, slots=True)
class OwnNeedle:
    """A needle written by hand, or several with commas, the number on the box, what it was for."""

    words: str = ""
    box: str = ""
    use: str = ""


def chosen_needles(
    keys: Iterable[str], own: OwnNeedle, offers: Materials, uses: Mapping[str, str]
) -> tuple[NeedleOffer, ...]:
    """Give the needles in the order they were touched, then those written by hand; `uses` by the keys."""
    chosen = [replace(offers.needle(key), use=uses.get(key, "")) for key in dict.fromkeys(keys) if key]
    for words in re.split(r"[,;\n]", own.words):
        if code := words.strip():
            known = next((one for one in offers.needles if one.code == code and not own.box), None)
            chosen.append(replace(known or NeedleOffer(code, own.box or None), use=own.use))
    return tuple(dict.fromkeys(chosen))


@dataclass(frozen=True, slots=True)
class RightDetails:
    """The short answers that follow the one about a right.

    Attributes:
        paper: The place of the letter or receipt in the piece's folder.
        allows: What the paper allows.
    """

    licence: str = ""
    creator: str = ""
    source: str = ""
    paper: str = ""
    allows: tuple[str, ...] = ()


def right_values(answer: RightAnswer | None, more: RightDetails) -> tuple[tuple[str, LineValue], ...]:
    """Give what an answer writes, with the short answers that follow it and no other."""
    if answer is None:
        return ()
    values = dict(answer.values)
    if answer.follow_up is ShortQuestion.LICENCE:
        values |= {"license": more.licence or values["license"]}
        values |= {key: value for key, value in (("creator", more.creator), ("source", more.source)) if value}
    elif answer.follow_up is ShortQuestion.PAPER:
        values |= {key: value for key, value in (("permission", more.paper), ("allows", more.allows)) if value}
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
