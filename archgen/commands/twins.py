"""archgen twins."""

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from archgen.commands.audit import checked_archive
from archgen.commands.options import archive_option, out_option, progress, terminal
from archgen.errors import ExitCode, UsageError
from archgen.languages.house import say


@click.command()
@archive_option
@out_option
@click.option(
    "--images",
    "images",
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
@click.option("--same", is_flag=True, help="Record at once that PICTURES are the same.")
@click.option("--different", is_flag=True, help="Record at once that PICTURES are different.")
@click.option("--keep", metavar="PICTURE", help="With --same: the one that stands for all. Default: the first.")
@click.option("--reason", metavar="TEXT", help="With --same or --different: why, for your own memory.")
@click.option("--dry-run", is_flag=True, help="With --same or --different: show the lines and write nothing.")
@click.option("--jobs", type=click.IntRange(1), metavar="N", help="Pictures read side by side. Default: all cores.")
@click.argument("pictures", nargs=-1, metavar="[PICTURES]...")
def twins(
    root: Path,
    out: Path,
    images: Path | None,
    form: str,
    jobs: int | None,
    pictures: tuple[str, ...],
    **choice: Any,
) -> None:
    """List pictures that look nearly the same, and record what you decide about them.

    Only --decide, --same and --different write, and only lines at the end of decisions.toml: `archgen undo` takes a
    decision back. --decide shows the lines and asks before it writes; --same and --different write at once, and
    with --dry-run only show. No picture is ever changed, moved or deleted.

    The list, or the objects of jsonl, go to standard output. Progress, files that could not be compared and the time
    it took go to standard error.

    \b
    Examples:
      archgen twins
      archgen twins --images ~/phone --format jsonl > pairs.jsonl
      archgen twins --decide
      archgen twins --same pieces/ID/photos/1.jpg pieces/ID/photos/2.jpg --reason "edited copy"
      archgen twins --different pieces/ID/photos/1.jpg pieces/ID/photos/3.jpg --dry-run
    """
    chosen = _Choice(**choice)
    _check(chosen, images, pictures)
    if images is not None:
        _show_folder(images, form, jobs)
    elif chosen.same or chosen.different:
        _record(chosen, root, out, pictures)
    else:
        _show_archive(root, out, form, chosen.decide, jobs)
    sys.exit(ExitCode.DONE)


@dataclass(frozen=True, slots=True)
class _Choice:
    """The options about decisions."""

    decide: bool
    same: bool
    different: bool
    keep: str | None
    reason: str | None
    dry_run: bool


def _check(choice: _Choice, images: Path | None, pictures: tuple[str, ...]) -> None:
    records = choice.same or choice.different
    if sum((images is not None, choice.decide, choice.same, choice.different)) > 1:
        raise UsageError(say("Choose one of --images, --decide, --same and --different."))
    if pictures and not records:
        raise UsageError(say("Say --same or --different with the names of pictures."))
    if records and len(set(pictures)) < 2:
        raise UsageError(say("Name two pictures at least: archgen twins --same PICTURE PICTURE"))
    if choice.keep and not choice.same:
        raise UsageError(say("--keep goes with --same."))
    for given, option in ((choice.reason, "--reason"), (choice.dry_run, "--dry-run")):
        if given and not records:
            raise UsageError(say("{option} goes with --same or --different.", option=option))


def _show_folder(images: Path, form: str, jobs: int | None) -> None:
    from archgen.commands.texts.twins_text import pair_json, print_count, print_folder, print_notes
    from archgen.doubles.folder import compare_folder
    from archgen.storage.jobs import default_workers

    found = compare_folder(images, jobs or default_workers(), progress())
    if form == "jsonl":
        for pair in found.pairs:
            click.echo(pair_json(pair))
    else:
        print_folder(terminal(), found)
    print_notes(terminal(errors=True), found)
    print_count(terminal(errors=form == "jsonl"), images, found)


def _record(choice: _Choice, root: Path, out: Path, pictures: tuple[str, ...]) -> None:
    from archgen.clock import build_day
    from archgen.doubles.decide import verdict_about
    from archgen.doubles.decisions_file import FILE
    from archgen.reading.records import recall_records
    from archgen.writing.addition import addition
    from archgen.writing.change import Change
    from archgen.writing.changes import KEPT, carry_out

    catalogue = recall_records(root, out, build_day())
    verdict = verdict_about(catalogue, pictures, same=choice.same, keep=choice.keep, reason=choice.reason)
    if verdict is None:
        click.echo(say("That is decided already; nothing was written."))
        return
    added = addition(root, FILE, [verdict.lines()])
    click.echo(verdict.lines())
    if choice.dry_run:
        click.echo(
            "\n"
            + say("Nothing was written. Without --dry-run these lines are added to {place}.", place=added.place(root))
        )
        return
    carry_out(root, out / KEPT, Change(verdict.words, edited=(added,)))
    click.echo("\n" + say("Added to {place}. To take it back: archgen undo", place=added.place(root)))


def _show_archive(root: Path, out: Path, form: str, decide: bool, jobs: int | None) -> None:
    if decide:
        from archgen.build import Options, audit_archive
        from archgen.commands.texts.twins_asking import walk
        from archgen.storage.jobs import default_workers
        from archgen.writing.changes import KEPT

        checked = audit_archive(root, out, Options(jobs or default_workers()), progress())
        walk(terminal(), root, out / KEPT, checked)
        return
    from archgen.commands.texts.twins_text import pair_json, print_archive
    from archgen.doubles.questions import PairKinds

    catalogue = checked_archive(root, out, jobs)
    if form == "jsonl":
        standings = PairKinds(catalogue.pieces, catalogue.facts)
        for pair in catalogue.twins.pairs:
            click.echo(pair_json(pair, standing=standings.of(pair).value))
    else:
        print_archive(terminal(), catalogue)
