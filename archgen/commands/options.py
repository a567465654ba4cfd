"""Options that several commands share."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from archgen.progress import TerminalProgress

_ARCHIVE_HELP = "The archive folder. Default: this folder if it holds archive.toml, else ./content."
FORMAT_HELP = "Text for you, or JSON for another program."


def _archive_folder(_context: click.Context, _option: click.Parameter, given: Path | None) -> Path:
    if given is not None:
        return given
    here = Path()
    return here if (here / "archive.toml").is_file() else here / "content"


def archive_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --archive; the command gets `root`."""
    option = click.option(
        "--archive",
        "root",
        type=click.Path(path_type=Path),
        default=None,
        callback=_archive_folder,
        metavar="DIR",
        help=_ARCHIVE_HELP,
    )
    return option(command)


def out_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --out; the command gets `out`."""
    option = click.option(
        "--out",
        type=click.Path(path_type=Path),
        default=Path("build"),
        metavar="DIR",
        show_default=True,
        help="Where the results go.",
    )
    return option(command)


def terminal() -> Console:
    """Give standard output: results, nothing else."""
    return Console(highlight=False, soft_wrap=True)


def progress() -> TerminalProgress:
    """Give the progress bar on standard error."""
    return TerminalProgress(Console(stderr=True))
