"""archgen build."""

import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from archgen.clock import build_day
from archgen.commands.building.unchanged import look, told_again
from archgen.commands.options import archive_option, out_option, progress, terminal
from archgen.commands.speaking.yes_or_no import confirmed
from archgen.languages.house import house, say

if TYPE_CHECKING:
    from archgen.commands.texts.build_report import Report
    from archgen.storage.last_build import Sources


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
    if watch:
        from archgen.commands.building.watch import keep_building

        def once(settled: Callable[[], None]) -> "Report":
            return _built(root, out, jobs, look(root), may_shrink=fewer, may_ask=False, before_change=settled)

        keep_building(root, out, once)
    else:
        told = None if fewer else told_again(root, out, time.monotonic())
        if told is None:
            told = _built(root, out, jobs, look(root), may_shrink=fewer, may_ask=True).exit_code
        sys.exit(told)


def brought_up_to_date(root: Path, out: Path) -> "Report":
    """Build where anything changed, which it says then; give what the last build said."""
    from archgen.commands.texts.build_report import Report
    from archgen.storage.last_build import recall

    sources, day = look(root), build_day().isoformat()
    last = recall(out, root, day, sources) if sources else None
    if last and last.day == day:
        return Report.of(last.told["report"])
    return _built(root, out, None, sources, may_shrink=False, may_ask=False)


def _built(
    root: Path,
    out: Path,
    jobs: int | None,
    sources: "Sources | None",
    *,
    may_shrink: bool,
    may_ask: bool,
    before_change: Callable[[], None] = lambda: None,
) -> "Report":
    """Build, and say what came of it; `sources` are as they were before."""
    from archgen.storage.last_build import forget, keep

    day = build_day()
    from archgen.build import Options, Summary
    from archgen.build import build as run_build
    from archgen.commands.texts.build_report import for_another_time, print_report
    from archgen.commands.texts.report_text import SHALL_THEY_GO, report_of
    from archgen.extensions import are_installed
    from archgen.storage.jobs import default_workers

    def run(*, fewer: bool) -> "tuple[Summary, Report]":
        options = Options(
            jobs or default_workers(),
            day,
            may_shrink=fewer,
            looked=sources.pieces if sources else None,
            before_change=before_change,
        )
        summary = run_build(root, out, options, progress())
        report = report_of(summary)
        print_report(
            terminal(), report, house().figures(f"{summary.seconds:.1f}"), out, is_changed=bool(summary.changed)
        )
        return summary, report

    summary, report = run(fewer=may_shrink)
    if summary.missing and may_ask and sys.stdin.isatty() and confirmed(say(SHALL_THEY_GO)):
        summary, report = run(fewer=True)
    if sources and summary.is_steady and not are_installed():
        first, last = summary.same_days
        days = (day.isoformat(), first.isoformat(), last.isoformat())
        beside = [str(folder) for folder in summary.beside]
        keep(out, sources, days, beside, for_another_time(terminal(), report, out))
    else:
        forget(out)
    return report
