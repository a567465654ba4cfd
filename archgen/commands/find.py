"""archgen find."""

import datetime as dt
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from archgen.clock import build_day
from archgen.commands.options import FORMAT_HELP, archive_option, out_option, progress, terminal
from archgen.errors import ExitCode, no_such_file
from archgen.languages.house import say

if TYPE_CHECKING:
    from archgen.outputs.archive.answers import Index


@click.command()
@click.argument("words", nargs=-1)
@archive_option
@out_option
@click.option(
    "--like",
    "picture",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="PICTURE",
    help="The pieces that a picture shows: a scan, a screenshot, a photo of the tattoo.",
)
@click.option(
    "--overlay",
    type=click.Path(path_type=Path, file_okay=False),
    metavar="FOLDER",
    help="With --like: put a picture into this new folder for each piece found, with the piece's lines laid on yours.",
)
@click.option(
    "--most",
    type=click.IntRange(min=1),
    metavar="N",
    help="How many answers to show.  [default: 10, with --like 5]",
)
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help=FORMAT_HELP
)
def find(
    words: tuple[str, ...],
    root: Path,
    out: Path,
    picture: Path | None,
    overlay: Path | None,
    most: int | None,
    form: str,
) -> None:
    """Find pieces, stencils, clients and batches by any word or figure, as the archive's pages do.

    Sizes and days may be written as you speak them: 58 mm, 2 1/4 in, feb 2025, last year. Ends with exit code 1 when
    nothing is found.

    \b
    Examples:
      archgen find owl forearm
      archgen find 58 mm
      archgen find GW2-2231
      archgen find luna moth --format json
      archgen find --like IMG_2207.jpg
      archgen find --like IMG_2207.jpg --overlay laid
    """
    from archgen.commands.texts.find_text import as_json, print_answers

    if bool(words) == bool(picture):
        raise click.UsageError(say("Say what to find: words, or --like and a picture."))
    if picture:
        sys.exit(_find_like(picture, root, out, overlay, most or _MOST_LIKE, form))
    if overlay:
        raise click.UsageError(say("--overlay goes with --like and a picture."))
    question, today = " ".join(words), build_day()
    answers = _index(root, out, today).ask(question, today, most or _MOST)
    if form == "json":
        click.echo(as_json(question, answers))
    else:
        print_answers(terminal(), answers, out)
    sys.exit(ExitCode.DONE if answers.found else ExitCode.FINDINGS)


_MOST, _MOST_LIKE = 10, 5


def _index(root: Path, out: Path, today: dt.date) -> "Index":
    """Read the index of the last build when nothing has changed since, else make it from the records.

    Heights of stencils are as the last build found them in the pictures, which are not opened here.
    """
    from archgen.outputs.archive.answers import built_index, make_index
    from archgen.storage.last_build import recall

    built = built_index(out / "archive") if recall(out, root, today.isoformat()) else None
    if built:
        return built
    from dataclasses import replace

    from archgen.picture_facts.known_stencils import recall_stencils
    from archgen.pieces.survey import survey
    from archgen.reading.records import recall_records

    records = recall_records(root, out, today)
    return make_index(survey(replace(records, facts=recall_stencils(out / "cache", root))))


def _find_like(picture: Path, root: Path, out: Path, overlay: Path | None, most: int, form: str) -> ExitCode:
    from archgen.build import Options, picture_cache, read_catalogue
    from archgen.commands.texts.find_text import likes_as_json, print_likes
    from archgen.intake.comparing.overlays import new_folder, write_overlays
    from archgen.intake.comparing.pieces_like import pieces_like
    from archgen.storage.cache import Cache
    from archgen.storage.jobs import default_workers

    if not picture.is_file():  # said before anything is read
        raise no_such_file(picture)
    if overlay:
        new_folder(overlay, root)
    with picture_cache(out) as cache:
        catalogue = read_catalogue(root, cache, Options(default_workers()), progress())
        new = Cache(cache.folder / "intake")
        found = pieces_like(picture, catalogue, (cache, new), progress(), most)
        laid = write_overlays(found, overlay) if overlay else {}
        new.save()
        cache.save()
    if form == "json":
        click.echo(likes_as_json(found, laid))
    else:
        print_likes(terminal(), found, laid)
    return ExitCode.DONE if found else ExitCode.FINDINGS
