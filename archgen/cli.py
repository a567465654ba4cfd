"""Arguments in, one call, one report, an exit code out."""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from archgen import __version__
from archgen.errors import ArchgenError, ExitCode
from archgen.progress import TerminalProgress

ARCHIVE_HELP = "The archive folder. Default: this folder if it holds archive.toml, else ./content."
EXAMPLES_TITLE = "Examples:"


def archive_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --archive to a command."""
    return click.option(
        "--archive", "root", type=click.Path(path_type=Path), default=None, metavar="DIR", help=ARCHIVE_HELP
    )(command)


def out_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --out to a command."""
    return click.option(
        "--out",
        type=click.Path(path_type=Path),
        default=Path("build"),
        metavar="DIR",
        show_default=True,
        help="Where the results go.",
    )(command)


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, message="archgen %(version)s")
def archgen() -> None:
    """Turn a folder of finished pieces into an archive, a portfolio, case sheets and stencil reprints.

    Nothing in the archive folder is ever changed, moved or deleted.
    """


@archgen.command()
@archive_option
@out_option
@click.option(
    "--jobs",
    type=click.IntRange(1),
    default=None,
    metavar="N",
    help="Pictures looked at side by side. Default: all cores.",
)
def build(root: Path | None, out: Path, jobs: int | None) -> None:
    """Read the archive folder and write archive, portfolio and sheets.

    \b
    Examples:
      archgen build
      archgen build --archive ~/pieces --out ~/pieces-built
    """
    from archgen.build import Options, build_day
    from archgen.build import build as run_build
    from archgen.report import print_summary
    from archgen.storage.jobs import default_workers

    summary = run_build(
        _archive_folder(root),
        out,
        Options(jobs or default_workers(), build_day()),
        TerminalProgress(Console(stderr=True)),
    )
    print_summary(Console(highlight=False, soft_wrap=True), summary)
    sys.exit(ExitCode.FINDINGS if summary.unusable or summary.withheld else ExitCode.DONE)


@archgen.command()
@archive_option
@out_option
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="How to print the findings.",
)
@click.option("--piece", default=None, metavar="ID", help="Only the findings of this piece.")
@click.option(
    "--code", default=None, metavar="CODE", help='Only findings of this code, or of a group such as "rights".'
)
@click.option(
    "--fail-on",
    type=click.Choice(["error", "warning", "note", "never"]),
    default="error",
    show_default=True,
    help="End with exit code 1 when a finding at least this serious was found.",
)
def audit(root: Path | None, out: Path, form: str, piece: str | None, code: str | None, fail_on: str) -> None:
    """Check every record and picture; write nothing but the picture cache.

    \b
    Examples:
      archgen audit
      archgen audit --piece 2026-03-14-barn-owl
      archgen audit --code rights --format json
    """
    from archgen.build import Options, audit_archive, build_day
    from archgen.report import findings_json, print_findings, reaches, select_findings
    from archgen.storage.jobs import default_workers

    catalogue = audit_archive(
        _archive_folder(root),
        out,
        Options(default_workers(), build_day()),
        TerminalProgress(Console(stderr=True)),
    )
    findings = select_findings(catalogue, piece, code)
    if form == "json":
        click.echo(findings_json(findings))
    else:
        print_findings(Console(highlight=False, soft_wrap=True), catalogue, findings)
    sys.exit(ExitCode.FINDINGS if reaches(findings, fail_on) else ExitCode.DONE)


def _archive_folder(given: Path | None) -> Path:
    if given is not None:
        return given
    here = Path()
    return here if (here / "archive.toml").is_file() else here / "content"


def main() -> None:
    """Run the command line; the only place that turns exceptions into messages."""
    errors = Console(stderr=True, highlight=False, soft_wrap=True)
    try:
        archgen(standalone_mode=False)
    except click.ClickException as error:
        error.show()
        sys.exit(ExitCode.USAGE)
    except (KeyboardInterrupt, click.Abort):
        errors.print("Stopped. Nothing half-done is left behind.", markup=False)
        sys.exit(ExitCode.INTERRUPTED)
    except ArchgenError as error:
        errors.print(str(error), markup=False, style="bold")
        sys.exit(error.exit_code)
    except BrokenPipeError:
        sys.exit(ExitCode.DONE)
    except Exception:
        errors.print_exception()
        errors.print("This is a mistake in archgen, not in your archive. Nothing of yours was changed.", markup=False)
        sys.exit(ExitCode.BUG)
