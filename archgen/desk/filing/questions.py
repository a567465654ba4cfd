"""The short question about a field as it is typed, where its words are not understood or can mean several things."""

from archgen.desk.filing.answers import read_hours, read_length
from archgen.languages.house import say
from archgen.records.typed.field import read_field
from archgen.records.typed.reading import Habits
from archgen.records.vocabulary.needles import read_needles
from archgen.records.vocabulary.placements import PLACES, find_placement, place_words, placement_words, side_words

MOST_CHOICES = 5
# The fields of the form that hold a length or a time, and the keys they write.
_AMOUNTS = {
    "width": "size.width",
    "height": "size.height",
    "girth": "placement.girth",
    "hours_own": "sitting.hours",
    "hours2": "sitting.hours",
    "charged": "price.charged",
    "deposit": "price.deposit",
}
_MONEY = frozenset(("price.charged", "price.deposit"))


def ask_about(field: str, text: str, units: str) -> dict[str, object]:
    """Give the words a field was read as, a question (empty where there is none), and answers to be touched."""
    if not text.strip():
        return _answer()
    if field in _AMOUNTS:
        return _about_amount(_AMOUNTS[field], text, units)
    match field:
        case "place":
            return _about_place(text)
        case "needle_own":
            return _about_needle(text)
    return _answer()


def _about_amount(key: str, text: str, units: str) -> dict[str, object]:
    typed = read_hours(text) if key == "sitting.hours" else text if key in _MONEY else read_length(text, units)
    reading = read_field(key, str(typed), Habits(units))
    return _answer(reading.words, reading.question, [choice.words for choice in reading.choices[:MOST_CHOICES]])


def _about_place(text: str) -> dict[str, object]:
    reading = find_placement(text)
    if reading.place:
        return _answer(words=placement_words(reading.place.id, reading.side) or "")
    if reading.choices:
        side = f", {side_words(reading.side)}" if reading.side else ""
        choices = [f"{place_words(place)}{side}" for place in reading.choices[:MOST_CHOICES]]
        return _answer(question=say("“{text}” can mean several places. Which one?", text=text), choices=choices)
    near = [place_words(PLACES[reading.nearest])] if reading.nearest else []
    return _answer(question=say("Where is “{text}”? It is kept as you write it.", text=text), choices=near)


def _about_needle(text: str) -> dict[str, object]:
    readings = [reading for part in text.split(",") if part.strip() for reading in read_needles(part.strip())]
    unread = [warning.text for reading in readings for warning in reading.warnings if warning.is_unread]
    return _answer(words=", ".join(reading.words() for reading in readings), question=unread[0] if unread else "")


def _answer(words: str = "", question: str = "", choices: list[str] | None = None) -> dict[str, object]:
    return {"words": words, "question": question, "choices": choices or []}
