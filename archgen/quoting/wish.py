"""The piece a quote is asked for, as it is typed."""

from collections.abc import Iterable

from archgen.errors import UsageError
from archgen.languages.house import say, say_in, within
from archgen.records.vocabulary.placements import PLACES, find_placement
from archgen.values.frozen import Value


class Wish(Value, frozen=True):
    """The piece that is asked for; sides in mm, the place an id of `records.vocabulary.placements`."""

    width_mm: float
    height_mm: float
    styles: tuple[str, ...] = ()
    place: str | None = None

    @property
    def area_mm2(self) -> float:
        """Give width times height."""
        return self.width_mm * self.height_mm


def read_wish(width_mm: float, height_mm: float, styles: Iterable[str], place: str) -> Wish:
    """Read what is asked for; the place in any words, or none.

    Raises:
        UsageError: The words for the place mean none, or several.
    """
    return Wish(width_mm, height_mm, tuple(style.strip() for style in styles if style.strip()), _place(place))


def _place(typed: str) -> str | None:
    if not typed.strip():
        return None
    reading = find_placement(typed)
    if reading.place:
        return reading.place.id
    likely = [place.words for place in reading.choices] or ([PLACES[reading.nearest].words] if reading.nearest else [])
    said = say("“{typed}” is not one place on the body.", typed=typed)
    names = within(", ".join(say_in("place", words) for words in likely[:4]))
    asked = say("Is it {places}?", places=names) if likely else say("Say it as in your records: outer forearm.")
    raise UsageError(f"{said} {asked}")
