"""archgen leaks."""

import sys
from pathlib import Path

import click

from archgen.commands.options import FORMAT_HELP, archive_option, terminal
from archgen.errors import ExitCode, InputError


@click.command()
@click.argument("folder", type=click.Path(path_type=Path), default=Path("build/portfolio"), metavar="[DIR]")
@archive_option
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help=FORMAT_HELP)
def leaks(folder: Path, root: Path, form: str) -> None:
    """Search a finished public folder for anything private, as a stranger would.

    Looks at every byte and every name in DIR (default: build/portfolio) for clients, codes, batches, notes, private
    file names, serial numbers of your cameras, places and devices. Ends with exit code 1 when something is private
    without doubt; a first or last name that may be an ordinary word is shown as a question. `archgen build` does the
    same before it publishes.

    \b
    Examples:
      archgen leaks
      archgen leaks ~/website --format json
    """
    from archgen.build import picture_jobs, read_records
    from archgen.clock import build_day
    from archgen.commands.report import findings_json, print_leaks, reaches
    from archgen.leaks.private_values import private_values
    from archgen.leaks.search import find_leaks, leak_findings
    from archgen.picture_facts.stage import read_serials
    from archgen.storage.jobs import default_workers

    if not folder.is_dir():
        raise InputError(f"There is no folder {folder}. Build first, or name the folder to look through.")
    catalogue = read_records(root, build_day())
    pictures = [job.path for job in picture_jobs(catalogue.pieces)]
    values = private_values(catalogue, read_serials(pictures, root, default_workers()))
    findings = leak_findings(find_leaks(folder, values), folder.as_posix())
    if form == "json":
        click.echo(findings_json(findings))
    else:
        print_leaks(terminal(), folder, len(values), findings)
    sys.exit(ExitCode.FINDINGS if reaches(findings, "error") else ExitCode.DONE)
