"""What of a removed client can still be found in what was built; by what is kept of the removal, as long as it is."""

from pathlib import Path

from archgen.build import Options
from archgen.errors import UsageError
from archgen.holdings.person import ClientRecords, values_of_person
from archgen.languages.house import say
from archgen.leaks.find import find_leaks
from archgen.leaks.leak import LeakKind, found_words
from archgen.reading.records import recall_records
from archgen.records.model import Client
from archgen.records.people import People
from archgen.records.registers import CLIENTS
from archgen.toml.statements import read_statements
from archgen.values.frozen import Value
from archgen.writing.changes import KEPT, past_changes
from archgen.writing.journal import Reached


class LeftBehind(Value, frozen=True):
    """Where something was found, and how many files were looked through."""

    places: tuple[str, ...]
    files: int


def left_behind(root: Path, out: Path, typed: str, options: Options) -> LeftBehind:
    """Look through everything that was built, but for what is kept so that it can be taken back.

    Raises:
        UsageError: Nobody of that code was removed as far as is kept.
        ArchgenError: The settings or the archive folder cannot be used.
    """
    client = _removed_client(out / KEPT, typed)
    if client is None:
        raise UsageError(
            say(
                "Nothing is kept of a removal of “{typed}”: it was never carried out, or is thrown away for good.",
                typed=typed,
            )
        )
    catalogue = recall_records(root, out, options.built_on)
    values = values_of_person(catalogue, ClientRecords(client.code, client, (), ()))
    folders = [path for path in sorted(out.iterdir()) if path.is_dir() and path.name not in {KEPT, "incoming"}]
    places = [
        f"{folder.name}/{leak.file}: {found_words(leak.what)}"
        for folder in folders
        for leak in find_leaks(folder, values)
        if leak.value is not None and leak.kind is LeakKind.TEXT
    ]
    files = sum(path.is_file() for folder in folders for path in folder.rglob("*"))
    return LeftBehind(tuple(dict.fromkeys(places)), files)


def _removed_client(kept: Path, typed: str) -> Client | None:
    """Find who was removed, in the versions from before the removals."""
    for past in reversed(past_changes(kept)):
        if past.reached is not Reached.DONE or not past.is_removal:
            continue
        for file in past.entry.files:
            if file.path == CLIENTS and file.kept:
                client = _client_in((past.folder / file.kept).read_text("utf-8-sig", "replace"), typed)
                if client:
                    return client
    return None


def _client_in(text: str, typed: str) -> Client | None:
    tables = read_statements(text).values.get("client", [])
    known = {str(one.get("code")): one for one in tables if isinstance(one, dict)}
    found = known.get(People(known, [typed]).code_of(typed.strip()))
    return Client(code=str(found["code"]), name=found.get("name"), contact=found.get("contact")) if found else None
