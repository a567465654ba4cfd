"""From what the artist said yes to, one change: files that go, lines that go, all of it or nothing."""

from collections.abc import Sequence
from pathlib import Path

from archgen.errors import OutputError
from archgen.holdings.going import Going
from archgen.holdings.mentions import without_sentences
from archgen.languages.house import say, say_count
from archgen.writing.change import Change, EditedFile, edited_file, gone_file, read_before
from archgen.writing.record_text import Edit, RemoveKey, written_lines


def removal_change(root: Path, chosen: Sequence[Going]) -> Change:
    """Work out the change; nothing is done yet. Its words tell nobody whose it is.

    Raises:
        InputError: A file cannot be read, or a record cannot be changed safely.
        OutputError: A text was changed meanwhile.
    """
    gone = tuple(dict.fromkeys(one.path for one in chosen if one.is_file))
    edits: dict[str, list[Edit]] = {}
    for path, edit in dict.fromkeys(pair for one in chosen for pair in one.edits):
        edits.setdefault(path, []).append(edit)
    edited = [edited_file(root, path, _last_tables_first(found)) for path, found in edits.items() if path not in gone]
    edited += [_text_without(root, one) for one in chosen if one.sentences and one.path not in gone]
    lines = sum(not one.is_file for one in chosen)
    words = say(
        "A client’s removal: {files}, {places} in records",
        files=say_count("{number} file", "{number} files", len(gone)),
        places=say_count("{number} place", "{number} places", lines),
    )
    return Change(words, edited=tuple(edited), gone=tuple(gone_file(root, path) for path in gone))


def _last_tables_first(edits: Sequence[Edit]) -> list[Edit]:
    """Order edits so that none moves what another is about: keys before tables, of tables the last first."""
    tables = [edit for edit in edits if isinstance(edit, RemoveKey) and isinstance(edit.way[-1], int)]
    gone = {edit.way for edit in tables}
    keys = [
        edit for edit in edits if edit not in tables and not any(edit.way[:n] in gone for n in range(len(edit.way)))
    ]
    return [*keys, *sorted(tables, key=lambda edit: [(isinstance(step, int), step) for step in edit.way], reverse=True)]


def _text_without(root: Path, one: Going) -> EditedFile:
    before = read_before(root, one.path) or b""
    text = before.decode("utf-8")
    if any(sentence not in text for sentence in one.sentences):
        raise OutputError(
            say("{file} was changed by somebody else just now. Nothing was removed; look at it again.", file=one.path)
        )
    after = without_sentences(text, one.sentences)
    return EditedFile(one.path, before, after.encode(), written_lines(text, after))
