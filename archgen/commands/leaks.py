"""archgen leaks."""

import sys
from pathlib import Path

import click

from archgen.commands.options import FORMAT_HELP, archive_option, out_option, progress, terminal
from archgen.errors import ExitCode


@click.command()
@click.argument("place", type=click.Path(path_type=Path), default=None, required=False, metavar="[DIR]")
@archive_option
@out_option
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help=FORMAT_HELP)
def leaks(place: Path | None, root: Path, out: Path, form: str) -> None:
    """Say whether anything private of your archive is in a folder, as a stranger could find it.

    DIR is any folder, zip or file; without it the portfolio that was built from this archive. Every name, text and
    picture in it is looked at, packed and hidden ones too, for clients, codes, batches, notes, private file names,
    pieces that are not published, what the files of your pictures say, and pictures that look like one that is not
    public. Ends with exit code 1 when something is private without doubt, or could not be looked into. Words that may
    be chance are shown as questions. `archgen build` does the same before it publishes.

    \b
    Examples:
      archgen leaks
      archgen leaks ~/website --format json
      archgen leaks for-the-printer.zip --archive my-archive
    """
    from archgen.build import Options, look_for_leaks
    from archgen.clock import build_day
    from archgen.commands.texts.leaks_text import leaks_line, print_leaks
    from archgen.commands.texts.report_text import findings_json, reaches
    from archgen.storage.jobs import default_workers

    report = look_for_leaks(root, out, place, Options(default_workers(), build_day()), progress())
    if form == "json":
        click.echo(findings_json(report.findings))
        click.echo(leaks_line(report), err=True)
    else:
        print_leaks(terminal(), report)
    sys.exit(ExitCode.FINDINGS if reaches(report.findings, "error") else ExitCode.DONE)
