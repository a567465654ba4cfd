"""archgen intake."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from archgen.commands.filing.intake_table import import_table, table_options, table_typed
from archgen.commands.options import archive_option, out_option, progress, terminal
from archgen.errors import ExitCode, OutputError, UsageError, disk_reason
from archgen.languages.house import say

if TYPE_CHECKING:
    from archgen.catalogue import Catalogue
    from archgen.intake.plan import IntakePlan
    from archgen.intake.propose import IntakeTools
    from archgen.writing.change import Change


@click.command()
@archive_option
@out_option
@click.argument("sources", nargs=-1, type=click.Path(path_type=Path), metavar="[FOLDER|FILES|ZIP]...")
@click.option("--from-inbox", is_flag=True, help="Take in what lies in the archive's inbox folder.")
@click.option("--client", metavar="CODE", help="Whose pictures these are, as in clients.toml.")
@click.option(
    "--plan",
    "plan_path",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the proposal as a text that you can correct, and nothing else.",
)
@click.option(
    "--apply", "apply_path", type=click.Path(path_type=Path), metavar="FILE", help="Carry out a corrected proposal."
)
@table_options
@click.option("--yes", is_flag=True, help="File at once what is not doubtful; leave the rest.")
@click.option("--jobs", type=click.IntRange(1), metavar="N", help="Pictures read side by side. Default: all cores.")
def intake(
    root: Path,
    out: Path,
    sources: tuple[Path, ...],
    from_inbox: bool,
    client: str | None,
    plan_path: Path | None,
    apply_path: Path | None,
    yes: bool,
    jobs: int | None,
    **of_table: Any,
) -> None:
    """Sort new pictures into pieces and file them.

    Shows first what each picture is taken for and why, which pictures make a piece, what is filed already, and which
    filed piece a photo may belong to. Then it asks. Pictures are copied and compared, never moved; archgen undo takes
    the last filing back. Nothing goes to a filed piece without your yes.

    \b
    Examples:
      archgen intake ~/phone
      archgen intake holiday.zip IMG_2306.jpg
      archgen intake --from-inbox
      archgen intake ~/phone --plan phone.toml
      archgen intake --apply phone.toml
      archgen intake --table pieces.xlsx
      archgen intake --table pieces.csv --column "Motif=title" --write
    """
    table = table_typed(of_table)
    if table is not None:
        if sources or from_inbox or plan_path or apply_path or client:
            raise UsageError(say("--table files a list by itself. Leave pictures, --client, --plan and --apply out."))
        import_table(root, out, table, sure=yes)
        return
    from archgen.intake.plan_file import read_sources
    from archgen.intake.propose import propose_intake
    from archgen.intake.sources import gather
    from archgen.storage.jobs import default_workers

    _check(sources, from_inbox=from_inbox, plan_path=plan_path, apply_path=apply_path, yes=yes)
    if apply_path is not None:
        sources = tuple(Path(one) for one in read_sources(apply_path))
    with _tools(root, out, jobs or default_workers(), client) as tools:
        if from_inbox:
            sources = (_inbox(tools.catalogue),)
        with gather(sources, root) as gathered:
            plan = propose_intake(gathered, tools)
            done = _Filing(root, out, tools.catalogue, client)
            if apply_path is not None:
                done.apply(apply_path, plan)
            elif plan_path is not None:
                _write_plan(plan, plan_path, sources, client)
            else:
                done.go_through(plan, yes=yes)
        tools.cache.save()
    sys.exit(ExitCode.DONE)


def _check(
    sources: tuple[Path, ...], *, from_inbox: bool, plan_path: Path | None, apply_path: Path | None, yes: bool
) -> None:
    if sum((bool(sources), from_inbox, apply_path is not None)) != 1:
        raise UsageError(say("Name a folder, files or a zip, or say --from-inbox, or --apply with a plan."))
    if plan_path is not None and (yes or apply_path is not None):
        raise UsageError(say("--plan only writes the proposal. Say --yes or --apply without it."))
    if plan_path is not None and plan_path.exists():
        raise UsageError(
            say("{file} is there already and may hold your corrections. Name another file.", file=plan_path)
        )


def _inbox(catalogue: "Catalogue") -> Path:
    inbox = catalogue.config.inbox
    if not inbox.is_dir():
        raise UsageError(
            say(
                "There is no inbox yet. Make the folder {inbox}, or name another in archive.toml as inbox.", inbox=inbox
            )
        )
    return inbox


@contextmanager
def _tools(root: Path, out: Path, workers: int, client: str | None) -> "Iterator[IntakeTools]":
    """Read the archive; what is found in pictures is kept where a build folder is, else for the moment."""
    from archgen.build import Options, picture_cache, read_catalogue
    from archgen.intake.propose import IntakeTools
    from archgen.storage.cache import Cache

    with picture_cache(out) as cache:
        catalogue = read_catalogue(root, cache, Options(workers), progress())
        cache.save()
        if client is not None and client not in catalogue.clients:
            click.echo(
                say("{client} is not in clients.toml yet; it is written into the records all the same.", client=client),
                err=True,
            )
        yield IntakeTools(catalogue, cache, Cache(cache.folder / "intake"), workers, progress(), client)


def _write_plan(plan: "IntakePlan", path: Path, sources: tuple[Path, ...], client: str | None) -> None:
    from archgen.commands.texts.intake_text import print_plan
    from archgen.intake.plan_file import write_plan
    from archgen.storage.files import write_atomically

    print_plan(terminal(), plan)
    text = write_plan(plan, tuple(str(source.resolve()) for source in sources), str(path), client)
    try:
        write_atomically(path, text.encode())
    except OSError as error:
        raise OutputError(say("{file} cannot be written ({reason}).", file=path, reason=disk_reason(error))) from error
    click.echo(
        "\n"
        + say(
            "Nothing was filed. The proposal stands in {path}: correct it, then archgen intake --apply {path}",
            path=path,
        )
    )


class _Filing:
    """Carries out what was decided, one piece at a time, and says what it did."""

    def __init__(self, root: Path, out: Path, catalogue: "Catalogue", client: str | None) -> None:
        self.root, self.kept, self.catalogue, self.client = root, out, catalogue, client

    def go_through(self, plan: "IntakePlan", *, yes: bool) -> None:
        """Show the plan and ask about each group; without a terminal only what --yes covers is filed."""
        from archgen.commands.texts.intake_text import print_plan

        print_plan(terminal(), plan)
        if not plan.groups:
            return
        if yes:
            self._file_sure(plan)
        elif sys.stdin.isatty():
            self._ask(plan)
        else:
            click.echo(
                "\n" + say("Nothing was filed. --yes files what is not doubtful; --plan FILE writes a text to correct.")
            )

    def apply(self, path: Path, plan: "IntakePlan") -> None:
        """Carry out a corrected plan: all of it is worked out before the first piece is written."""
        from archgen.intake.decided import changes_of
        from archgen.intake.plan_file import read_plan

        titles = {piece.id: piece.record.title if piece.record else piece.id for piece in self.catalogue.pieces}
        decided = read_plan(path, plan, titles)
        changes = changes_of(decided.groups, self.catalogue, self.root, self.client)
        for sentence in decided.left:
            click.echo(sentence)
        if not changes:
            click.echo(say("Nothing in the plan is to be filed."))
        for change in changes:
            self._carry_out(change)

    def _file_sure(self, plan: "IntakePlan") -> None:
        from archgen.intake.decided import changes_of, sure_groups

        sure, left = sure_groups(plan)
        for change in changes_of(sure, self.catalogue, self.root, self.client):
            self._carry_out(change)
        for sentence in left:
            click.echo(sentence)

    def _ask(self, plan: "IntakePlan") -> None:
        from archgen.commands.texts.intake_asking import ask_about
        from archgen.intake.decided import changes_of

        for group in plan.groups:
            decided = ask_about(group)
            if decided is not None:
                for change in changes_of([decided], self.catalogue, self.root, self.client):
                    self._carry_out(change)

    def _carry_out(self, change: "Change") -> None:
        from archgen.writing.changes import KEPT, carry_out

        carry_out(self.root, self.kept / KEPT, change)
        click.echo(say("{what}. archgen undo takes it back.", what=change.words))
