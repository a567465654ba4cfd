"""Choose the command, and turn every exception into a message and an exit code; the only place that does."""

import gc
import os
import sys
from importlib import import_module

import click

from archgen import __version__
from archgen.clock import build_day
from archgen.commands.options import terminal
from archgen.commands.speaking.click_words import let_click_speak
from archgen.commands.speaking.help_words import in_house_words
from archgen.commands.texts.screen import printing_visibly
from archgen.errors import ArchgenError, ExitCode, disk_reason
from archgen.languages.house import say, speak_as_the_system

# Each is a function of its own name in a module of that name; `_ROOMS` says in which folder some of them are.
COMMANDS = (
    "start",
    "intake",
    "desk",
    "build",
    "find",
    "audit",
    "twins",
    "reprint",
    "ruler",
    "gauge",
    "quote",
    "values",
    "stock",
    "sleeve",
    "trace",
    "leaks",
    "upload",
    "pack",
    "languages",
    "client",
    "seal",
    "handover",
    "undo",
)
_ROOMS = {
    "upload": "sending.",
    "pack": "sending.",
    "languages": "sending.",
    "client": "sending.",
    "quote": "planning.",
    "stock": "planning.",
    "sleeve": "planning.",
    "values": "planning.",
    "seal": "keeping.",
    "handover": "keeping.",
}


class _Commands(click.Group):
    """The commands, each loaded when it is wanted."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """Name them in the order in which they are needed."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Load one; None when there is none of that name."""
        return in_house_words(command(cmd_name)) if cmd_name in COMMANDS else None


def command(name: str) -> click.Command:
    """Load a command."""
    found = getattr(import_module(f"archgen.commands.{_ROOMS.get(name, '')}{name}"), name)
    assert isinstance(found, click.Command)  # noqa: S101
    return found


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, message="archgen %(version)s")
def archgen() -> None:
    """Turn a folder of finished pieces into an archive, a portfolio, case sheets and stencil reprints.

    Nothing in the archive folder is ever changed, moved or deleted unless a command says so.
    """


def _check_environment() -> None:
    """Look at SOURCE_DATE_EPOCH before a library does, which would stumble over a wrong one; set what numpy reads.

    The matrices here are small and the cores have pictures to read: where another program is busy too, threads that
    wait for each other take six times the time.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    build_day()


def main() -> None:
    """Run the command line; nothing that is printed can command the terminal."""
    # Circles to clear away are few where records are read and pages made, and looking for them took a twelfth of the
    # time of a build, and of a question about a large archive.
    gc.set_threshold(200_000, 100, 20)
    speak_as_the_system()
    let_click_speak()
    with printing_visibly():
        _run()


def _run() -> None:
    try:
        _check_environment()
        in_house_words(archgen)(standalone_mode=False)
    except click.ClickException as error:
        error.show()
        sys.exit(ExitCode.USAGE)
    except (KeyboardInterrupt, click.Abort):
        terminal(errors=True).print(say("Stopped. Nothing half-done is left behind."))
        sys.exit(ExitCode.INTERRUPTED)
    except ArchgenError as error:
        terminal(errors=True).print(str(error), style="bold")
        sys.exit(error.exit_code)
    except BrokenPipeError:
        sys.exit(ExitCode.DONE)
    except Exception as error:
        if isinstance(error, OSError) and error.filename is not None:
            # A name too long for the disk, a file where a folder should be: nobody can ask for each beforehand.
            named = os.fsdecode(error.filename) if isinstance(error.filename, str | bytes) else error.filename
            said = say("{file} cannot be used ({reason}).", file=named, reason=disk_reason(error))
            terminal(errors=True).print(said, style="bold")
            sys.exit(ExitCode.FILES)
        errors = terminal(errors=True)
        errors.print_exception()
        errors.print(say("This is a mistake in archgen, not in your archive. Nothing of yours was changed."))
        sys.exit(ExitCode.BUG)
