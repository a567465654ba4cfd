"""archgen seal."""

import sys
from pathlib import Path

import click

from archgen.commands.options import archive_option, out_option, progress
from archgen.errors import ExitCode, InputError, UsageError, disk_reason
from archgen.languages.house import say


@click.command()
@archive_option
@out_option
@click.option("--verify", is_flag=True, help="Say what changed, went or moved since the archive was sealed.")
@click.option(
    "--file",
    "given",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="The list of digests. Default: seal.sha256 with the results.",
)
def seal(root: Path, out: Path, given: Path | None, *, verify: bool) -> None:
    """Note how every file of the archive stands, to notice years later whether one was damaged or lost.

    The list can be checked without archgen: sha256sum --check. Keep a copy of it beside each copy of your archive.
    Hidden files, whose names begin with a dot, are left out. Ends with exit code 1 when a file is not as it was.

    \b
    Examples:
      archgen seal
      archgen seal --verify
      archgen seal --file /media/copy/seal.sha256
    """
    from archgen.commands.keeping.seal_text import difference_lines, hidden_lines, sealed_lines
    from archgen.outputs.result_file import write_file
    from archgen.records.reader import check_archive
    from archgen.sealing.seal import compare, hidden_below, make_seal, read_seal, seal_text
    from archgen.sealing.silent_changes import SEAL
    from archgen.storage.jobs import default_workers
    from archgen.storage.last_build import forget

    check_archive(root)
    place = given or out / SEAL
    if not given and not out.is_dir():
        raise UsageError(
            say("There are no results yet to keep the list with. Build first, or name a file with --file.")
        )
    if verify and not place.is_file():
        raise UsageError(say("{place} is not there. Seal the archive first: archgen seal.", place=place))
    try:
        written = place.read_bytes() if place.is_file() else None
    except OSError as error:
        raise InputError(say("{file} cannot be read ({reason}).", file=place, reason=disk_reason(error))) from error
    before = read_seal(written) if written is not None else {}
    now = make_seal(root, default_workers(), progress())
    difference = compare(before, now)
    if verify:
        for line in (*difference_lines(difference), *hidden_lines(list(hidden_below(root)))):
            click.echo(line)
        sys.exit(ExitCode.DONE if difference.is_whole else ExitCode.FINDINGS)
    for line in (*sealed_lines(now, difference, is_first=not before), *hidden_lines(list(hidden_below(root)))):
        click.echo(line)
    if not given:
        forget(out)  # what the next build says of changed pictures rests on the seal
    click.echo(write_file(place, seal_text(now), root, written[:64] if written else b""))
