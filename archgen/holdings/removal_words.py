"""What is said of a client's removal, on the terminal and at the desk."""

from archgen.holdings.removal import Keeping
from archgen.languages.house import say, say_count, to_say
from archgen.units import date_words
from archgen.writing.changes import REMOVED_DAYS

NO_ADVICE = to_say(
    "What has to go and what has to stay is decided by the law of the place: ask your authority, "
    "this isn’t legal advice. Nothing was removed."
)


def removal_afterwards() -> tuple[str, ...]:
    """Say how long a removal can be taken back, and what it does not touch."""
    return (
        say(
            "For {days} days archgen undo brings it back. After them archgen undo --tidy, or the next removal, throws "
            "what is kept of it away for good.",
            days=REMOVED_DAYS,
        ),
        say("Copies elsewhere are not touched: backups, handovers, your telephone, pages you sent."),
    )


def keeping_words(one: Keeping, years: int | None) -> str:
    """Say what may have to stay, and until when."""
    if one.until:
        return say_count(
            "{file}: {what}; until {day} by your {number} year",
            "{file}: {what}; until {day} by your {number} years",
            years or 0,
            file=one.path,
            what=one.what,
            day=date_words(one.until),
        )
    return say("{file}: {what}; for how long is not set (years under [keep])", file=one.path, what=one.what)


def online_words(title: str) -> str:
    """Say what is to be taken down."""
    return say("{title}: may be in your portfolio. Set publish = false, then archgen upload.", title=title)
