"""Choose the command, and turn every exception into a message and an exit code; the only place that does."""

import os
import sys

import click

from archgen import __version__
from archgen.clock import build_day
from archgen.commands.audit import audit
from archgen.commands.build import build
from archgen.commands.desk import desk
from archgen.commands.gauge import gauge
from archgen.commands.intake import intake
from archgen.commands.leaks import leaks
from archgen.commands.options import terminal
from archgen.commands.reprint import reprint
from archgen.commands.ruler import ruler
from archgen.commands.start import start
from archgen.commands.trace import trace
from archgen.commands.twins import twins
from archgen.commands.undo import undo
from archgen.errors import ArchgenError, ExitCode

COMMANDS = (start, intake, desk, build, audit, twins, reprint, ruler, gauge, trace, leaks, undo)


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, message="archgen %(version)s")
def archgen() -> None:
    """Turn a folder of finished pieces into an archive, a portfolio, case sheets and stencil reprints.

    Nothing in the archive folder is ever changed, moved or deleted unless a command says so.
    """


for command in COMMANDS:
    archgen.add_command(command)


def _check_environment() -> None:
    """Look at SOURCE_DATE_EPOCH before a library does, which would stumble over a wrong one; set what numpy reads.

    The matrices here are small and the cores have pictures to read: where another program is busy too, threads that
    wait for each other take six times the time.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    build_day()


def main() -> None:
    """Run the command line."""
    try:
        _check_environment()
        archgen(standalone_mode=False)
    except click.ClickException as error:
        error.show()
        sys.exit(ExitCode.USAGE)
    except (KeyboardInterrupt, click.Abort):
        terminal(errors=True).print("Stopped. Nothing half-done is left behind.", markup=False)
        sys.exit(ExitCode.INTERRUPTED)
    except ArchgenError as error:
        terminal(errors=True).print(str(error), markup=False, style="bold")
        sys.exit(error.exit_code)
    except BrokenPipeError:
        sys.exit(ExitCode.DONE)
    except Exception:
        errors = terminal(errors=True)
        errors.print_exception()
        errors.print("This is a mistake in archgen, not in your archive. Nothing of yours was changed.", markup=False)
        sys.exit(ExitCode.BUG)
