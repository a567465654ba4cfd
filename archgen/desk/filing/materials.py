"""What the form offers of needles and inks: the artist's own words and boxes, the bottles that are open."""

import datetime as dt
import re
from collections.abc import Container, Iterator
from dataclasses import dataclass

from archgen.catalogue import Catalogue
from archgen.desk.filing.dots import needle_dots
from archgen.desk.filing.lines import RecordTable, table
from archgen.languages.house import say
from archgen.records.model import Box, InkBatch, Needle
from archgen.units import date_words

# Chips shown at once; what was used longer ago is written by hand, with completion.
MOST_NEEDLES = 8
# A bottle that ends within this time says so.
_SOON = dt.timedelta(days=120)


@dataclass(frozen=True, slots=True)
class NeedleOffer:
    """A needle as the artist wrote it last, with the box it came from."""

    code: str
    batch: str | None = None
    sterilisation: str | None = None
    expiry: dt.date | None = None
    words: str = ""
    use: str = ""

    @property
    def key(self) -> str:
        """Give what the form sends for it."""
        return f"{self.code}|{self.batch or ''}"

    @property
    def dots(self) -> tuple[tuple[float, float], ...]:
        """Give the middles of its dots."""
        return needle_dots(self.code)

    @property
    def table(self) -> RecordTable:
        """Give the lines it writes."""
        values = {"code": self.code, "use": self.use, "batch": self.batch}
        return table("[[needle]]", {**values, "sterilisation": self.sterilisation, "expiry": self.expiry})


@dataclass(frozen=True, slots=True)
class InkOffer:
    """A bottle of the register.

    Attributes:
        tone: 1 for the darkest to 4, 0 for white, None for a colour.
        words: What is to be said of it: its date when that is near, or why it is left out.
    """

    batch: str
    name: str
    tone: int | None
    words: str = ""

    @property
    def table(self) -> RecordTable:
        """Give the lines it writes."""
        return table("[[ink]]", {"batch": self.batch})


@dataclass(frozen=True, slots=True)
class Materials:
    """All offers: what was open on the day of the work.

    Attributes:
        left_out: Bottles that stand on the shelf now and were not to be used that day, with the reason.
        left_boxes: Boxes that were opened after that day.
        last_needles: What the piece before took.
        last_inks: What the piece before took.
    """

    needles: tuple[NeedleOffer, ...]
    more_codes: tuple[str, ...]
    inks: tuple[InkOffer, ...]
    left_out: tuple[InkOffer, ...]
    left_boxes: tuple[NeedleOffer, ...]
    last_needles: tuple[NeedleOffer, ...]
    last_inks: tuple[InkOffer, ...]

    def needle(self, key: str) -> NeedleOffer:
        """Give the needle the form sent; one that isn't offered any more by its own words."""
        code, _, batch = key.partition("|")
        return next((one for one in self.needles if one.key == key), NeedleOffer(code, batch or None))


def materials(catalogue: Catalogue, day: dt.date | None = None) -> Materials:
    """Look through the records, newest first, and the register; `day` is that of the work, today where it is None."""
    used = list(_needles_used(catalogue))
    words = list(dict.fromkeys(needle.code for needle in used))
    day = day or catalogue.built_on
    needles = tuple(_offer(code, used, catalogue, day) for code in words[:MOST_NEEDLES])
    bottles = sorted(catalogue.inks.values(), key=_shade)
    opened = tuple(_ink(bottle, day) for bottle in bottles if _was_open(bottle, day) and not _why_left_out(bottle, day))
    left_out = tuple(
        InkOffer(bottle.batch, bottle.name or bottle.batch, _tone(bottle), why)
        for bottle in bottles
        if not bottle.closed and (why := _why_left_out(bottle, day)) and _was_open_lately(bottle, day)
    )
    last = next((piece.record for piece in catalogue.pieces if piece.record and piece.record.needle), None)
    by_code = {one.code: one for one in needles}
    by_batch = {one.batch: one for one in opened}
    inked = next((piece.record for piece in catalogue.pieces if piece.record and piece.record.ink), None)
    return Materials(
        needles=needles,
        more_codes=tuple(words),
        inks=opened,
        left_out=left_out,
        left_boxes=tuple(_left_boxes(catalogue, day, by_code)),
        last_needles=tuple(dict.fromkeys(by_code[one.code] for one in last.needle if one.code in by_code))
        if last
        else (),
        last_inks=tuple(dict.fromkeys(by_batch[ink.batch] for ink in inked.ink if ink.batch in by_batch))
        if inked
        else (),
    )


