"""Say what comes after a piece: what is due, how it stands with the touch-up, what was seen."""

import datetime as dt

from archgen.config import Limits
from archgen.languages.house import say, to_say
from archgen.pieces.followup import Due, DueKind, DueState, Look, TouchUp
from archgen.units import date_words
from archgen.wording.pieces import Mark

# In the order of the pages.
DUE_TITLES = {
    DueKind.HEALED_PHOTO: to_say("Photos of healed pieces"),
    DueKind.TOUCH_UP: to_say("Touch-ups"),
    DueKind.RELEASE: to_say("Photo releases to ask for"),
}


def due_mark(item: Due) -> Mark:
    """Give how urgent it is."""
    if item.is_now and item.state is DueState.PAST:
        return Mark("check-ask", say("Overdue"), asks=True)
    return {
        DueState.CLOSING: Mark("check-stop", say("Closing"), asks=True),
        DueState.OPEN: Mark("check-ask", say("Now"), asks=True),
        DueState.SOON: Mark("check-note", say("Soon")),
        DueState.LATER: Mark("check-note", say("Later")),
        DueState.PAST: Mark("check-note", say("Long past")),
    }[item.state]


def due_words(item: Due, today: dt.date) -> str:
    """Say what it is about, in a sentence."""
    since = date_words(item.since) if item.since else ""
    if item.kind is DueKind.HEALED_PHOTO:
        return say("There is no photo of the healed piece.")
    if item.kind is DueKind.TOUCH_UP:
        return (
            say("A touch-up is wanted since {since}.", since=since)
            if since
            else say("Nobody has looked yet whether a touch-up is wanted.")
        )
    if item.since is None:
        return say("The client has not been asked for a photo release.")
    if item.since < today:
        return say("The photo release ended on {day}.", day=since)
    return say("The photo release ends on {day}.", day=since)


def touch_up_words(touch_up: TouchUp, limits: Limits) -> str:
    """Say when a touch-up is possible, or that it was done; empty when the end of the work is not known."""
    if touch_up.done_on:
        return say("The touch-up was done on {day}.", day=date_words(touch_up.done_on))
    if touch_up.closes is None:
        return ""
    own = limits.touch_up_until_days != Limits().touch_up_until_days
    standing = say("your limit") if own else say("studio default")
    values = {"day": date_words(touch_up.closes), "number": limits.touch_up_until_days, "standing": standing}
    if touch_up.state is DueState.PAST:
        return say("A touch-up was possible until {day} (day {number}, {standing}).", **values)
    return say("A touch-up is possible until {day} (day {number}, {standing}).", **values)


def touch_up_window_words(touch_up: TouchUp, limits: Limits) -> str:
    """Say between which days a touch-up is usual, or that it was done; empty when neither is known."""
    if touch_up.done_on or touch_up.opens is None or touch_up.closes is None:
        return touch_up_words(touch_up, limits)
    return say(
        "Touch-up between {first} and {last} (day {from_day} to {until_day}, {standing}).",
        first=date_words(touch_up.opens),
        last=date_words(touch_up.closes),
        from_day=limits.touch_up_from_days,
        until_day=limits.touch_up_until_days,
        standing=say("default") if limits.has_usual_touch_up_days else say("your limits"),
    )


def look_mark(look: Look) -> Mark | None:
    """Give whether a touch-up was found wanted, and whether it was given since."""
    if not look.seen.touch_up:
        return None
    if look.answered_on:
        return Mark("check-note", say("Touch-up wanted, done on {day}", day=date_words(look.answered_on)))
    return Mark("check-ask", say("Touch-up wanted"), asks=True)
