"""The day on which something is made."""

import datetime as dt
import os


def build_day() -> dt.date:
    """Give today, or the day of SOURCE_DATE_EPOCH (reproducible-builds.org) when that is set.

    Raises:
        ValueError: SOURCE_DATE_EPOCH is no number of seconds.
    """
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if not epoch:
        return dt.datetime.now().astimezone().date()
    try:
        return dt.datetime.fromtimestamp(int(epoch), dt.UTC).date()
    except (OverflowError, OSError) as error:
        raise ValueError(epoch) from error
