"""archgen build."""

import sys
from pathlib import Path

import click

from archgen.commands.options import archive_option, out_option, progress, terminal
from archgen.errors import ExitCode


@click.command()
@archive_option
@out_option
@click.option("--jobs", type=click.IntRange(1), metavar="N", help="Pictures read side by side. Default: all cores.")
@click.option("--watch", is_flag=True, help="Stay and build again whenever something in the archive folder changes.")
def build(root: Path, out: Path, jobs: int | None, watch: bool) -> None:
    """Read the archive folder and write archive, portfolio and sheets.

    Ends with exit code 1 when a record or picture could not be used, or when the portfolio was kept back.

    \b
    Examples:
      archgen build
      archgen build --archive ~/pieces --out ~/pieces-built
      archgen build --watch
    """
    from archgen.build import Options
    from archgen.build import build as run_build
    from archgen.commands.report import print_summary
    from archgen.storage.jobs import default_workers

    def once() -> ExitCode:
        summary = run_build(root, out, Options(jobs or default_workers()), progress())
        print_summary(terminal(), summary)
        return ExitCode.FINDINGS if summary.unusable or summary.withheld else ExitCode.DONE

    if watch:
        from archgen.commands.watch import keep_building

        keep_building(root, out, once)
    else:
        sys.exit(once())
