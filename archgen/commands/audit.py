"""archgen audit."""

import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import click

from archgen.commands.options import FORMAT_HELP, archive_option, out_option, progress, terminal
from archgen.commands.speaking.yes_or_no import confirmed
from archgen.errors import ExitCode, InputError
from archgen.languages.house import say, say_count

if TYPE_CHECKING:
    from archgen.catalogue import Catalogue

# What ends with exit code 1, from the worst down.
ALERTS = {"stops": "error", "ask": "warning", "know": "note", "never": "never"}


@click.command()
@archive_option
@out_option
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help=FORMAT_HELP)
@click.option("--piece", metavar="ID", help="Only the findings of this piece.")
@click.option("--about", metavar="WORD", help="Only what concerns rights, release, stencil, batch and so on.")
@click.option(
    "--alert",
    type=click.Choice(list(ALERTS)),
    default="stops",
    show_default=True,
    help="End with exit code 1 when something stops publishing, is to ask, or is good to know.",
)
# What both were called before; scripts go on using them.
@click.option("--code", hidden=True)
@click.option("--fail-on", type=click.Choice(list(ALERTS.values())), hidden=True)
@click.option("--due", is_flag=True, help="Instead: healed photos, touch-ups and releases that are due.")
@click.option("--propose", is_flag=True, help="Instead: lines that the files of references themselves would fill in.")
@click.option("--write", is_flag=True, help="Add the proposed lines to the records, after showing them and asking.")
@click.option("--yes", is_flag=True, help="With --write: do not ask.")
def audit(
    root: Path,
    out: Path,
    form: str,
    piece: str | None,
    about: str | None,
    alert: str,
    code: str | None,
    fail_on: str | None,
    due: bool,
    propose: bool,
    write: bool,
    yes: bool,
) -> None:
    """Check every record and picture; write nothing but the picture cache, unless --write is given.

    \b
    Examples:
      archgen audit
      archgen audit --piece 2026-03-14-barn-owl
      archgen audit --about rights
      archgen audit --due
      archgen audit --propose --piece 2026-03-14-barn-owl
      archgen audit --write
    """
    if due:
        _print_due(root, out, form)
        return
    if propose or write:
        from archgen.build import Options, audit_archive

        _propose(audit_archive(root, out, Options(), progress()), root, out, piece, write=write, sure=yes)
        return
    from archgen.commands.texts.report_text import print_findings, questions_json, reaches, select_findings

    catalogue = checked_archive(root, out)
    findings = select_findings(catalogue, piece, about or code)
    if form == "json":
        click.echo(questions_json(catalogue, findings))
    else:
        print_findings(terminal(), catalogue, findings)
    sys.exit(ExitCode.FINDINGS if reaches(findings, fail_on or ALERTS[alert]) else ExitCode.DONE)


def checked_archive(root: Path, out: Path, jobs: int | None = None) -> "Catalogue":
    """Check an archive, or recall what was found where nothing changed since; then only with facts of what looks alike.

    Raises:
        ArchgenError: The settings or the archive folder cannot be used.
    """
    from archgen.clock import build_day
    from archgen.reading.checked import keep_checked, recall_checked
    from archgen.storage.last_build import look_at_sources

    sources, day = look_at_sources(root), build_day()
    if known := recall_checked(root, out, sources, day):
        return known
    from archgen.build import Options, audit_archive
    from archgen.storage.jobs import default_workers

    looked = sources.pieces if sources else None
    options = Options(jobs or default_workers(), day, looked=looked)
    catalogue = audit_archive(root, out, options, progress())
    with suppress(OSError):  # the answer doesn't rest on it
        keep_checked(out, sources, catalogue)
    return catalogue


def _print_due(root: Path, out: Path, form: str) -> None:
    from archgen.clock import build_day
    from archgen.commands.texts.report_text import due_json, print_due
    from archgen.pieces.followup import due, follow_up
    from archgen.reading.records import recall_records

    today = build_day()
    catalogue = recall_records(root, out, today)
    items = due(follow_up(piece, catalogue.config, today) for piece in catalogue.pieces)
    if form == "json":
        click.echo(due_json(items, today))
    else:
        print_due(terminal(), items, today)


def _propose(catalogue: "Catalogue", root: Path, out: Path, piece: str | None, *, write: bool, sure: bool) -> None:
    from archgen.publication.embedded import proposals
    from archgen.writing import proposals as records
    from archgen.writing.changes import KEPT, carry_out

    found = [one for one in proposals(catalogue) if piece in (None, one.piece.id)]
    if not found:
        click.echo(say("The files of the references say nothing that the records leave out."), err=True)
        return
    if not write:
        click.echo(records.toml_lines(found))
        click.echo(
            "\n" + say("Nothing was changed. What a file says was written by anybody: look before you add it."),
            err=True,
        )
        return
    for wanted in records.by_piece(found):
        try:
            change = records.record_change(root, wanted)
        except InputError as error:
            click.echo(str(error), err=True)
            continue
        record, count = change.edited[0], len(wanted)
        click.echo(records.difference(record))
        question = say_count("Add {number} line to {file}?", "Add {number} lines to {file}?", count, file=record.path)
        if sure or confirmed(question):
            carry_out(root, out / KEPT, change)
