"""The day on which something is made."""

import datetime as dt
import os


def build_day() -> dt.date:
    """Give today, or the day of SOURCE_DATE_EPOCH (reproducible-builds.org) when that is set."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    if epoch.isdigit():
        return dt.datetime.fromtimestamp(int(epoch), dt.UTC).date()
    return dt.datetime.now().astimezone().date()
