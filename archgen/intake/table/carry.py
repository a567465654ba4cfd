"""Turn the plan of a table into one change of the archive: all pieces and new clients, or nothing."""

from collections.abc import Iterator
from pathlib import Path

from archgen.intake.table.plan import TablePlan
from archgen.languages.house import say_count
from archgen.records.folder import NOTES, RECORD
from archgen.records.layout import PIECES
from archgen.records.registers import CLIENTS
from archgen.writing.change import Change, NewFile, edited_file, new_text
from archgen.writing.record_text import AddTable


def change_of(plan: TablePlan, root: Path, file: str) -> Change:
    """Give the change that files all new rows.

    Raises:
        ArchgenError: The register of clients cannot be changed safely.
    """
    clients = [AddTable(("client",), {"code": one.code, "name": one.name}) for one in plan.clients]
    edited = (edited_file(root, CLIENTS, clients),) if clients else ()
    words = say_count("{number} piece filed from {file}", "{number} pieces filed from {file}", len(plan.new), file=file)
    return Change(words, tuple(_files(plan)), edited)


def _files(plan: TablePlan) -> Iterator[NewFile]:
    for row in plan.new:
        folder = f"{PIECES}/{row.folder}"
        if row.notes:
            yield new_text(f"{folder}/{NOTES}", row.notes)
        yield new_text(f"{folder}/{RECORD}", row.record)
