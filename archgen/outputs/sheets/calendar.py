"""What is due as a calendar file. Calendars are synced to other people's computers: codes only, no name, no title."""

from collections.abc import Iterable, Iterator

from archgen.pieces.followup import Due, DueKind, DueState
from archgen.pieces.survey import SurveyedCatalogue
from archgen.render.calendar import Event, calendar
from archgen.units import date_words

FILE = "follow-up.ics"


def followup_calendar(items: Iterable[Due], catalogue: SurveyedCatalogue) -> bytes:
    """Write the days on which something opens or closes; what is long past has no day in it."""
    events = sorted(
        (event for item in items if item.state is not DueState.PAST for event in _events(item, catalogue)),
        key=lambda event: (event.day, event.name),
    )
    return calendar("Follow-up", events, catalogue.built_on)


def _events(item: Due, catalogue: SurveyedCatalogue) -> Iterator[Event]:
    name = f"{item.piece_id} {item.kind.value}"
    who = item.client or "A client without a code"
    record = catalogue.overviews[item.piece_id].record
    finished = record.finished_on if record else None
    where = f"The piece finished on {date_words(finished)}. " if finished else ""
    more = f"{where}See the page Follow-up of the archive."
    if item.kind is DueKind.HEALED_PHOTO:
        yield Event(name, item.opens, f"{who}: photo of the healed piece", more)
    elif item.kind is DueKind.RELEASE:
        yield Event(name, item.opens, f"{who}: ask for the photo release", more)
    else:
        yield Event(f"{name} opens", item.opens, f"{who}: touch-up possible", more)
        if item.closes:
            yield Event(f"{name} closes", item.closes, f"{who}: last day for a touch-up", more)
