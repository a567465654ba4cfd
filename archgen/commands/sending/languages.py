"""archgen languages."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from archgen.commands.options import archive_option
from archgen.languages.house import say, say_all, say_count

if TYPE_CHECKING:
    from archgen.catalogue import Catalogue


@click.command()
@archive_option
@click.option(
    "--words",
    metavar="LANGUAGE",
    help="List what archgen itself says in English where it speaks this language, such as fr.",
)
def languages(root: Path, words: str | None) -> None:
    """List what is still to write in the other languages of the portfolio.

    Until it is written, the pages show it in the main language. Nothing is changed.

    \b
    Examples:
      archgen languages
      archgen languages --words fr
    """
    if words:
        _list_untranslated(words)
        return
    from archgen.clock import build_day
    from archgen.languages.language import SOURCE, language, spoken
    from archgen.reading.records import read_records

    records = read_records(root, build_day())
    main, others = language(records.config.main_language), records.config.portfolio.languages[1:]
    if others:
        click.echo(say("The portfolio is in {language}.", language=main.name))
    else:
        click.echo(say("The portfolio is in {language} only.", language=main.name))
        ready = ", ".join(f"{language(tag).name} ({tag})" for tag in (SOURCE, *spoken()))
        click.echo(say("Languages whose words are ready: {ready}.", ready=ready))
        click.echo(
            say('For more than one write in archive.toml, below [portfolio]: languages = ["{tag}", "de"]', tag=main.tag)
        )
    for tag in others:
        _list_missing(records, tag)


def _list_untranslated(tag: str) -> None:
    from archgen.languages.language import language, untranslated

    found = untranslated(tag)
    for message in found:
        click.echo(message)
    click.echo(
        say_count(
            "{language}: {number} message of archgen is in English.",
            "{language}: {number} messages of archgen are in English.",
            len(found),
            language=language(tag).name,
        ),
        err=True,
    )


def _list_missing(records: "Catalogue", tag: str) -> None:
    from archgen.languages.language import language
    from archgen.outputs.portfolio.unwritten import unwritten

    spoken, main, missing = language(tag), language(records.config.main_language), unwritten(records, tag)
    click.echo()
    if not spoken.is_spoken:
        click.echo(
            say(
                "archgen itself has no words in {language}: buttons and labels are in English there.",
                language=spoken.name,
            )
        )
    if not missing:
        click.echo(say("{language}: nothing is missing.", language=spoken.name))
        return
    click.echo(say("{language}: still to write, and shown in {main} until then:", language=spoken.name, main=main.name))
    for one in missing:
        click.echo(f"  {one.file}: {say_all(one.words)}")
    if any("title" in one.words for one in missing):
        click.echo(say("The first line of a story with # before it is the title: # Schleiereule"))
