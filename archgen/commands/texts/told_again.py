"""Keep what was printed, to print it again on a terminal of the same kind without laying it out anew."""

import os
import sys
from contextlib import suppress
from typing import Any

from archgen.commands.texts.screen import print_laid_out
from archgen.languages.house import house

# Stands in what is kept for the seconds, which are not the same again.
SECONDS = "\N{OBJECT REPLACEMENT CHARACTER}"
# What the library that lays texts out goes by, beside the window.
_VARIABLES = (
    "COLUMNS", "LINES", "TERM", "COLORTERM", "NO_COLOR", "FORCE_COLOR", "TTY_COMPATIBLE", "TTY_INTERACTIVE",
    "JUPYTER_COLUMNS", "JUPYTER_LINES", "WT_SESSION",
)  # fmt: skip


def terminal_kind() -> list[Any]:
    """Give all that decides how a text is laid out and marked, in plain values."""
    sizes = []
    for stream in range(3):
        with suppress(OSError, ValueError):
            sizes.append(list(os.get_terminal_size(stream)))
    return [sizes, sys.stdout.isatty(), sys.stdout.encoding, *map(os.environ.get, _VARIABLES)]


def printed_before(kept: Any, seconds: float) -> bool:
    """Print what was kept when this terminal is of the same kind; say whether it was."""
    if not isinstance(kept, dict) or kept.get("terminal") != terminal_kind() or os.name == "nt":
        return False
    print_laid_out(kept["text"].replace(SECONDS, house().figures(f"{seconds:.1f}")))
    return True
