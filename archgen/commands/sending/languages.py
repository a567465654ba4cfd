"""archgen languages."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from archgen.commands.options import archive_option

if TYPE_CHECKING:
    from archgen.catalogue import Catalogue


@click.command()
@archive_option
def languages(root: Path) -> None:
    """List what is still to write in the other languages of the portfolio.

    Until it is written, the pages show it in the main language. Nothing is changed.

    \b
    Example:
      archgen languages
    """
    from archgen.clock import build_day
    from archgen.languages.language import SOURCE, language, spoken
    from archgen.reading.records import read_records

    records = read_records(root, build_day())
    main, others = language(records.config.main_language), records.config.portfolio.languages[1:]
    click.echo(f"The portfolio is in {main.name}{'' if others else ' only'}.")
    if not others:
        ready = ", ".join(f"{language(tag).name} ({tag})" for tag in (SOURCE, *spoken()))
        click.echo(f"Languages whose words are ready: {ready}.")
        click.echo(f'For more than one write in archive.toml, below [portfolio]: languages = ["{main.tag}", "de"]')
    for tag in others:
        _list_missing(records, tag)


def _list_missing(records: "Catalogue", tag: str) -> None:
    from archgen.languages.language import language
    from archgen.outputs.portfolio.unwritten import unwritten

    spoken, main, missing = language(tag), language(records.config.main_language), unwritten(records, tag)
    click.echo()
    if not spoken.is_spoken:
        click.echo(f"archgen itself has no words in {spoken.name}: buttons and labels are in English there.")
    if not missing:
        click.echo(f"{spoken.name}: nothing is missing.")
        return
    click.echo(f"{spoken.name}: still to write, and shown in {main.name} until then:")
    for one in missing:
        click.echo(f"  {one.file}: {' and '.join(one.words)}")
    if any("title" in one.words for one in missing):
        click.echo("The first line of a story with # before it is the title: # Schleiereule")