def _was_open(one: InkBatch | Box, day: dt.date) -> bool:
    """Say whether a bottle or box stood open on a day; one without dates may have."""
    return (one.opened is None or one.opened <= day) and (one.closed is None or one.closed >= day)


def _left_boxes(catalogue: Catalogue, day: dt.date, codes: Container[str]) -> Iterator[NeedleOffer]:
    for box in catalogue.boxes:
        if box.code in codes and box.batch and box.closed is None and box.opened and box.opened > day:
            words = say("opened {day}", day=date_words(box.opened))
            yield NeedleOffer(box.code, box.batch, box.sterilisation, box.expiry, words)


def _needles_used(catalogue: Catalogue) -> Iterator[Needle]:
    for piece in catalogue.pieces:
        if piece.record:
            yield from piece.record.needle


def _offer(code: str, used: list[Needle], catalogue: Catalogue, day: dt.date) -> NeedleOffer:
    """Give the box that was open on the day, else the one written last with these words, if it was there by then."""
    boxes = [box for box in catalogue.boxes if box.code == code and _was_open(box, day)]
    if boxes:
        box = max(boxes, key=lambda one: one.opened or dt.date.min)
        return NeedleOffer(code, box.batch, box.sterilisation, box.expiry)
    closed = {box.batch for box in catalogue.boxes if not _was_open(box, day)}
    last = next(
        (needle for needle in used if needle.code == code and needle.batch and needle.batch not in closed), None
    )
    return NeedleOffer(code, last.batch, last.sterilisation, last.expiry) if last else NeedleOffer(code)


def _ink(bottle: InkBatch, day: dt.date) -> InkOffer:
    is_near = bottle.expiry is not None and bottle.expiry - day < _SOON
    words = say("to {day}", day=date_words(bottle.expiry)) if bottle.expiry and is_near else ""
    if bottle.recalled:  # after that day, or it would be left out
        words = say("recalled {day}", day=date_words(bottle.recalled))
    return InkOffer(bottle.batch, bottle.name or bottle.batch, _tone(bottle), words)


def _why_left_out(bottle: InkBatch, day: dt.date) -> str:
    if bottle.opened and bottle.opened > day:
        return say("opened {day}", day=date_words(bottle.opened))
    if bottle.recalled and bottle.recalled <= day:
        return say("recalled {day}", day=date_words(bottle.recalled))
    return say("past its date") if bottle.expiry and bottle.expiry < day else ""


def _was_open_lately(bottle: InkBatch, day: dt.date) -> bool:
    """Say whether a bottle may still stand on the shelf: past its date for less than a year, or recalled."""
    return bottle.recalled is not None or bottle.expiry is None or day - bottle.expiry < dt.timedelta(days=365)


def _tone(bottle: InkBatch) -> int | None:
    """Guess how dark an ink is from its name; common practice of wash sets, no source."""
    name = (bottle.name or "").casefold()
    if "white" in name:
        return 0
    number = re.search(r"\d+", name)
    if ("wash" in name or "grey" in name or "gray" in name) and number:
        return min(1 + int(number[0]), 4)
    if "black" in name:
        return 1
    return 3 if "wash" in name or "grey" in name or "gray" in name else None


def _shade(bottle: InkBatch) -> tuple[int, str, int]:
    tone = _tone(bottle)
    place = 9 if tone is None else 8 if tone == 0 else tone
    return (place, bottle.name or "", -(bottle.opened or dt.date.min).toordinal())
