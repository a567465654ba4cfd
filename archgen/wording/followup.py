"""Say what comes after a piece: what is due, how it stands with the touch-up, what was seen."""

import datetime as dt

from archgen.config import Limits
from archgen.pieces.followup import Due, DueKind, DueState, Look, TouchUp
from archgen.units import date_words
from archgen.wording.pieces import Mark

# In the order of the pages.
DUE_TITLES = {
    DueKind.HEALED_PHOTO: "Photos of healed pieces",
    DueKind.TOUCH_UP: "Touch-ups",
    DueKind.RELEASE: "Photo releases to ask for",
}
_DUE_MARKS = {
    DueState.CLOSING: Mark("check-stop", "Closing", asks=True),
    DueState.OPEN: Mark("check-ask", "Now", asks=True),
    DueState.SOON: Mark("check-note", "Soon"),
    DueState.LATER: Mark("check-note", "Later"),
    DueState.PAST: Mark("check-note", "Long past"),
}
_OVERDUE = Mark("check-ask", "Overdue", asks=True)


def due_mark(item: Due) -> Mark:
    """Give how urgent it is."""
    return _OVERDUE if item.is_now and item.state is DueState.PAST else _DUE_MARKS[item.state]


def due_words(item: Due, today: dt.date) -> str:
    """Say what it is about, in a sentence."""
    since = date_words(item.since) if item.since else ""
    if item.kind is DueKind.HEALED_PHOTO:
        return "There is no photo of the healed piece."
    if item.kind is DueKind.TOUCH_UP:
        return (
            f"A touch-up is wanted since {since}." if since else "Nobody has looked yet whether a touch-up is wanted."
        )
    if item.since is None:
        return "The client has not been asked for a photo release."
    return f"The photo release {'ended' if item.since < today else 'ends'} on {since}."


def touch_up_words(touch_up: TouchUp, limits: Limits) -> str:
    """Say when a touch-up is possible, or that it was done; empty when the end of the work is not known."""
    if touch_up.done_on:
        return f"The touch-up was done on {date_words(touch_up.done_on)}."
    if touch_up.closes is None:
        return ""
    verb = "was possible" if touch_up.state is DueState.PAST else "is possible"
    standing = "your limit" if limits.touch_up_until_days != Limits().touch_up_until_days else "studio default"
    return f"A touch-up {verb} until {date_words(touch_up.closes)} (day {limits.touch_up_until_days}, {standing})."


def touch_up_window_words(touch_up: TouchUp, limits: Limits) -> str:
    """Say between which days a touch-up is usual, or that it was done; empty when neither is known."""
    if touch_up.done_on or touch_up.opens is None or touch_up.closes is None:
        return touch_up_words(touch_up, limits)
    days = f"day {limits.touch_up_from_days} to {limits.touch_up_until_days}"
    standing = "default" if limits.has_usual_touch_up_days else "your limits"
    return f"Touch-up between {date_words(touch_up.opens)} and {date_words(touch_up.closes)} ({days}, {standing})."


def look_mark(look: Look) -> Mark | None:
    """Give whether a touch-up was found wanted, and whether it was given since."""
    if not look.seen.touch_up:
        return None
    if look.answered_on:
        return Mark("check-note", f"Touch-up wanted, done on {date_words(look.answered_on)}")
    return Mark("check-ask", "Touch-up wanted", asks=True)
