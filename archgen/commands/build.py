"""archgen build."""

import sys
from dataclasses import replace
from pathlib import Path

import click

from archgen.commands.options import archive_option, out_option, progress, terminal
from archgen.errors import ExitCode


@click.command()
@archive_option
@out_option
@click.option("--jobs", type=click.IntRange(1), metavar="N", help="Pictures read side by side. Default: all cores.")
@click.option("--fewer", is_flag=True, help="Renew the portfolio although pieces of it can't be found any more.")
@click.option("--watch", is_flag=True, help="Stay and build again whenever something in the archive folder changes.")
def build(root: Path, out: Path, jobs: int | None, fewer: bool, watch: bool) -> None:
    """Read the archive folder and write archive, portfolio and sheets.

    Ends with exit code 1 when a record or picture could not be used, or when the portfolio was kept back. What may no
    longer be shown leaves the portfolio in every case.

    \b
    Examples:
      archgen build
      archgen build --archive ~/pieces --out ~/pieces-built
      archgen build --watch
    """
    from archgen.build import Options
    from archgen.build import build as run_build
    from archgen.commands.texts.report_text import SHALL_THEY_GO, print_summary
    from archgen.storage.jobs import default_workers

    def once() -> ExitCode:
        options = Options(jobs or default_workers(), may_shrink=fewer)
        summary = run_build(root, out, options, progress())
        print_summary(terminal(), summary)
        if summary.missing and not watch and sys.stdin.isatty() and click.confirm(SHALL_THEY_GO):
            summary = run_build(root, out, replace(options, may_shrink=True), progress())
            print_summary(terminal(), summary)
        return ExitCode.FINDINGS if summary.unusable or summary.withheld or summary.missing else ExitCode.DONE

    if watch:
        from archgen.commands.watch import keep_building

        keep_building(root, out, once)
    else:
        sys.exit(once())
