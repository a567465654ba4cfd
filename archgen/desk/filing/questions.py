"""The short question about a field as it is typed, where its words are not understood or can mean several things."""

from archgen.desk.filing.answers import is_length, is_time, read_hours, read_length
from archgen.records.vocabulary.needles import read_needles
from archgen.records.vocabulary.placements import PLACES, find_placement, placement_words

MOST_CHOICES = 5


def ask_about(field: str, text: str, units: str) -> dict[str, object]:
    """Give the words a field was read as, a question (empty where there is none), and answers to be touched."""
    if not text.strip():
        return _answer()
    match field:
        case "place":
            return _about_place(text)
        case "width" | "height" | "girth":
            understood = is_length(read_length(text, units))
            return _answer(question="" if understood else f"How long is “{text}”? A number, or one with mm, cm or in.")
        case "hours_own" | "hours2":
            understood = is_time(read_hours(text))
            return _answer(question="" if understood else f"How long is “{text}”? Such as 3.5 or 3 h 30 min.")
        case "needle_own":
            return _about_needle(text)
    return _answer()


def _about_place(text: str) -> dict[str, object]:
    reading = find_placement(text)
    if reading.place:
        return _answer(words=placement_words(reading.place.id, reading.side) or "")
    if reading.choices:
        side = f", {reading.side.value}" if reading.side else ""
        choices = [f"{place.words}{side}" for place in reading.choices[:MOST_CHOICES]]
        return _answer(question=f"“{text}” can mean several places. Which one?", choices=choices)
    near = [PLACES[reading.nearest].words] if reading.nearest else []
    return _answer(question=f"Where is “{text}”? It is kept as you write it.", choices=near)


def _about_needle(text: str) -> dict[str, object]:
    readings = [reading for part in text.split(",") if part.strip() for reading in read_needles(part.strip())]
    unread = [warning.text for reading in readings for warning in reading.warnings if warning.is_unread]
    return _answer(words=", ".join(reading.words() for reading in readings), question=unread[0] if unread else "")


def _answer(words: str = "", question: str = "", choices: list[str] | None = None) -> dict[str, object]:
    return {"words": words, "question": question, "choices": choices or []}
