"""The day on which something is made."""

import datetime as dt
import os

from archgen.errors import UsageError


def build_day() -> dt.date:
    """Give today, or the day of SOURCE_DATE_EPOCH (reproducible-builds.org) when that is set.

    Raises:
        UsageError: SOURCE_DATE_EPOCH is set to something else than a number of seconds.
    """
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if not epoch:
        return dt.datetime.now().astimezone().date()
    try:
        return dt.datetime.fromtimestamp(int(epoch), dt.UTC).date()
    except (ValueError, OverflowError, OSError) as error:
        raise UsageError(
            "SOURCE_DATE_EPOCH is set, but isn't a number of seconds since 1970. Correct it, or leave it unset."
        ) from error
