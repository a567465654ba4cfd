"""Write down in told.toml that clients were told of a recall."""

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import msgspec
import tomlkit

from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.records.model import Told
from archgen.records.registers import TOLD
from archgen.tracing.book import BatchBook
from archgen.tracing.recall import Trace
from archgen.units import date_words
from archgen.writing.addition import addition
from archgen.writing.change import EditedFile


def tellings(book: BatchBook, trace: Trace, clients: Iterable[str], told: Told) -> tuple[Told, ...]:
    """Give the entries for clients, under the code of the person and the number of the register.

    `told` says when, how and by whom. What is written down already, to the word, is left out.

    Raises:
        UsageError: A client is on no list of this trace, or the day cannot be.
    """
    _check_day(book, trace, told)
    entries = (entry for client in clients for entry in _entries(book, trace, client, told))
    return tuple(entry for entry in dict.fromkeys(entries) if entry not in book.catalogue.told)


def _check_day(book: BatchBook, trace: Trace, told: Told) -> None:
    if told.date and told.date > book.catalogue.built_on:
        raise UsageError(say("{day} hasn't come yet. Check the day.", day=date_words(told.date)))
    if told.date and trace.recalled and told.date < trace.recalled:
        raise UsageError(
            say(
                "{day} is before the recall of {recalled}. Check the day, or the day of the recall in inks.toml.",
                day=date_words(told.date),
                recalled=date_words(trace.recalled),
            )
        )


def _entries(book: BatchBook, trace: Trace, client: str, told: Told) -> Iterator[Told]:
    person = book.people.code_of(client)
    if person not in {book.people.code_of(code) for code in _listed(trace)}:
        raise UsageError(
            say(
                "{client} is on no list of {asked}, so nothing was written. Look at the code.",
                client=client,
                asked=trace.asked,
            )
        )
    worn = [use.batch for wearer in trace.wearers if wearer.client == person for use in wearer.uses if use.batch]
    for batch in dict.fromkeys(book.name_of(number) for number in worn or [trace.asked]):
        yield msgspec.structs.replace(told, batch=batch, client=person)


def _listed(trace: Trace) -> Iterator[str]:
    """Give the clients of those who wear it, whose label is to be checked, and who cannot be ruled out."""
    uses = (*trace.matches, *(use for near in trace.near for use in near.uses))
    yield from (use.client for use in uses if use.client)
    yield from (gap.piece.record.client for gap in trace.unrecorded if gap.piece.record and gap.piece.record.client)


def lines_of(told: Told) -> str:
    """Give the lines for the file."""
    table = tomlkit.table()
    for key, value in msgspec.structs.asdict(told).items():
        if value is not None:
            table.add(key, value)
    tables = tomlkit.aot()
    tables.append(table)
    document = tomlkit.document()
    document.add("told", tables)
    return tomlkit.dumps(document).strip()


def told_addition(root: Path, entries: Sequence[Told]) -> EditedFile:
    """Work out what told.toml is with these entries; nothing is written yet."""
    return addition(root, TOLD, [lines_of(entry) for entry in entries])
