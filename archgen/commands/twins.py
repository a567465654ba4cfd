"""archgen twins."""

import sys
from pathlib import Path

import click

from archgen.commands.options import archive_option, out_option, progress, terminal
from archgen.errors import ExitCode, UsageError


@click.command()
@archive_option
@out_option
@click.option(
    "--images",
    "folder",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="Compare the pictures of any folder instead.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "jsonl"]),
    default="text",
    help="Text for you, or one JSON object per pair for another program.",
)
@click.option("--decide", is_flag=True, help="Go through what is undecided, one group after the other.")
@click.option("--same", is_flag=True, help="Record that PICTURES are the same.")
@click.option("--different", is_flag=True, help="Record that PICTURES are different ones.")
@click.option("--keep", metavar="PICTURE", help="With --same: the one that stands for all. Default: the first.")
@click.option("--reason", metavar="TEXT", help="With --same or --different: why, for your own memory.")
@click.option("--jobs", type=click.IntRange(1), metavar="N", help="Pictures read side by side. Default: all cores.")
@click.argument("pictures", nargs=-1, metavar="[PICTURES]...")
def twins(
    root: Path,
    out: Path,
    folder: Path | None,
    form: str,
    decide: bool,
    same: bool,
    different: bool,
    keep: str | None,
    reason: str | None,
    jobs: int | None,
    pictures: tuple[str, ...],
) -> None:
    """List pictures that look nearly the same, and record what you decide about them.

    Only --decide, --same and --different write, and only lines at the end of decisions.toml. No picture is ever
    changed, moved or deleted.

    \b
    Examples:
      archgen twins
      archgen twins --images ~/phone --format jsonl
      archgen twins --decide
      archgen twins --same pieces/ID/photos/1.jpg pieces/ID/photos/2.jpg --reason "edited copy"
      archgen twins --different pieces/ID/photos/1.jpg pieces/ID/photos/3.jpg
    """
    _check(folder, decide, same, different, keep, reason, pictures)
    if folder is not None:
        _show_folder(folder, form, jobs)
    elif same or different:
        _record(root, pictures, same, keep, reason)
    else:
        _show_archive(root, out, form, decide, jobs)
    sys.exit(ExitCode.DONE)


def _check(
    folder: Path | None,
    decide: bool,
    same: bool,
    different: bool,
    keep: str | None,
    reason: str | None,
    pictures: tuple[str, ...],
) -> None:
    if sum((folder is not None, decide, same, different)) > 1:
        raise UsageError("Choose one of --images, --decide, --same and --different.")
    if pictures and not (same or different):
        raise UsageError("Say --same or --different with the names of pictures.")
    if (same or different) and len(set(pictures)) < 2:
        raise UsageError("Name two pictures at least: archgen twins --same PICTURE PICTURE")
    if keep and not same:
        raise UsageError("--keep goes with --same.")
    if reason and not (same or different):
        raise UsageError("--reason goes with --same or --different.")


def _show_folder(folder: Path, form: str, jobs: int | None) -> None:
    from archgen.commands.twins_text import pair_json, print_folder, print_notes
    from archgen.doubles.folder import compare_folder
    from archgen.storage.jobs import default_workers

    found = compare_folder(folder, jobs or default_workers(), progress())
    if form == "jsonl":
        for pair in found.pairs:
            click.echo(pair_json(pair))
    else:
        print_folder(terminal(), found)
    print_notes(terminal(errors=True), found)


def _record(root: Path, pictures: tuple[str, ...], same: bool, keep: str | None, reason: str | None) -> None:
    from archgen.build import read_records
    from archgen.clock import build_day
    from archgen.doubles.decide import verdict_about
    from archgen.doubles.decisions_file import write_verdicts

    catalogue = read_records(root, build_day())
    verdict = verdict_about(catalogue, pictures, same=same, keep=keep, reason=reason)
    if verdict is None:
        click.echo("That is decided already; nothing was written.")
        return
    click.echo(verdict.lines())
    path = write_verdicts(root, [verdict])
    click.echo(f"\nWritten to {path}.")


def _show_archive(root: Path, out: Path, form: str, decide: bool, jobs: int | None) -> None:
    from archgen.build import Options, audit_archive
    from archgen.clock import build_day
    from archgen.commands.twins_decide import walk
    from archgen.commands.twins_text import pair_json, print_archive
    from archgen.doubles.standing import Standings
    from archgen.storage.jobs import default_workers

    catalogue = audit_archive(root, out, Options(jobs or default_workers(), build_day()), progress())
    if decide:
        walk(terminal(), root, catalogue)
    elif form == "jsonl":
        standings = Standings(catalogue.pieces, catalogue.facts)
        for pair in catalogue.twins.pairs:
            click.echo(pair_json(pair, standing=standings.of(pair).value))
    else:
        print_archive(terminal(), catalogue)
