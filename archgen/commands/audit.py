"""archgen audit."""

import sys
from pathlib import Path

import click

from archgen.commands.options import FORMAT_HELP, archive_option, out_option, progress, terminal
from archgen.errors import ExitCode


@click.command()
@archive_option
@out_option
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help=FORMAT_HELP)
@click.option("--piece", metavar="ID", help="Only the findings of this piece.")
@click.option("--code", metavar="CODE", help='Only findings of this code, or of a group such as "rights".')
@click.option(
    "--fail-on",
    type=click.Choice(["error", "warning", "note", "never"]),
    default="error",
    show_default=True,
    help="End with exit code 1 when a finding at least this serious was found.",
)
@click.option("--due", is_flag=True, help="Instead: healed photos, touch-ups and releases that are due.")
def audit(root: Path, out: Path, form: str, piece: str | None, code: str | None, fail_on: str, due: bool) -> None:
    """Check every record and picture; write nothing but the picture cache.

    \b
    Examples:
      archgen audit
      archgen audit --piece 2026-03-14-barn-owl
      archgen audit --code rights --format json
      archgen audit --due
    """
    if due:
        _print_due(root, form)
        return
    from archgen.build import Options, audit_archive
    from archgen.clock import build_day
    from archgen.report import findings_json, print_findings, reaches, select_findings
    from archgen.storage.jobs import default_workers

    catalogue = audit_archive(root, out, Options(default_workers(), build_day()), progress())
    findings = select_findings(catalogue, piece, code)
    if form == "json":
        click.echo(findings_json(findings))
    else:
        print_findings(terminal(), catalogue, findings)
    sys.exit(ExitCode.FINDINGS if reaches(findings, fail_on) else ExitCode.DONE)


def _print_due(root: Path, form: str) -> None:
    from archgen.audit.due import due
    from archgen.build import read_records
    from archgen.clock import build_day
    from archgen.report import due_json, print_due

    items = due(read_records(root, build_day()))
    if form == "json":
        click.echo(due_json(items))
    else:
        print_due(terminal(), items)
