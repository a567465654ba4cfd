"""What is said of a client's removal, on the terminal and at the desk."""

from archgen.holdings.going import Going
from archgen.holdings.removal import Keeping
from archgen.units import date_words
from archgen.writing.changes import REMOVED_DAYS

NO_ADVICE = (
    "What has to go and what has to stay is decided by the law of the place: ask your authority, "
    "this isn’t legal advice. Nothing was removed."
)
REMOVAL_AFTERWARDS = (
    f"For {REMOVED_DAYS} days archgen undo brings it back. After them archgen undo --tidy, or the next removal, throws "
    "what is kept of it away for good.",
    "Copies elsewhere are not touched: backups, handovers, your telephone, pages you sent.",
)


def going_where(one: Going) -> str:
    """Say where it stands."""
    return f"{one.path}, line {one.lines[0]}" if one.lines else one.path


def keeping_words(one: Keeping, years: int | None) -> str:
    """Say what may have to stay, and until when."""
    if one.until:
        return f"{one.path}: {one.what}; until {date_words(one.until)} by your {years} years"
    return f"{one.path}: {one.what}; for how long is not set (years under [keep])"


def online_words(title: str) -> str:
    """Say what is to be taken down."""
    return f"{title}: may be in your portfolio. Set publish = false, then archgen upload."
