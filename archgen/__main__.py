"""Run the command line: ``archgen``, or ``python -m archgen``."""

import signal
import sys

from archgen.commands.building.unchanged import answer
from archgen.errors import ExitCode


def main() -> None:
    """Say that nothing changed where that is all there is to a build, else load the commands."""
    try:
        told = answer(sys.argv[1:])
    except KeyboardInterrupt:
        told = ExitCode.INTERRUPTED
    if told is not None:
        sys.exit(told)
    from archgen.cli import main as run  # noqa: PLC0415  takes half the time of saying that nothing changed

    try:
        run()
    except SystemExit as ended:
        if ended.code == ExitCode.INTERRUPTED:
            signal.signal(signal.SIGINT, signal.SIG_IGN)  # it is pressed twice, and all is said
        raise


if __name__ == "__main__":
    main()
