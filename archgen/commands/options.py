"""Options that several commands share."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from archgen.commands.texts.screen import new_console
from archgen.errors import UsageError
from archgen.units import parse_length

if TYPE_CHECKING:
    from rich.console import Console

    from archgen.commands.texts.progress_bar import TerminalProgress
    from archgen.config import Config

_ARCHIVE_HELP = (
    "The archive folder. Default: $ARCHGEN_ARCHIVE, else the folder you are in, else the one `archgen start` made last."
)
FORMAT_HELP = "Text for you, or JSON for another program."


def _archive_folder(context: click.Context, _option: click.Parameter, given: Path | None) -> Path | None:
    """Choose the archive and say which one it is, on standard error so that results stay clean."""
    from archgen.records.which_archive import choose_archive

    if context.resilient_parsing:
        return given
    chosen = choose_archive(given)
    if not context.params.get("images"):  # a folder of pictures is compared without an archive
        click.echo(chosen.words, err=True)
    return chosen.root


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


def _results_folder(context: click.Context, _option: click.Parameter, given: Path | None) -> Path | None:
    from archgen.records.which_archive import results_folder

    return given or (None if context.resilient_parsing else results_folder(context.params["root"]))


def out_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --out; the command gets `out`."""
    option = click.option(
        "--out",
        type=click.Path(path_type=Path),
        default=None,
        callback=_results_folder,
        metavar="DIR",
        help="Where the results go. Default: beside the archive, under its name and -built; for ./content ./build.",
    )
    return option(command)


def terminal(*, errors: bool = False) -> "Console":
    """Give standard output, for results and nothing else, or standard error."""
    return new_console(errors=errors)


def progress() -> "TerminalProgress":
    """Give the progress bar on standard error."""
    from archgen.commands.texts.progress_bar import TerminalProgress

    return TerminalProgress(new_console(errors=True, wraps=True))


class LengthOption(click.ParamType):  # type: ignore[type-arg]  # generic only in new releases
    """A length with its unit, given on in mm."""

    name = "length"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:  # noqa: ARG002
        """Read it, or say in one line how lengths are written."""
        if isinstance(value, float):
            return value
        try:
            return parse_length(value)
        except ValueError as error:
            raise UsageError(f'{option_name(param)} "{value}": {error}.') from error


def option_name(param: click.Parameter | None) -> str:
    """Name an option as it is typed."""
    return param.opts[-1] if param and param.opts else "The length"


def paper_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --paper."""
    paper_help = 'Other paper than the printer\'s: A4, Letter …, or "210 x 297 mm".'
    return click.option("--paper", metavar="PAPER", help=paper_help)(command)


def printer_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --printer."""
    return click.option("--printer", metavar="NAME", help="A printer of archive.toml. Default: the first.")(command)


def pdf_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --out for one file, and --open."""
    out = click.option(
        "--out", type=click.Path(path_type=Path), metavar="FILE", help="The PDF to write. Default: in ./reprints."
    )
    show = click.option("--open", "show", is_flag=True, help="Open the PDF in the viewer.")
    return out(show(command))


def settings(root: Path, *, is_theirs: bool = True) -> "Config":
    """Read the settings; where nobody named an archive and there is none, the defaults.

    The same goes for a picture of the artist's own (`is_theirs` false) beside the demo, whose printer is not theirs.
    """
    from archgen.config import Config, read_config
    from archgen.records.which_archive import ChosenArchive

    if click.get_current_context().get_parameter_source("root") is not click.core.ParameterSource.DEFAULT:
        return read_config(root)
    is_demo = not is_theirs and ChosenArchive(root, "").is_demo
    return read_config(root) if root.is_dir() and not is_demo else Config(root)


def is_default(option: str) -> bool:
    """Say whether nobody named a value of an option."""
    source = click.get_current_context().get_parameter_source(option)
    return source is click.core.ParameterSource.DEFAULT
