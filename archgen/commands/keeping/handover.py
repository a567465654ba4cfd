"""archgen handover."""

import sys
from pathlib import Path

import click

from archgen.commands.options import archive_option, out_option, progress
from archgen.errors import ExitCode
from archgen.languages.house import say, say_count


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@archive_option
@out_option
@click.option(
    "--verify", is_flag=True, help="Check a folder that was handed over before: what changed, is missing or new."
)
def handover(folder: Path, root: Path, out: Path, *, verify: bool) -> None:
    """Copy the whole archive with its pages, sheets and prints into FOLDER, as it can be read in twenty years.

    Records are plain text, stencils also PDF, the pages open in any browser, and lists of digests (BagIt, RFC 8493)
    show whether every file is still what it was. It holds everything that is private: give it to nobody but your heir.

    \b
    Examples:
      archgen handover /media/disk/archive-2026
      archgen handover /media/disk/archive-2026 --verify
    """
    from archgen.clock import build_day
    from archgen.commands.keeping.seal_text import difference_lines
    from archgen.reading.records import recall_records
    from archgen.sealing.handover import check_bag, hand_over
    from archgen.storage.jobs import default_workers

    if verify:
        difference = check_bag(folder, default_workers(), progress())
        for line in difference_lines(difference, is_handed_over=True):
            click.echo(line)
        sys.exit(ExitCode.DONE if difference.is_whole and not difference.new else ExitCode.FINDINGS)
    number = hand_over(recall_records(root, out, build_day()), out, folder, progress())
    click.echo(
        say_count(
            "{number} file in {folder}; data/README.txt says what is where.",
            "{number} files in {folder}; data/README.txt says what is where.",
            number,
            folder=folder.resolve(),
        )
    )
    click.echo(say("It holds names, contacts and notes of your clients."))
