"""Write the few lines of a build that name its day anew, when on another day nothing else would change.

Loads nothing that a build needs: an archive in which nothing changed is not read for a new day.
"""

import datetime as dt
import re
from collections.abc import Callable
from pathlib import Path

from archgen.languages.house import say
from archgen.storage.plain_files import put_plain, read_plain
from archgen.units import date_words

# How the lines of a file begin that name the day, up to it.
_DATED: dict[str, Callable[[dt.date], str]] = {
    "archive/data/now.css": lambda day: f'.read-on::after {{ content: "{date_words(day)}',
    "archive/follow-up.ics": "DTSTAMP:{:%Y%m%d}".format,
    "archive/removals.txt": lambda day: say("Not to be shown any more, as of {day}:", day=date_words(day)),
    "archive/doubles.html": "date = {:%Y-%m-%d}".format,
}


def write_day(out: Path, before: dt.date, today: dt.date) -> None:
    """Write today where the day of the last build stands.

    Raises:
        OSError: A file isn't there or cannot be written.
    """
    for name, written in _DATED.items():
        old, new = (written(day).encode() for day in (before, today))
        content = read_plain(out / name)
        renewed = re.sub(rb"^" + re.escape(old), new, content, flags=re.MULTILINE)
        if renewed != content:
            put_plain(out / name, renewed)
