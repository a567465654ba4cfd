"""What is due as a calendar file. Calendars are synced to other people's computers: codes only, no name, no title."""

from collections.abc import Iterator

from archgen.clock import printed
from archgen.languages.house import say
from archgen.pieces.followup import Due, DueKind, DueState
from archgen.pieces.overview import PieceOverview
from archgen.pieces.survey import SurveyedCatalogue
from archgen.render.calendar import Event, calendar
from archgen.units import date_words

FILE = "follow-up.ics"


def followup_calendar(catalogue: SurveyedCatalogue) -> bytes:
    """Write the days on which something opens or closes; what is long past has no day in it."""
    events = (
        event
        for overview in catalogue.overviews.values()
        for item in overview.follow_up.due
        if item.state is not DueState.PAST
        for event in _events(item, overview)
    )
    return calendar(
        say("Follow-up"), sorted(events, key=lambda event: (event.day, event.name)), printed(catalogue.built_on)
    )


def _events(item: Due, overview: PieceOverview) -> Iterator[Event]:
    name = f"{item.piece_id} {item.kind.value}"
    finished = overview.finished_on
    who = item.client or say("A client without a code")
    more = say("See the page Follow-up of the archive.")
    if finished:
        more = f"{say('The piece finished on {day}.', day=date_words(finished))} {more}"
    if item.kind is DueKind.HEALED_PHOTO:
        yield Event(name, item.opens, say("{who}: photo of the healed piece", who=who), more)
    elif item.kind is DueKind.RELEASE:
        yield Event(name, item.opens, say("{who}: ask for the photo release", who=who), more)
    else:
        yield Event(f"{name} opens", item.opens, say("{who}: touch-up possible", who=who), more)
        if item.closes:
            yield Event(f"{name} closes", item.closes, say("{who}: last day for a touch-up", who=who), more)
